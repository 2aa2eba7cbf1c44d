package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/heat"
	"bankwright/internal/model/bank"
)

// What the network takes for granted, each shown where it is used.
const (
	coreShare   = 0.85 // of a battery's heat capacity; the rest is its case and what lies under it
	acrossCells = 1.0  // W/(m·K) across a pack of cells, from memory
	nearFace    = 0.05 // m: faces nearer than this warm each other, further ones the air between
	touches     = 1e-3 // m: what a tape shows as touching
	leakage     = 0.5  // air changes an hour of a closed box
	leastNode   = 50.0 // J/K of a wall of hardly any mass
	postPath    = 1.0  // W/K from the cells through a post to its lug
	leastFree   = 0.05 // part of a face that the air always reaches
)

// warm is the thermal network of a job: which node is what.
type warm struct {
	j       *Job
	net     heat.Net
	names   []string
	core    []int          // by battery; -1: it stands in no walled compartment
	shell   []int          // likewise
	within  []string       // by battery: its compartment
	air     map[string]int // by compartment
	wall    map[string]int // by compartment and side
	places  []site
	touched map[string]float64 // m² of a wall's inside that batteries lie against
	bridged []string           // walls of which the frame makes the method rough
	floorUp []float64          // by battery: W/K to the floor it stands on
	floorR  map[string]float64 // K/W of a floor from a mat on it downwards
	gaps    bool               // an air gap was taken
}

// site is a given temperature: outside air, the ground, the cabin, or what
// stands for sun and air on one wall.
type site struct {
	what string
	wall *bank.Wall
	film float64 // m²K/W outside, of a wall in the sun
}

// newWarm builds the network; missing says in words what the job has to give.
func newWarm(j *Job) (w *warm, missing []string) {
	w = &warm{j: j, air: map[string]int{}, wall: map[string]int{}, touched: map[string]float64{}, floorR: map[string]float64{}}
	if len(j.Bank.Warmth.Walls) == 0 {
		return nil, []string{"walls of the compartment that the batteries are in"}
	}
	w.places = []site{{what: bank.AirOutside}, {what: bank.GroundOutside}, {what: bank.CabinOutside}}
	any := false
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		in := w.around(b)
		w.within = append(w.within, in)
		any = any || in != ""
		if in != "" && w.capacity(b) == 0 {
			missing = append(missing, "the mass of battery type "+b.Type)
		}
	}
	if !any {
		missing = append(missing, "batteries with size and at within a compartment that has walls")
	}
	if missing != nil {
		return nil, compact(missing)
	}
	for _, c := range j.Bank.Compartments {
		if w.walled(c.ID) {
			w.air[c.ID] = w.node("air of "+c.ID, math.Max(leastNode, volume(c.Box)*heat.Density*heat.HeatOfAir))
			w.tie(w.air[c.ID], 0, heat.Flow(volume(c.Box)*leakage/3600))
		}
	}
	w.batteries()
	for i := range j.Bank.Warmth.Walls {
		w.addWall(&j.Bank.Warmth.Walls[i])
	}
	w.net.Places = len(w.places)
	return w, nil
}

func compact(list []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range list {
		if !seen[s] {
			out = append(out, s)
		}
		seen[s] = true
	}
	return out
}

func volume(b bank.Box) float64 {
	return (b.Max.X - b.Min.X) * (b.Max.Y - b.Min.Y) * (b.Max.Z - b.Min.Z)
}

func (w *warm) node(name string, capacity float64) int {
	w.names = append(w.names, name)
	w.net.Capacity = append(w.net.Capacity, capacity)
	return len(w.names) - 1
}

func (w *warm) tie(node, place int, g float64) {
	w.net.Ties = append(w.net.Ties, heat.Tie{Node: node, Place: place, G: g})
}

func (w *warm) link(a, b int, g float64) {
	w.net.Links = append(w.net.Links, heat.Link{A: a, B: b, G: g})
}

// walled reports whether a compartment has walls, its own or a neighbour's.
func (w *warm) walled(id string) bool {
	for i := range w.j.Bank.Warmth.Walls {
		if d := &w.j.Bank.Warmth.Walls[i]; d.Compartment == id || d.Outside == id {
			return true
		}
	}
	return false
}

