package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/holding"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// givenRef is the source of a strength that stands in the job.
var givenRef = source.Ref{Title: "given in the job", How: source.Practice}

// refWords names the source of a strength.
func refWords(r source.Ref) string {
	if r == givenRef {
		return r.Title
	}
	return r.String()
}

// hold adds the engine's hold-downs of one of the job's.
func (k *mounter) hold(b *block, h *bank.HoldDown) {
	box := k.boxOf(h.Holds)
	switch h.Kind {
	case bank.RodsAndBar:
		k.rods(b, h)
	case bank.StrapOver:
		k.strap(b, h, box)
	case bank.Bracket:
		k.brackets(b, h, box)
	case bank.Tray:
		k.tray(b, h, box)
	case bank.PinAcross:
		for n, at := range h.At {
			b.add(h, holding.NewPin(numbered(h, n), vec(at), vec(axisOf(h.Axis)), k.pinParts(h)...), at)
		}
	case bank.ShelfOver:
		k.shelf(b, h, box)
	}
}

// numbered names one of the places of a hold-down, as K1.2.
func numbered(h *bank.HoldDown, n int) string { return fmt.Sprintf("%s.%d", h.ID, n+1) }

func (b *block) add(h *bank.HoldDown, one holding.Hold, at bank.Point) {
	one.Bodies = h.Holds
	b.group.Holds = append(b.group.Holds, one)
	b.of[one.ID], b.at[one.ID] = h.ID, at
}

func axisOf(axis string) bank.Point {
	switch axis {
	case "x":
		return bank.Point{X: 1}
	case "y":
		return bank.Point{Y: 1}
	}
	return bank.Point{Z: 1}
}

// threadOf and gradeOf find what the job names; the reader knows the same
// names.
func threadOf(h *bank.HoldDown) (holding.Thread, bool) {
	for _, t := range holding.Threads() {
		if t.Name == h.Thread || strings.HasPrefix(t.Name, h.Thread+"x") {
			return t, h.Thread != ""
		}
	}
	return holding.Thread{}, false
}

func gradeOf(h *bank.HoldDown, t holding.Thread) (g holding.Grade, why string) {
	g, ok := holding.FindGrade(h.Grade)
	switch {
	case !ok:
		return g, "the job does not give its grade"
	case g.Upto > 0 && t.Diameter > g.Upto+1e-9:
		return g, fmt.Sprintf("the strength of %s is known up to %s only", g.ID, mm(g.Upto))
	}
	return g, ""
}

func mm(v float64) string { return fmt.Sprintf("%g mm", math.Round(v*1e5)/100) }

// boltPart gives a bolt as a part: under pull, under push (its shear) or both.
func boltPart(name string, h *bank.HoldDown, under holding.Load) holding.Part {
	t, ok := threadOf(h)
	if !ok {
		return holding.Part{Name: name, Under: under, Why: "the job does not give its thread"}
	}
	g, why := gradeOf(h, t)
	if why != "" {
		return holding.Part{Name: name, Under: under, Why: why}
	}
	switch under {
	case holding.Combined:
		return holding.BoltPart(name, g, t)
	case holding.Pull:
		return holding.RodPart(name, g, t)
	}
	return holding.Part{Name: name, Under: under, Strength: g.Across(t)}
}

// floorPart gives what a hold-down pulls on as a part; ok is false where the job
// says nothing of it.
func floorPart(h *bank.HoldDown) (p holding.Part, ok bool) {
	f := &h.Floor
	if !f.Given {
		return p, false
	}
	hole := 0.0
	if t, known := threadOf(h); known {
		hole = t.Diameter
	}
	p = holding.WasherPart("floor", f.Crush, f.Shear, f.Washer, hole, f.Thickness, givenRef)
	p.Strength.Yield = p.Strength.Break // wood and thin sheet give and break at once
	if f.Washer == 0 || f.Thickness == 0 {
		p = holding.Part{Name: "floor", Under: holding.Pull, Why: "the job does not give washer and thickness of the floor"}
	}
	return p, true
}

func withFloor(h *bank.HoldDown, parts ...holding.Part) []holding.Part {
	if p, ok := floorPart(h); ok {
		parts = append(parts, p)
	}
	return parts
}

