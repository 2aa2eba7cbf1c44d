package outage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// What a report.Weak can be.
const (
	Aged     = "one battery aged"
	ColdSide = "one side cold"
	BadJoint = "one bad joint"
)

// Options say how weak a weak thing is. A zero field stands for the value
// named beside it, which is an assumption and is told as one in every
// report.Weak. Any other value must be finite and above zero.
type Options struct {
	// AgedResistance and AgedCapacity are the factors of one old battery. 2 and
	// 0.8: common practice for the end of life, no source.
	AgedResistance, AgedCapacity float64
	// ColdLFP is the factor of an lfp battery's resistance at 0 °C over that at
	// 25 °C. 2.32: straight in the logarithm between 28.9 mΩ at -5 °C and
	// 17.4 mΩ at 5 °C, over 9.66 mΩ at 25 °C; medians of 1 s steps at 20 to 80 %
	// charge of one 2.07 Ah cell, derived from the open data of the ESC toolbox
	// (esctoolbox-python, dyn_data, commit e82af55).
	ColdLFP float64
	// ColdOther is the same of any other chemistry. 1.5: from memory.
	ColdOther float64
	// Joint is what a bad joint adds, ohm. 1 mΩ: common practice, no source.
	Joint quantity.Resistance
}

// Defaults gives the values that zero fields stand for.
func Defaults() Options {
	return Options{AgedResistance: 2, AgedCapacity: 0.8, ColdLFP: 2.32, ColdOther: 1.5, Joint: 1e-3}
}

// filled puts the defaults where a field is zero.
func (o Options) filled() (Options, error) {
	d := Defaults()
	for _, f := range []struct {
		name string
		v    *float64
		or   float64
	}{
		{"AgedResistance", &o.AgedResistance, d.AgedResistance},
		{"AgedCapacity", &o.AgedCapacity, d.AgedCapacity},
		{"ColdLFP", &o.ColdLFP, d.ColdLFP},
		{"ColdOther", &o.ColdOther, d.ColdOther},
		{"Joint", (*float64)(&o.Joint), float64(d.Joint)},
	} {
		if *f.v == 0 {
			*f.v = f.or
		}
		if !(*f.v > 0) || math.IsInf(*f.v, 1) {
			return o, fmt.Errorf("weak cases: %s is %g; give a finite number above zero, or 0 for %g", f.name, *f.v, f.or)
		}
	}
	return o, nil
}

// weakness is one change to a copy of the bank.
type weakness struct {
	what, place, assumed string
	change               func(b *bank.Bank)
}

// weak gives each battery aged, each side cold, each cable with a bad joint.
func (s *study) weak(o Options) ([]report.Weak, error) {
	b := *s.bank
	b.Batteries, b.Cables = slices.Clone(b.Batteries), slices.Clone(b.Cables)
	var all []report.Weak
	for _, w := range slices.Concat(s.aged(o), s.cold(o), s.joints(o)) {
		copy(b.Batteries, s.bank.Batteries)
		copy(b.Cables, s.bank.Cables)
		w.change(&b)
		one, err := s.weakened(&b, w)
		if err != nil {
			return nil, fmt.Errorf("%s at %s: %w", w.what, w.place, err)
		}
		all = append(all, one)
	}
	return all, nil
}

// weakened computes one weakness. The response to losses is needed only where
// a battery passes its limit.
func (s *study) weakened(b *bank.Bank, weak weakness) (report.Weak, error) {
	c := bank.Case{Current: ampere(s.signed(s.draw))}
	c.CableTemperature.V = s.temp
	w := report.Weak{What: weak.what, Place: weak.place, Assumed: weak.assumed, Holds: true}
	snapshot, err := sharing.Solve(b, c)
	if err != nil {
		return w, err
	}
	w.Share = snapshot.Imbalance
	for i, one := range snapshot.Batteries {
		w.Current = append(w.Current, one.Current)
		if w.ShareID == "" && one.Share-1 >= snapshot.Imbalance-same { // of equals the first
			w.ShareID = b.Batteries[i].ID
		}
	}
	w.Worst, w.WorstID = s.worst(w.Current)
	if !(w.Worst > 1+same) {
		return w, nil
	}
	deep, err := newStudy(b, c)
	if err != nil {
		return w, err
	}
	o := deep.out(deep.base)
	w.Trips, w.Holds = o.Trips, o.Holds
	return w, nil
}