// around gives the walled compartment that a battery stands in, "" for none.
func (w *warm) around(b *bank.Battery) string {
	if !b.Placed {
		return ""
	}
	for _, c := range w.j.Bank.Compartments {
		if c.Box.Contains(b.Body.Box()) && w.walled(c.ID) {
			return c.ID
		}
	}
	return ""
}

// capacity is a battery's heat capacity, J/K; 0 where its mass is not known.
func (w *warm) capacity(b *bank.Battery) float64 {
	if b.Model.HeatCapacity.Known() {
		return b.Model.HeatCapacity.V
	}
	if row := w.j.cat.BatteryHeat(string(b.Chemistry)); row != nil {
		return float64(b.Mass) * row.Heat
	}
	return 0
}

// film gives a row of the catalogue's films, m²K/W.
func (w *warm) film(id string) float64 { return w.j.cat.Film(id).Resistance }

// batteries adds a core and a case for each battery, and what passes between
// cases and from them to walls and air.
func (w *warm) batteries() {
	n := len(w.j.Bank.Batteries)
	w.core, w.shell, w.floorUp = make([]int, n), make([]int, n), make([]float64, n)
	for i := range w.j.Bank.Batteries {
		b := &w.j.Bank.Batteries[i]
		w.core[i], w.shell[i] = -1, -1
		if w.within[i] == "" {
			continue
		}
		c := w.capacity(b)
		w.core[i], w.shell[i] = w.node(b.ID, coreShare*c), w.node("case of "+b.ID, (1-coreShare)*c)
		w.link(w.core[i], w.shell[i], coreToCase(b.Outside))
	}
	covered := make([][6]float64, n) // m² by side
	for i := range n {
		for k := i + 1; k < n; k++ {
			if w.within[i] != "" && w.within[i] == w.within[k] {
				w.neighbours(i, k, &covered[i], &covered[k])
			}
		}
	}
	for i := range n {
		if w.within[i] != "" {
			w.faces(i, &covered[i])
		}
	}
}

// coreToCase is what passes from the mean of a block to its two large faces,
// W/K: heat that arises all through a sheet of half thickness h meets h/(3k).
func coreToCase(size bank.Point) float64 {
	thin := math.Min(size.X, size.Y)
	wide := math.Max(size.X, size.Y)
	return 2 * wide * size.Z * 3 * acrossCells / (thin / 2)
}

// side is one face of a box: the axis, and whether it is the upper end.
func face(b bank.Box, side int) (axis int, at float64) {
	lo, hi := [3]float64{b.Min.X, b.Min.Y, b.Min.Z}, [3]float64{b.Max.X, b.Max.Y, b.Max.Z}
	switch bank.Sides[side] {
	case bank.FloorSide:
		return 2, lo[2]
	case bank.LidSide:
		return 2, hi[2]
	case bank.LeftSide:
		return 0, lo[0]
	case bank.RightSide:
		return 0, hi[0]
	case bank.FrontSide:
		return 1, lo[1]
	}
	return 1, hi[1]
}

// overlap gives the area that two boxes share, seen along an axis.
func overlap(a, b bank.Box, axis int) float64 {
	lowA, highA := [3]float64{a.Min.X, a.Min.Y, a.Min.Z}, [3]float64{a.Max.X, a.Max.Y, a.Max.Z}
	lowB, highB := [3]float64{b.Min.X, b.Min.Y, b.Min.Z}, [3]float64{b.Max.X, b.Max.Y, b.Max.Z}
	area := 1.0
	for n := range 3 {
		if n != axis {
			area *= math.Max(0, math.Min(highA[n], highB[n])-math.Max(lowA[n], lowB[n]))
		}
	}
	return area
}

// across is the resistance of a gap between two faces, m²K/W: contact, then the
// air layer of ISO 6946 for level heat (0.11, 0.15, 0.18 at 5, 10, 15 mm and
// more; from memory), straight between.
func (w *warm) across(gap float64) float64 {
	touch, wide := w.film("touching"), w.film("air_gap")
	if gap <= touches {
		return touch
	}
	w.gaps = true
	line := bank.Line{{X: touches, Y: touch}, {X: 0.005, Y: 0.11}, {X: 0.010, Y: 0.15}, {X: 0.015, Y: wide}}
	return line.At(gap)
}