// platePart gives the hole in aluminium that a bolt of a diameter bears in.
func platePart(h *bank.HoldDown, diameter float64, under holding.Load) (p holding.Part, ok bool) {
	if h.Plate.Alloy == "" {
		return p, false
	}
	a, _ := holding.FindAlloy(h.Plate.Alloy)
	v := holding.HoleBearing(a, diameter, h.Plate.Thickness, h.Plate.Edge)
	if math.IsNaN(v) || diameter == 0 {
		return holding.Part{Name: "hole", Under: under, Why: "the hole is nearer to the edge than two diameters, for which no figure is known"}, true
	}
	return holding.Part{Name: "hole", Under: under, Strength: holding.Strength{Break: v, Yield: v * a.Yield / a.Break, Ref: source.Ref{Title: "Aluminum Design Manual", At: "bearing of holes, yield in the ratio of the alloy's", Edition: "not at hand", How: source.Memory}}}, true
}

// rods adds the rods of bars, a pair for each.
func (k *mounter) rods(b *block, h *bank.HoldDown) {
	for n := 0; n+1 < len(h.At); n += 2 {
		bar := k.bar(h, h.At[n], h.At[n+1])
		for i := n; i < n+2; i++ {
			at := h.At[i]
			at.Z = k.boxOf(h.Holds).Max.Z
			parts := withFloor(h, boltPart("rod", h, holding.Pull), barPart(h, bar))
			b.add(h, holding.NewRod(numbered(h, i), vec(at), parts...), at)
		}
	}
}

// bar gives the bar between two rods: its span, and how much of it bears on the
// cases that it holds.
func (k *mounter) bar(h *bank.HoldDown, from, to bank.Point) holding.Bar {
	a, _ := holding.FindAlloy(h.Bar.Alloy)
	bar := holding.Bar{Section: sectionOf(&h.Bar), Alloy: a, Span: math.Hypot(to.X-from.X, to.Y-from.Y), Bears: h.Bar.Bears}
	if !h.Bar.BearsGiven {
		bar.Bears = k.bears(h, from, to)
	}
	return bar
}

// bears gives how far the bar lies on the cases, from the first to the last of
// those it touches; 0 where it crosses none.
func (k *mounter) bears(h *bank.HoldDown, from, to bank.Point) float64 {
	const level = 1e-3 // m, as far as two cases may differ in height and both be touched
	top := k.boxOf(h.Holds).Max.Z
	low, high := math.Inf(1), math.Inf(-1)
	for _, id := range h.Holds {
		body := k.body[id]
		if body.Max.Z < top-level {
			continue
		}
		if a, z, ok := lies(from, to, h.Bar.Width, bank.Box{Min: point(body.Min), Max: point(body.Max)}); ok {
			low, high = min(low, a), max(high, z)
		}
	}
	if low >= high {
		return 0
	}
	return (high - low) * math.Hypot(to.X-from.X, to.Y-from.Y)
}

// lies is crosses for a band of a width: by its middle or an edge.
func lies(from, to bank.Point, width float64, box bank.Box) (a, z float64, ok bool) {
	a, z = math.Inf(1), math.Inf(-1)
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	for _, side := range []float64{0, 0.5, -0.5} {
		off := bank.Point{X: -(to.Y - from.Y) / long * width * side, Y: (to.X - from.X) / long * width * side}
		if p, q, over := crosses(from.Add(off), to.Add(off), box); over {
			a, z, ok = min(a, p), max(z, q), true
		}
	}
	return a, z, ok
}

// bare finds the batteries that hold-downs are said to hold from above, but on
// which no bar or strap lies.
func (k *mounter) bare() {
	for i := range k.job.Bank.Batteries {
		id := k.job.Bank.Batteries[i].ID
		if k.body[id] == nil {
			continue
		}
		one, touched := report.MountBare{Battery: id}, false
		for n := range k.m.HoldDowns {
			h := &k.m.HoldDowns[n]
			above := h.Kind == bank.RodsAndBar || h.Kind == bank.StrapOver || h.Kind == bank.ShelfOver || h.Grips
			if !above || !slices.Contains(h.Holds, id) {
				continue
			}
			one.Holds = append(one.Holds, h.ID)
			touched = touched || k.touches(h, id)
		}
		if one.Holds != nil && !touched {
			k.out.Bare = append(k.out.Bare, one)
		}
	}
}

