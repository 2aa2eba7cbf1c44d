package rules

import (
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// ownSheet is where a device's own times and let-through come from.
var ownSheet = source.Ref{Title: "the device's own sheet, as the job gives it", Edition: "not stated", How: source.Read}

// letThroughRef marks a let-through of a class: all of the catalogue's are
// from memory.
var letThroughRef = source.Ref{Title: "UL 248-15", At: "class T, largest clearing I²t", Edition: "not at hand", How: source.Memory}

// device is a guard by its numbers: the part's own, else its class's. A
// let-through of the class is never more than a hint. Own times take the place
// of the class's whole: where they end the class's do not go on.
func device(r *report.Report, g *report.Guard) protect.Device {
	p := partOf(r, g)
	d := protect.Device{Name: p.ID, Rating: known(float64(p.Rated.Current))}
	if p.Rated.Current == 0 {
		return d
	}
	class := catalog.Default().FuseClass(p.Rated.Class)
	// Rows that contradict each other would be the catalogue's fault or the job's;
	// both are held on reading, and the zero band only leads to "not checked".
	switch {
	case len(p.Rated.Times) > 0:
		d.Band, _ = protect.NewBand(ownPoints(p), ownSheet)
	case class != nil:
		d.Band, _ = protect.BandOf(class.BandsFor(p.Rated.Current))
	}
	if own := float64(p.Rated.LetThrough); own > 0 {
		d.Clearing = source.Look(own, ownSheet)
	} else if class != nil {
		if row, ok := class.LetThroughFor(p.Rated.Current); ok {
			d.Clearing = source.Look(row.I2t, letThroughRef)
		}
	}
	return d
}

// ownPoints are a part's own times over multiples of its rating.
func ownPoints(p *bank.Part) []protect.BandPoint {
	told := func(v float64) float64 {
		if v > 0 {
			return v
		}
		return math.NaN()
	}
	var all []protect.BandPoint
	for _, one := range p.Rated.Times {
		least, most := told(float64(one.Least)), told(float64(one.Most))
		if !math.IsNaN(least) || !math.IsNaN(most) {
			all = append(all, protect.BandPoint{Multiple: float64(one.Current / p.Rated.Current), Min: least, Max: most})
		}
	}
	return all
}

// scaled is a device as the conductor behind it sees it: one that carries a
// part of that one's current stands there for a device larger by as much.
func scaled(d protect.Device, by float64) protect.Device {
	d.Rating.V *= by
	d.Melting.V, d.Clearing.V = d.Melting.V*by*by, d.Clearing.V*by*by
	return d
}

// remembered reports whether times or let-through of a device are from memory.
func remembered(d *protect.Device) bool {
	for _, ref := range append(d.Band.Refs(), d.Clearing.Ref) {
		if ref.How == source.Memory {
			return true
		}
	}
	return false
}