// neighbours joins two batteries over each pair of faces that are near.
func (w *warm) neighbours(i, k int, ci, ck *[6]float64) {
	a, b := w.j.Bank.Batteries[i].Body.Box(), w.j.Bank.Batteries[k].Body.Box()
	for s := range bank.Sides {
		axis, at := face(a, s)
		against := sideIndex(bank.Against(bank.Sides[s]))
		_, other := face(b, against)
		gap := other - at
		if s == 0 || s == 2 || s == 4 { // the lower end: the neighbour lies below
			gap = at - other
		}
		area := overlap(a, b, axis)
		if gap < -1e-6 || gap > nearFace || area <= 0 {
			continue
		}
		ci[s] += area
		ck[against] += area
		w.link(w.shell[i], w.shell[k], area/w.across(gap))
	}
}

func sideIndex(side string) int {
	for i, s := range bank.Sides {
		if s == side {
			return i
		}
	}
	return -1
}

// faces joins a battery's case to the walls it is near to and to the air.
func (w *warm) faces(i int, covered *[6]float64) {
	b := &w.j.Bank.Batteries[i]
	box, room := b.Body.Box(), w.room(w.within[i])
	free := 0.0
	for s := range bank.Sides {
		axis, at := face(box, s)
		_, end := face(room, s)
		area := math.Max(0, overlap(box, box, axis)-covered[s])
		wall := w.j.Bank.Warmth.Wall(w.within[i], bank.Sides[s])
		if gap := math.Abs(end - at); gap > nearFace || wall == nil || area == 0 {
			free += area
		} else {
			key := w.within[i] + "/" + bank.Sides[s]
			inner, _ := w.of(wall)
			g := area / (w.across(gap) + math.Max(1e-3, inner.Inner-w.inside(wall)))
			w.touched[key] += area
			w.link(w.shell[i], w.wallNode(wall), g)
			if s == 0 && gap <= touches {
				w.floorUp[i] = area / w.across(gap)
				w.floorR[w.within[i]] = math.Max(1e-3, inner.Inner-w.inside(wall))
			}
		}
	}
	w.link(w.shell[i], w.air[w.within[i]], free/w.film("level"))
}

func (w *warm) room(id string) bank.Box {
	for _, c := range w.j.Bank.Compartments {
		if c.ID == id {
			return c.Box
		}
	}
	return bank.Box{}
}

// inside is the film on the inside of a wall: heat goes up through a lid, down
// through a floor.
func (w *warm) inside(d *bank.Wall) float64 {
	switch d.Side {
	case bank.LidSide:
		return w.film("up")
	case bank.FloorSide:
		return w.film("down")
	}
	return w.film("level")
}

// outer is the film on the outside.
func (w *warm) outer(d *bank.Wall) float64 {
	switch d.Outside {
	case bank.AirOutside:
		return w.film("outside")
	case bank.DrivingOutside:
		return w.film("driving")
	case bank.GroundOutside:
		return 0
	}
	return w.film("level")
}

// of works a wall out.
func (w *warm) of(d *bank.Wall) (heat.Wall, error) {
	layers := func(list []bank.WallLayer) []heat.Layer {
		var all []heat.Layer
		for _, l := range list {
			all = append(all, heat.Layer{Thickness: l.Thickness, Conductivity: l.Conductivity, Density: l.Density, Heat: l.HeatOfMass})
		}
		return all
	}
	return heat.Mixed(layers(d.Layers), layers(d.Frame), float64(d.Framed), heat.Films{Inside: w.inside(d), Outside: w.outer(d)})
}

// wallNode gives the node of a wall, made at its first use.
func (w *warm) wallNode(d *bank.Wall) int {
	key := d.Compartment + "/" + d.Side
	if n, ok := w.wall[key]; ok {
		return n
	}
	u, _ := w.of(d)
	n := w.node(d.Side+" of "+d.Compartment, math.Max(leastNode, u.Storage*d.Area.V))
	w.wall[key] = n
	return n
}