// touches reports whether a hold-down lies on a battery: a bar or strap that
// crosses it and is not kept off by a higher case, a shelf or gripping bracket
// always.
func (k *mounter) touches(h *bank.HoldDown, id string) bool {
	const level = 1e-3 // m
	width := h.Bar.Width
	if h.Kind == bank.StrapOver {
		width = float64(h.Width.V)
	} else if h.Kind != bank.RodsAndBar {
		return true
	}
	body := k.body[id]
	if h.Kind == bank.RodsAndBar && body.Max.Z < k.boxOf(h.Holds).Max.Z-level {
		return false
	}
	for n := 0; n+1 < len(h.At); n += 2 {
		if _, _, ok := lies(h.At[n], h.At[n+1], width, bank.Box{Min: point(body.Min), Max: point(body.Max)}); ok {
			return true
		}
	}
	return false
}

// crosses gives the parts of the way from one place to another, 0 to 1, between
// which it lies over a box on the plan.
func crosses(from, to bank.Point, box bank.Box) (a, z float64, ok bool) {
	a, z = 0, 1
	for _, d := range [][4]float64{{from.X, to.X, box.Min.X, box.Max.X}, {from.Y, to.Y, box.Min.Y, box.Max.Y}} {
		run := d[1] - d[0]
		if math.Abs(run) < 1e-12 {
			if d[0] < d[2] || d[0] > d[3] {
				return 0, 0, false
			}
			continue
		}
		p, q := (d[2]-d[0])/run, (d[3]-d[0])/run
		a, z = max(a, min(p, q)), min(z, max(p, q))
	}
	return a, z, a < z
}

func sectionOf(b *bank.HoldBar) holding.Section {
	switch b.Shape {
	case "tube":
		return holding.Tube(b.Width, b.Height, b.Wall)
	case "flat":
		return holding.Flat(b.Width, b.Height)
	case "angle":
		return holding.Angle(b.Width, b.Wall)
	}
	return holding.Round(b.Width)
}

func barPart(h *bank.HoldDown, bar holding.Bar) holding.Part {
	if h.Bar.Alloy == "" {
		return holding.Part{Name: "bar", Under: holding.Pull, Why: "the job does not give its alloy"}
	}
	return bar.Part("bar")
}

// strap adds straps over the top, each from anchor to anchor.
func (k *mounter) strap(b *block, h *bank.HoldDown, box bank.Box) {
	part := holding.StrapPart("strap", h.Rated, givenRef)
	if h.Rated == 0 {
		part = holding.Part{Name: "strap", Under: holding.Pull, Why: "the job does not give what it is rated for"}
	}
	for n := 0; n+1 < len(h.At); n += 2 {
		id := numbered(h, n/2)
		from, to, ok := leaves(h.At[n], h.At[n+1], box)
		if !ok {
			k.out.Unknown = append(k.out.Unknown, report.MountUnknown{ID: h.ID, Why: "its strap from " + placeWords(k.job, h.At[n]) + " lies over none of the batteries it holds"})
			continue
		}
		pairs := [][2]holding.Vec{{vec(from), vec(h.At[n])}, {vec(to), vec(h.At[n+1])}}
		b.add(h, holding.NewStrap(id, pairs, withFloor(h, part)...), from)
		k.out.Straps = append(k.out.Straps, report.MountStrap{Hold: id, Of: h.ID, From: from, To: to, Anchors: [2]bank.Point{h.At[n], h.At[n+1]}, Width: float64(h.Width.V)})
	}
}

// leaves gives where a strap between two anchors leaves the top of a box.
func leaves(one, other bank.Point, box bank.Box) (from, to bank.Point, ok bool) {
	a, z, ok := crosses(one, other, box)
	at := func(t float64) bank.Point {
		return bank.Point{X: one.X + float64(t*(other.X-one.X)), Y: one.Y + float64(t*(other.Y-one.Y)), Z: box.Max.Z}
	}
	return at(a), at(z), ok
}

