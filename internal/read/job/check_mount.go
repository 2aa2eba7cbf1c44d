package job

import "slices"

// nameMount gives the hold-downs their names.
func (k *checker) nameMount() {
	for i := range k.doc.Mounting.HoldDowns {
		k.name("hold-down", k.doc.Mounting.HoldDowns[i].ID)
	}
}

// checkMounting notes what does not fit in the mounting.
func (k *checker) checkMounting() {
	m := &k.doc.Mounting
	if m.Loads.Pos != (Pos{}) {
		k.checkLoads(m)
	}
	for i := range m.HoldDowns {
		k.checkHoldDown(&m.HoldDowns[i])
	}
	k.checkVehicle(m)
	for i := range k.doc.Types {
		t := &k.doc.Types[i].V
		for _, c := range t.Caps {
			if c.Set && (t.Size.Length.Set && c.V[0] > t.Size.Length.V || t.Size.Width.Set && c.V[1] > t.Size.Width.V || c.V[0] < 0 || c.V[1] < 0) {
				k.Add(c.Pos, "the cap lies outside the case; it is [along the length, along the width] like the posts")
			}
		}
	}
}

func (k *checker) checkLoads(m *Mounting) {
	l := &m.Loads
	if m.Rule.Written() {
		k.Add(l.Pos, "the mounting has a rule and loads of its own; give one of the two")
	}
	asked := false
	for _, f := range []Field[float64]{l.Forward, l.Aft, l.Side, l.Up, l.Down} {
		asked = asked || f.Written() && (!f.Set || f.V > 0)
	}
	if !asked {
		k.Add(l.Pos, "the loads ask nothing in any direction; give at least one, as in forward: 2 g")
	}
	if l.Down.Set && l.Down.V > 0 && l.Down.V < 1 {
		k.Add(l.Down.Pos, "down has the weight itself in it, so it is 1 g or more")
	}
}

// holdNeeds says which keys a kind needs, and which others it may have.
var holdNeeds = map[string]struct{ needs, may []string }{
	"rods_and_bar": {[]string{"at", "thread", "bar"}, []string{"grade", "torque", "nut", "floor", "isolated"}},
	"strap":        {[]string{"at"}, []string{"rated", "width", "floor"}},
	"bracket":      {[]string{"at"}, []string{"thread", "grade", "torque", "nut", "plate", "floor", "strength", "grips", "isolated", "metal"}},
	"tray":         {[]string{"lip"}, []string{"at", "thread", "grade", "torque", "nut", "plate", "floor", "strength", "sides", "isolated", "metal"}},
	"pin":          {[]string{"at", "axis", "diameter"}, []string{"grade", "planes", "plate", "isolated"}},
	"shelf":        {nil, []string{"at", "thread", "grade", "torque", "nut", "floor", "strength", "isolated", "metal"}},
}

// holdExample is how a key that is needed is written.
var holdExample = map[string]string{
	"at": "at: [[1 in, -1 in, 0 in], [1 in, 14 in, 0 in]]", "thread": "thread: M8", "bar": "bar: {shape: tube, width: 1 in, wall: 1/8 in, alloy: 6061-T6}",
	"lip": "lip: 2 in", "axis": "axis: x", "diameter": "diameter: 1/4 in",
}

// written gives where each key of a hold-down that may or may not fit stands.
func (h *HoldDown) written() map[string]Pos {
	at := Pos{}
	if h.At != nil {
		at = h.At[0].Pos
	}
	sides := Pos{}
	if h.Sides != nil {
		sides = h.Sides[0].Pos
	}
	return map[string]Pos{"at": at, "thread": h.Thread.Pos, "grade": h.Grade.Pos, "torque": h.Torque.Pos, "nut": h.Nut.Pos, "bar": h.Bar.Pos, "plate": h.Plate.Pos,
		"floor": h.Floor.Pos, "rated": h.Rated.Pos, "strength": h.Strength.Pos, "width": h.Width.Pos, "lip": h.Lip.Pos, "sides": sides, "grips": h.Grips.Pos,
		"isolated": h.Isolated.Pos, "axis": h.Axis.Pos, "diameter": h.Diameter.Pos, "planes": h.Planes.Pos, "metal": h.Metal.Pos}
}