// addWall joins a wall to the air inside and to what is outside of it.
func (w *warm) addWall(d *bank.Wall) {
	u, err := w.of(d)
	if err != nil {
		panic("assess: a wall that was read cannot be: " + err.Error()) // layers are checked when they are read
	}
	if u.Bridged {
		w.bridged = append(w.bridged, d.Side+" of "+d.Compartment)
	}
	n := w.wallNode(d)
	bare := math.Max(leastFree*d.Area.V, d.Area.V-w.touched[d.Compartment+"/"+d.Side])
	w.link(n, w.air[d.Compartment], bare/u.Inner)
	g := d.Area.V / math.Max(1e-4, u.Outer)
	switch d.Outside {
	case bank.GroundOutside:
		w.tie(n, 1, g)
	case bank.CabinOutside:
		w.tie(n, 2, g)
	case bank.AirOutside, bank.DrivingOutside:
		w.tie(n, len(w.places), g)
		w.places = append(w.places, site{what: d.Outside, wall: d, film: w.outer(d)})
	default:
		w.link(n, w.air[d.Outside], g)
	}
}

// lump is the whole as one body: its capacity, and what it loses to all places
// together when the batteries are one temperature, W/K.
func (w *warm) lump() (heat.Lump, error) {
	l := heat.Lump{}
	for _, c := range w.net.Capacity {
		l.Capacity += c
	}
	loss, err := w.loss()
	l.Loss = loss
	return l, err
}

// loss is what a kelvin between the batteries' mean and all places costs, W/K:
// by a watt spread over the cores.
func (w *warm) loss() (float64, error) {
	m, err := w.net.Modes()
	if err != nil {
		return 0, err
	}
	push, sum, n := make([]float64, len(w.names)), 0.0, 0
	for _, c := range w.core {
		if c >= 0 {
			n++
		}
	}
	for _, c := range w.core {
		if c >= 0 {
			push[c] = 1 / float64(n)
		}
	}
	at, err := m.Steady(make([]float64, len(w.places)), push)
	if err != nil {
		return 0, err
	}
	for _, c := range w.core {
		if c >= 0 {
			sum += at[c] / float64(n)
		}
	}
	return 1 / sum, nil
}

// assumed lists what the network rests on that nobody gave.
func (w *warm) assumed(l *assumptions) {
	show := w.j.Bank.Show
	practice, memory := "common practice, no source", "from memory"
	for i := range w.j.Bank.Batteries {
		b := &w.j.Bank.Batteries[i]
		if w.core[i] < 0 {
			continue
		}
		l.add("heat capacity", b.ID, fmt.Sprintf("%.1f kJ a kelvin", w.capacity(b)/1e3), "mass times the specific heat of the chemistry", memory)
		l.add("from core to case", b.ID, fmt.Sprintf("%.1f W a kelvin", coreToCase(b.Outside)), fmt.Sprintf("%g W/(m·K) across the cells; %.0f %% of the heat capacity within", acrossCells, 100*coreShare), memory)
	}
	l.add("faces nearer than", "batteries and walls", show.FormatLength(nearFace), "warm each other straight across, those that touch by 0.015 m²K/W; others warm the air", practice)
	for _, c := range w.j.Bank.Compartments {
		if _, ok := w.air[c.ID]; ok {
			l.add("air that leaks", c.ID, fmt.Sprintf("%g changes an hour", leakage), "a closed box", practice)
		}
	}
	for i := range w.j.Bank.Warmth.Walls {
		d := &w.j.Bank.Warmth.Walls[i]
		place := d.Side + " of " + d.Compartment
		addAssumed(l, "surface", place, d.Surface.V, d.Surface)
		addAssumed(l, "frame", place, d.FrameFrom.V, d.FrameFrom)
		for _, layer := range d.Layers {
			if layer.Ref.How == source.Memory || layer.Ref.How == source.Practice {
				l.add("heat through "+layer.Material, place, fmt.Sprintf("%g W/(m·K)", layer.Conductivity), "", layer.Ref.String())
			}
		}
		if d.Outside == bank.GroundOutside {
			l.add("ground", place, "mean air of the thirty days before", "no resistance of the ground itself is counted", practice)
		}
	}
	if w.bridged != nil {
		l.add("frame", strings.Join(w.bridged, ", "), "rough", "the frame leads so much better than what it stands in that the published way does not hold; more heat may pass", "ISO 6946 (from memory)")
	}
}