// brackets adds brackets: each grips a foot, or stops the side that it is
// nearest to.
func (k *mounter) brackets(b *block, h *bank.HoldDown, box bank.Box) {
	for n, at := range h.At {
		if h.Grips {
			parts := []holding.Part{boltPart("bolt", h, holding.Combined), bodyPart("bracket", h, holding.Pull)}
			if t, ok := threadOf(h); ok {
				if p, ok := platePart(h, t.Diameter, holding.Shear); ok {
					parts = append(parts, p)
				}
			}
			at.Z = box.Min.Z
			b.add(h, holding.NewBolt(numbered(h, n), vec(at), withFloor(h, parts...)...), at)
			continue
		}
		at.Z = min(max(at.Z, box.Min.Z), box.Max.Z)
		parts := []holding.Part{bodyPart("bracket", h, holding.Push), boltPart("bolt", h, holding.Push)}
		b.add(h, holding.NewStop(numbered(h, n), vec(inward(at, box)), []holding.Vec{vec(at)}, parts...), at)
	}
}

// bodyPart gives the strength of a bracket, lip or shelf itself.
func bodyPart(name string, h *bank.HoldDown, under holding.Load) holding.Part {
	if h.Strength == 0 {
		return holding.Part{Name: name, Under: under, Why: "the job does not give its strength"}
	}
	return holding.Part{Name: name, Under: under, Strength: holding.Strength{Yield: h.Strength, Ref: givenRef}}
}

// inward gives the way in which a bracket at a place pushes back: away from the
// side of the box that it is nearest to.
func inward(at bank.Point, box bank.Box) bank.Point {
	best, toward := math.Inf(1), bank.Point{}
	for _, s := range []struct {
		off    float64
		toward bank.Point
	}{{at.X - box.Min.X, bank.Point{X: 1}}, {box.Max.X - at.X, bank.Point{X: -1}}, {at.Y - box.Min.Y, bank.Point{Y: 1}}, {box.Max.Y - at.Y, bank.Point{Y: -1}}} {
		if d := math.Abs(s.off); d < best {
			best, toward = d, s.toward
		}
	}
	return toward
}

func (k *mounter) pinParts(h *bank.HoldDown) []holding.Part {
	pin := holding.Part{Name: "pin", Under: holding.Shear, Why: "the job does not give its grade"}
	if g, ok := holding.FindGrade(h.Grade); ok {
		pin = holding.Part{Name: "pin", Under: holding.Shear, Strength: g.Pin(h.Diameter, h.Planes.V)}
	}
	parts := []holding.Part{pin}
	if p, ok := platePart(h, h.Diameter, holding.Shear); ok {
		parts = append(parts, p)
	}
	return parts
}

// shelf adds a shelf that rests on the batteries at its bolts, or at the corners
// of what it covers.
func (k *mounter) shelf(b *block, h *bank.HoldDown, box bank.Box) {
	at, bolts := h.At, len(h.At) > 0
	if !bolts {
		at = []bank.Point{{X: box.Min.X, Y: box.Min.Y}, {X: box.Max.X, Y: box.Min.Y}, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Max.Y}}
	}
	for n, p := range at {
		p.Z = box.Max.Z
		parts := []holding.Part{bodyPart("shelf", h, holding.Push)}
		if bolts && h.Thread != "" {
			bolt := boltPart("bolt", h, holding.Pull)
			bolt.Under = holding.Push // the shelf pushes down, its bolt is pulled as much
			parts = append(parts, bolt)
		}
		if floor, ok := floorPart(h); ok {
			floor.Under = holding.Push
			parts = append(parts, floor)
		}
		b.add(h, holding.NewShelf(numbered(h, n), []holding.Vec{vec(p)}, parts...), p)
	}
}

// clamp gives what presses the block down for friction: the least preload of the
// rods whose torque is given.
func (k *mounter) clamp(b *block) float64 {
	sum := 0.0
	for _, id := range b.in.Holds {
		h := k.m.HoldDown(id)
		if t, ok := threadOf(h); ok && h.Kind == bank.RodsAndBar && h.Torque > 0 {
			factor, _, _ := nutFactor(h)
			sum += float64(len(h.At)) * holding.Preload(float64(h.Torque), factor, t) * (1 - holding.Scatter)
		}
	}
	return sum
}
