package job

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// solid is a case or body that stands somewhere.
type solid struct {
	what, id string
	pos      Pos
	box      bank.Box
}

// PointOf gives a place of the file as a point.
func PointOf(f Field[[]quantity.Length]) bank.Point {
	return bank.Point{X: float64(f.V[0]), Y: float64(f.V[1]), Z: float64(f.V[2])}
}

// SizeOf gives a size as a point; ok is false where it was not given.
func SizeOf(s Size) (bank.Point, bool) {
	p := bank.Point{X: float64(s.Length.V), Y: float64(s.Width.V), Z: float64(s.Height.V)}
	return p, s.Length.Set && s.Width.Set && s.Height.Set
}

// solids lists the batteries and parts that have a place and a size.
func (k *checker) solids() []solid {
	var all []solid
	for i := range k.doc.Batteries {
		b := &k.doc.Batteries[i]
		size, ok := SizeOf(k.types[b.Type.V].Size)
		if b.At.Set && ok {
			all = append(all, solid{"battery", b.ID.V, b.At.Pos, bank.Body{At: PointOf(b.At), Size: size, Turn: b.Turn.V}.Box()})
		}
	}
	for i := range k.doc.Parts {
		p := &k.doc.Parts[i]
		if p.At.Set {
			size, _ := SizeOf(p.Size)
			all = append(all, solid{"part", p.ID.V, p.At.Pos, bank.Body{At: PointOf(p.At), Size: size, Turn: p.Turn.V}.Box()})
		}
	}
	return all
}

func (k *checker) checkGeometry() {
	all := k.solids()
	told := 0
	for i, a := range all {
		for _, b := range all[i+1:] {
			if a.box.Overlaps(b.box) {
				k.Add(b.pos, "%s %s and %s %s overlap by %s; move or turn one", a.what, a.id, b.what, b.id, overlapWords(a.box, b.box))
				if told++; told > maxItems {
					return // a thousand things in one place would be told half a million times
				}
			}
		}
	}
	for i := range k.doc.Compartments {
		k.sizePositive(k.doc.Compartments[i].Size)
	}
	for i := range k.doc.Passages {
		k.positive(k.doc.Passages[i].Diameter, "the diameter")
	}
	rooms := k.rooms()
	if len(rooms) == 0 || len(rooms) != len(k.doc.Compartments) {
		return
	}
	k.checkRooms(rooms)
	k.checkPassages(rooms)
	for _, s := range all {
		k.checkInside(s, rooms)
	}
}

func (k *checker) rooms() []solid {
	var rooms []solid
	for i := range k.doc.Compartments {
		c := &k.doc.Compartments[i]
		if size, ok := SizeOf(c.Size); ok && c.At.Set {
			rooms = append(rooms, solid{"compartment", c.ID.V, c.At.Pos, bank.Body{At: PointOf(c.At), Size: size}.Box()})
		}
	}
	return rooms
}

func (k *checker) checkRooms(rooms []solid) {
	for i, a := range rooms {
		for _, b := range rooms[i+1:] {
			if a.box.Overlaps(b.box) {
				k.Add(b.pos, "compartments %s and %s overlap by %s; their insides are apart by a wall", a.id, b.id, overlapWords(a.box, b.box))
			}
		}
	}
}

// checkPassages notes holes that are in no wall: a wall is the gap between the
// faces of two compartments.
func (k *checker) checkPassages(rooms []solid) {
	for i := range k.doc.Passages {
		p := &k.doc.Passages[i]
		if !p.At.Set || !p.Diameter.Set {
			continue
		}
		found := false
		for a := range rooms {
			for b := range rooms {
				found = found || a != b && inWall(PointOf(p.At), float64(p.Diameter.V), rooms[a].box, rooms[b].box)
			}
		}
		if !found {
			k.Add(p.At.Pos, "passage %s is in no wall between two compartments; at is the centre of the hole, in the gap between the two insides, and the whole hole lies on both faces", p.ID.V)
		}
	}
}

// inWall reports whether a hole goes from a through the gap to b, which lies
// further along one axis.
func inWall(at bank.Point, d float64, a, b bank.Box) bool {
	const slack = 1e-6 // m
	p, lowA, highA := axes(at), axes(a.Min), axes(a.Max)
	lowB, highB := axes(b.Min), axes(b.Max)
	for n := range p {
		if p[n] < highA[n]-slack || p[n] > lowB[n]+slack {
			continue
		}
		whole := true
		for m := range p {
			if m != n && (p[m]-d/2 < max(lowA[m], lowB[m])-slack || p[m]+d/2 > min(highA[m], highB[m])+slack) {
				whole = false
			}
		}
		if whole {
			return true
		}
	}
	return false
}

func axes(p bank.Point) [3]float64 { return [3]float64{p.X, p.Y, p.Z} }

func (k *checker) checkInside(s solid, rooms []solid) {
	var near solid
	for _, r := range rooms {
		if r.box.Contains(s.box) {
			return
		}
		if r.box.Overlaps(s.box) {
			near = r
		}
	}
	if near.id == "" {
		k.Add(s.pos, "%s %s stands in no compartment; move it into one, or add the compartment it stands in", s.what, s.id)
		return
	}
	k.Add(s.pos, "%s %s sticks out of compartment %s by %s; move or turn it, or mend the compartment's size", s.what, s.id, near.id, outWords(near.box, s.box))
}

// overlapWords gives the least move that would part two boxes.
func overlapWords(a, b bank.Box) string {
	least := math.Inf(1)
	for _, d := range []float64{
		a.Max.X - b.Min.X, b.Max.X - a.Min.X, a.Max.Y - b.Min.Y, b.Max.Y - a.Min.Y, a.Max.Z - b.Min.Z, b.Max.Z - a.Min.Z,
	} {
		least = math.Min(least, d)
	}
	return quantity.Show{}.Both(quantity.Length(least))
}

// outWords gives the largest distance by which a box passes its room.
func outWords(room, b bank.Box) string {
	most := 0.0
	for _, d := range []float64{
		room.Min.X - b.Min.X, b.Max.X - room.Max.X, room.Min.Y - b.Min.Y, b.Max.Y - room.Max.Y, room.Min.Z - b.Min.Z, b.Max.Z - room.Max.Z,
	} {
		most = math.Max(most, d)
	}
	return quantity.Show{}.Both(quantity.Length(most))
}