func (k *checker) checkHoldDown(h *HoldDown) {
	seen := map[string]bool{}
	for _, b := range h.Holds {
		if k.is("battery", b) && seen[b.V] {
			k.Add(b.Pos, "%s is named twice in holds", b.V)
		}
		seen[b.V] = true
	}
	k.checkHoldKeys(h)
	k.positive(h.Width, "the width")
	k.positive(h.Diameter, "the diameter")
	k.positive(h.Lip, "the lip")
	if pairs := h.Kind.V == "rods_and_bar" || h.Kind.V == "strap"; pairs && h.At != nil && len(h.At)%2 != 0 {
		what := "rods come in pairs, one at each end of a bar"
		if h.Kind.V == "strap" {
			what = "a strap has two anchors"
		}
		k.Add(h.At[len(h.At)-1].Pos, "%s has %d places; %s", h.ID.V, len(h.At), what)
	}
	k.checkApart(h)
	k.checkHoldBar(h)
	for _, f := range []struct {
		pos  Pos
		both bool
	}{{h.Torque.Pos, h.Thread.Written()}, {h.Nut.Pos, h.Torque.Written()}} {
		if f.pos != (Pos{}) && !f.both {
			k.Add(f.pos, "torque needs the thread, and nut the torque, beside it, as in thread: M8, torque: 3 N·m")
		}
	}
}

// checkHoldKeys notes keys that a kind lacks or has no use for.
func (k *checker) checkHoldKeys(h *HoldDown) {
	kind, ok := holdNeeds[h.Kind.V]
	if !h.Kind.Set || !ok {
		return
	}
	written := h.written()
	for _, key := range kind.needs {
		if written[key] == (Pos{}) {
			k.Add(h.Pos, "%s is %s, which needs %s, as in %s", h.ID.V, oneHold(h.Kind.V), key, holdExample[key])
		}
	}
	for _, p := range holdDownKeys.props {
		if pos := written[p.key]; pos != (Pos{}) && !slices.Contains(kind.needs, p.key) && !slices.Contains(kind.may, p.key) {
			k.Add(pos, "%s is %s, to which %s has no meaning", h.ID.V, oneHold(h.Kind.V), p.key)
		}
	}
}

// oneHold names a kind of hold-down for a sentence.
func oneHold(kind string) string {
	if kind == "rods_and_bar" {
		return "rods with bars"
	}
	return "a " + kind
}

// checkApart notes pairs of places that lie on one another.
func (k *checker) checkApart(h *HoldDown) {
	if h.Kind.V != "rods_and_bar" && h.Kind.V != "strap" {
		return
	}
	for i := 0; i+1 < len(h.At); i += 2 {
		a, b := h.At[i], h.At[i+1]
		if a.Set && b.Set && a.V[0] == b.V[0] && a.V[1] == b.V[1] {
			k.Add(b.Pos, "both ends of a pair are at one place of the plan")
		}
	}
}

func (k *checker) checkHoldBar(h *HoldDown) {
	b := &h.Bar
	if !b.Written() {
		return
	}
	k.positive(b.Width, "the width")
	k.positive(b.Height, "the height")
	k.positive(b.Wall, "the wall")
	switch shape := b.Shape.V; {
	case (shape == "tube" || shape == "angle") && !b.Wall.Written():
		k.Add(b.Pos, "the %s needs its wall, as in wall: 1/8 in", shape)
	case shape == "flat" && !b.Height.Written():
		k.Add(b.Pos, "the flat bar needs its height, its thickness as it lies, as in height: 1/4 in")
	case shape == "angle" && b.Wall.Set && b.Width.Set && b.Wall.V >= b.Width.V:
		k.Add(b.Wall.Pos, "the wall is as thick as the leg is long")
	}
}

// checkVehicle notes a hitch that does not lie ahead of the axle.
func (k *checker) checkVehicle(m *Mounting) {
	v := &m.Vehicle
	if !v.Written() {
		return
	}
	if v.Mass.Written() != v.Centre.Written() {
		k.Add(v.Pos, "mass and centre of the vehicle belong together; give both or neither")
	}
	k.positive(v.Track, "the track")
	if !v.Axle.Set || !v.Hitch.Set || !m.Forward.Set {
		return
	}
	axis, sign := 0, 1.0
	if m.Forward.V[1] == 'y' {
		axis = 1
	}
	if m.Forward.V[0] == '-' {
		sign = -1
	}
	if !(sign*float64(v.Hitch.V[axis]-v.Axle.V[axis]) > 0) {
		k.Add(v.Hitch.Pos, "the hitch does not lie ahead of the axle: the vehicle goes %s", m.Forward.V)
	}
}