func (s *study) aged(o Options) []weakness {
	var all []weakness
	d := Defaults()
	assumed := words("resistance × %g", o.AgedResistance, d.AgedResistance, "common practice, no source") + "; " +
		words("capacity × %g", o.AgedCapacity, d.AgedCapacity, "common practice, no source")
	for i, in := range s.base.in {
		if !in {
			continue
		}
		all = append(all, weakness{Aged, s.bank.Batteries[i].ID, assumed, func(b *bank.Bank) {
			b.Batteries[i].Resistance.V *= quantity.Resistance(o.AgedResistance)
			b.Batteries[i].Capacity.V *= quantity.Charge(o.AgedCapacity)
		}})
	}
	return all
}

// cold gives the one half of the batteries at 0 °C, then the other. Of an odd
// number the one in the middle is warm in both.
func (s *study) cold(o Options) []weakness {
	row := s.row()
	half := len(row) / 2
	if half == 0 {
		return nil
	}
	var all []weakness
	for _, side := range [][]int{row[:half], row[len(row)-half:]} {
		side = slices.Sorted(slices.Values(side))
		var ids []string
		for _, i := range side {
			ids = append(ids, s.bank.Batteries[i].ID)
		}
		all = append(all, weakness{ColdSide, strings.Join(ids, ", "), s.coldWords(o, side), func(b *bank.Bank) {
			for _, i := range side {
				b.Batteries[i].Resistance.V *= quantity.Resistance(o.coldFactor(b.Batteries[i].Chemistry))
			}
		}})
	}
	return all
}

func (o Options) coldFactor(c bank.Chemistry) float64 {
	if c == bank.LFP {
		return o.ColdLFP
	}
	return o.ColdOther
}

// coldWords names only the factors that a side needs.
func (s *study) coldWords(o Options, side []int) string {
	var all []string
	lfp := func(i int) bool { return s.bank.Batteries[i].Chemistry == bank.LFP }
	if slices.ContainsFunc(side, lfp) {
		all = append(all, words("resistance × %g of lfp at 0 °C", o.ColdLFP, Defaults().ColdLFP, "as measured on one small cell"))
	}
	if slices.ContainsFunc(side, func(i int) bool { return !lfp(i) }) {
		all = append(all, words("resistance × %g of other batteries at 0 °C", o.ColdOther, Defaults().ColdOther, "from memory"))
	}
	return strings.Join(all, "; ")
}

// words says a value, and its ground where it is the one assumed here.
func words(format string, v, assumed float64, ground string) string {
	if v != assumed {
		ground = "as asked"
	}
	return fmt.Sprintf(format, v) + ", " + ground
}

// row lists the batteries that are in from one side of the bank to the other:
// along that of x and y in which their middles lie further apart, x where
// neither does, and in job order where one has no place.
func (s *study) row() []int {
	var row []int
	placed := true
	for i, in := range s.base.in {
		if in {
			row = append(row, i)
			placed = placed && s.bank.Batteries[i].Placed
		}
	}
	if !placed || len(row) == 0 {
		return row
	}
	middle := func(i int) (x, y float64) {
		box := s.bank.Batteries[i].Body.Box()
		return (box.Min.X + box.Max.X) / 2, (box.Min.Y + box.Max.Y) / 2
	}
	// In whole micrometres, so that middles set apart by a rounded inch are level.
	xs, ys := map[int]float64{}, map[int]float64{}
	for _, i := range row {
		x, y := middle(i)
		xs[i], ys[i] = math.Round(x*1e6), math.Round(y*1e6)
	}
	along := xs
	if extent(row, ys) > extent(row, xs) {
		along = ys
	}
	slices.SortStableFunc(row, func(a, b int) int { return cmp.Compare(along[a], along[b]) })
	return row
}

func extent(row []int, at map[int]float64) float64 {
	least, most := math.Inf(1), math.Inf(-1)
	for _, i := range row {
		least, most = min(least, at[i]), max(most, at[i])
	}
	return most - least
}

func (s *study) joints(o Options) []weakness {
	assumed := words("%g mΩ more", float64(o.Joint)*1e3, float64(Defaults().Joint)*1e3, "common practice, no source")
	var all []weakness
	for i := range s.bank.Cables {
		all = append(all, weakness{BadJoint, s.bank.Cables[i].ID, assumed, func(b *bank.Bank) {
			if b.Cables[i].Whole.Known() {
				b.Cables[i].Whole.V += o.Joint
			} else {
				b.Cables[i].Joints[0].V += o.Joint
			}
		}})
	}
	return all
}
