package job

import (
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// nameHeat gives the things of heat their names.
func (k *checker) nameHeat() {
	d := k.doc
	for i := range d.Heaters {
		k.name("heater", d.Heaters[i].ID)
	}
	for i := range d.Fans {
		k.name("fan", d.Fans[i].ID)
	}
	for i := range d.Vents {
		k.name("vent", d.Vents[i].ID)
	}
	for i := range d.Sensors {
		k.name("sensor", d.Sensors[i].ID)
	}
}

// checkPlaceKeys notes a place whose weather is missing, double or upside down.
func (k *checker) checkPlaceKeys() {
	p := &k.doc.Place
	if p.Pos == (Pos{}) {
		return
	}
	switch {
	case p.Climate.Written() && p.Months != nil:
		k.Add(p.Climate.Pos, "the place has a climate and months of its own; give one of the two")
	case !p.Climate.Written() && p.Months == nil:
		k.Add(p.Pos, "the place has no weather; give climate, a station of the catalogue, or months, as in climate: golden")
	case p.Months != nil && !p.Latitude.Written():
		k.Add(p.Pos, "months need the latitude beside them, as in latitude: 46.5 °")
	}
	suns := 0
	for i := range p.Months {
		m := &p.Months[i]
		if m.High.Set && m.Low.Set && m.Low.V > m.High.V {
			k.Add(m.Pos, "the month's low is above its high; are they swapped?")
		}
		if m.Sun.Written() {
			suns++
		}
	}
	if suns > 0 && suns < len(p.Months) {
		k.Add(p.Pos, "%d of the months have sun; give it for all twelve or for none", suns)
	}
	if p.Coldest.Set && p.Hottest.Set && p.Coldest.V >= p.Hottest.V {
		k.Add(p.Hottest.Pos, "the hottest hour is not above the coldest")
	}
}

// sides names the walls of a compartment in order.
var sides = []string{bank.FloorSide, bank.LidSide, bank.LeftSide, bank.RightSide, bank.FrontSide, bank.BackSide}

// Side gives the wall of a side as it stands in the file: of its own, or all.
func (w *Walls) Side(side string) *Wall {
	own := map[string]*Wall{bank.FloorSide: &w.Floor, bank.LidSide: &w.Lid, bank.LeftSide: &w.Left, bank.RightSide: &w.Right, bank.FrontSide: &w.Front, bank.BackSide: &w.Back}[side]
	if own.Written() {
		return own
	}
	return &w.All
}

// checkHeatKeys notes what does not fit in walls, heaters, fans, vents and
// sensors.
func (k *checker) checkHeatKeys() {
	for i := range k.doc.Compartments {
		k.checkWalls(&k.doc.Compartments[i])
	}
	for i := range k.doc.Parts {
		k.is("compartment", k.doc.Parts[i].In)
	}
	for i := range k.doc.Heaters {
		k.checkHeater(&k.doc.Heaters[i])
	}
	for i := range k.doc.Fans {
		f := &k.doc.Fans[i]
		k.inside(f.Compartment, f.Pos)
		k.thermostat(f.Off, f.On, "on is not above off; a fan starts at the warmer and stops at the cooler one")
	}
	for i := range k.doc.Vents {
		k.inside(k.doc.Vents[i].Compartment, k.doc.Vents[i].Pos)
	}
	for i := range k.doc.Sensors {
		k.checkSensor(&k.doc.Sensors[i])
	}
}

func (k *checker) thermostat(low, high Field[quantity.Temperature], words string) {
	if low.Set && high.Set && !(low.V < high.V) {
		k.Add(high.Pos, "%s", words)
	}
}

// inside notes a compartment that is not there, or that is left out where there
// are several.
func (k *checker) inside(id Field[string], pos Pos) {
	switch n := len(k.doc.Compartments); {
	case id.Written():
		k.is("compartment", id)
	case n == 0:
		k.Add(pos, "there is no compartment for it; add one with walls under compartments")
	case n > 1:
		k.Add(pos, "there are %d compartments; say which one, as in compartment: %s", n, k.doc.Compartments[0].ID.V)
	}
}

func (k *checker) checkWalls(c *Compartment) {
	w := &c.Walls
	if w.Pos == (Pos{}) {
		return
	}
	for _, one := range []*Wall{&w.Floor, &w.Lid, &w.Left, &w.Right, &w.Front, &w.Back, &w.All} {
		for i := range one.Layers {
			k.positive(one.Layers[i].Thickness, "the thickness")
		}
		if one.Framed.Set && one.Framed.V >= 1 {
			k.Add(one.Framed.Pos, "a wall that is all frame is a wall of that material; write it as a layer")
		}
		if one.Frame.Set && !one.Framed.Written() {
			k.Add(one.Frame.Pos, "frame needs framed beside it, the part of the area, as in framed: 10 %%")
		}
		if o := one.Outside; o.Set && !outsideWord(o.V) {
			k.checkBeyond(c, o)
		}
		if o := one.Outside; o.Set && o.V == bank.CabinOutside && !k.doc.Place.Cabin.Written() {
			k.Add(o.Pos, "the cabin's temperature is not given; write cabin under place, as in cabin: 16 °C")
		}
	}
	var missing []string
	for _, side := range sides {
		if !w.Side(side).Written() && !k.walledBy(c.ID.V, side) {
			missing = append(missing, side)
		}
	}
	if missing != nil {
		k.Add(w.Pos, "compartment %s has no wall %s; give it, or all for the rest", c.ID.V, strings.Join(missing, ", "))
	}
}

func outsideWord(s string) bool {
	return s == bank.AirOutside || s == bank.GroundOutside || s == bank.CabinOutside || s == bank.DrivingOutside
}

// checkBeyond looks at a wall to another compartment.
func (k *checker) checkBeyond(c *Compartment, o Field[string]) {
	have, ok := k.ids[o.V]
	switch {
	case !ok || have.what != "compartment":
		k.Add(o.Pos, "%q is behind no wall: air, ground, cabin, driving, or the ID of another compartment", clip(o.V))
	case o.V == c.ID.V:
		k.Add(o.Pos, "a wall of %s cannot have %s behind it", o.V, o.V)
	default:
		for i := range k.doc.Compartments {
			if d := &k.doc.Compartments[i]; d.ID.V == o.V && d.Walls.Pos == (Pos{}) {
				k.Add(o.Pos, "compartment %s has no walls, so how warm it is cannot be told; give it walls", o.V)
			} else if d.ID.V == o.V && i < k.index(c) && k.leads(d, c.ID.V) {
				k.Add(o.Pos, "the wall between %s and %s is given in both; give it in one of them", o.V, c.ID.V)
			}
		}
	}
}

func (k *checker) index(c *Compartment) int {
	for i := range k.doc.Compartments {
		if &k.doc.Compartments[i] == c {
			return i
		}
	}
	return -1
}

// leads reports whether a wall of c has another compartment behind it.
func (k *checker) leads(c *Compartment, to string) bool {
	for _, side := range sides {
		if w := c.Walls.Side(side); w.Outside.V == to {
			return true
		}
	}
	return false
}

// walledBy reports whether another compartment's wall closes a side of this one.
func (k *checker) walledBy(id, side string) bool {
	against := bank.Against(side)
	for i := range k.doc.Compartments {
		if w := k.doc.Compartments[i].Walls.Side(against); w.Outside.Set && w.Outside.V == id {
			return true
		}
	}
	return false
}

func (k *checker) checkHeater(h *Heater) {
	k.thermostat(h.On, h.Off, "off is not above on; a heater starts at the cooler and stops at the warmer one")
	if h.At.Set && h.At.V != bank.AtAir && h.At.V != bank.AtFloor {
		k.is("battery", h.At)
	} else {
		k.inside(h.Compartment, h.Pos)
	}
	if h.Sensor.Set && h.Sensor.V != bank.AtAir {
		k.is("battery", h.Sensor)
	}
	if h.At.V == bank.AtFloor && !h.Sensor.Written() {
		k.Add(h.Pos, "a mat on the floor needs the place of its thermostat: a battery, or air, as in sensor: B1")
	}
}

func (k *checker) checkSensor(s *Sensor) {
	if s.Source.Set && k.is("part", s.Source) {
		for i := range k.doc.Parts {
			if p := &k.doc.Parts[i]; p.ID.V == s.Source.V && p.Kind.Set && !p.Kind.V.Charges() {
				k.Add(s.Source.Pos, "%s is %s, which charges nothing", p.ID.V, oneKind(p.Kind.V))
			}
		}
	}
	if !s.At.Set {
		return
	}
	if s.At.V == bank.AtAir || bank.IsSide(s.At.V) {
		k.inside(s.Compartment, s.Pos)
		return
	}
	id := strings.TrimRight(s.At.V, "+-")
	have := k.ids[id].what
	if have != "battery" && (have != "heater" || id != s.At.V) {
		k.Add(s.At.Pos, "%q is no place of a sensor: a battery, a post as in B2+, air, a side of the compartment, or a heater", clip(s.At.V))
	}
}
