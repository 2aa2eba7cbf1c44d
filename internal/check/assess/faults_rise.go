package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/engine/fault"
	"bankwright/internal/model/bank"
)

// FaultRise is how fast the current of one dead short grows.
type FaultRise struct {
	Inductance float64 // H of the loop; NaN not known
	Routed     bool    // by where the cables run, else by their lengths alone
	Partly     bool    // by where the cables run up to some place, from there by length; not Routed
	Why        string  // Inductance is not known, or not by routes; "" by routes
	Most       fault.Rise
	Least      fault.Rise
}

// Part is the time in s after which a part of the last current flows, NaN not
// known.
func (r *FaultRise) Part(rise fault.Rise, part float64) float64 {
	if math.IsNaN(r.Inductance) {
		return math.NaN()
	}
	return rise.Reaches(part)
}

// Geometry that no job tells, m. Common practice, no source: what is in a
// battery counts as a round bar from post to post, a part as one between its
// ends, the short itself as a straight cable from the place to the negative
// take-off.
const (
	batteryRadius = 20e-3
	partRadius    = 5e-3
	linkRadius    = loopRadius
)

// smallShare is the part of a short's current that a conductor may carry
// without its inductance counting: it enters squared.
const smallShare = 0.01

// maxFilaments bounds the work, which grows with the square of them. A limit of
// ours.
const maxFilaments = 800

// field is the magnetic side of a job: the way of each conductor in space, by
// the place it has in the flows of a fault, batteries first.
type field struct {
	j      *Job
	ways   [][]fault.Filament // nil: not known where it runs
	names  []string
	halves []float64        // H, by length alone with the way back beside it; NaN not known
	own    [][]float64      // H between ways, NaN not computed yet
	at     map[bank.End]int // islands of copper, nil not asked yet
	crowd  bool             // too many for the routes to count
}

// magnetic lays out the ways of all conductors.
func (j *Job) magnetic(flows []fault.Flow) *field {
	f := &field{j: j}
	count := 0
	add := func(name string, way []fault.Filament, half float64) {
		count += len(way)
		f.names, f.ways, f.halves = append(f.names, name), append(f.ways, way), append(f.halves, half)
	}
	for i := range j.Bank.Batteries {
		b := &j.Bank.Batteries[i]
		add("battery "+b.ID, j.straight(b.Minus(), b.Plus(), batteryRadius), 0)
	}
	for i, one := range flows {
		if i < len(j.Bank.Cables) {
			c := &j.Bank.Cables[i]
			add("cable "+c.ID, j.routed(c), j.halfLoop(c))
			continue
		}
		add(one.ID, j.straight(one.From, one.To, partRadius), 0)
	}
	f.crowd = count > maxFilaments
	for range f.ways {
		row := make([]float64, len(f.ways))
		for k := range row {
			row[k] = math.NaN()
		}
		f.own = append(f.own, row)
	}
	return f
}

// straight is the way between two places, nil where one of them is not known.
func (j *Job) straight(from, to bank.End, radius float64) []fault.Filament {
	a, ok1 := j.Bank.Locate(from)
	b, ok2 := j.Bank.Locate(to)
	if !ok1 || !ok2 {
		return nil
	}
	return []fault.Filament{{From: [3]float64{a.X, a.Y, a.Z}, To: [3]float64{b.X, b.Y, b.Z}, Radius: radius}}
}

// routed is the way of a cable whose length is that of its route.
func (j *Job) routed(c *bank.Cable) []fault.Filament {
	if c.Length.Origin != source.Routed {
		return nil
	}
	radius := j.strands(c)
	for i := range j.Routes {
		if j.Routes[i].Cable != c.ID {
			continue
		}
		var way []fault.Filament
		p := j.Routes[i].Points
		for k := 1; k < len(p); k++ {
			way = append(way, fault.Filament{From: [3]float64{p[k-1].X, p[k-1].Y, p[k-1].Z}, To: [3]float64{p[k].X, p[k].Y, p[k].Z}, Radius: radius})
		}
		return way
	}
	return nil
}

// strands is the radius of a cable's copper, m: of its size, else the usual
// one.
func (j *Job) strands(c *bank.Cable) float64 {
	if row := j.cat.Conductor(c.Size); row != nil {
		if d, _, err := conductor.Diameters(float64(row.Section), conductor.FlexibleFill, conductor.BoatWalls()); err == nil {
			return d / 2
		}
	}
	return loopRadius
}

// halfLoop is a cable's half of a loop whose other half lies beside it,
// loopSpacing from centre to centre, or touching where it is thicker, H; NaN
// without a length.
func (j *Job) halfLoop(c *bank.Cable) float64 {
	r := j.strands(c)
	per, err := fault.LoopInductance(math.Max(loopSpacing, 2*r), r)
	if err != nil || !c.Length.Known() {
		return math.NaN()
	}
	return per / 2 * float64(c.Length.V)
}

// between is the inductance between two ways, computed once.
func (f *field) between(a, b int) float64 {
	if math.IsNaN(f.own[a][b]) {
		f.own[a][b] = fault.Inductance(f.ways[a], f.ways[b])
		f.own[b][a] = f.own[a][b]
	}
	return f.own[a][b]
}

// branch is one conductor of a short with the amperes it carries of one.
type branch struct {
	way   int
	share float64
}

// loop gives the inductance of a short by the energy of its field, that of
// Share, closed by a straight way between its places.
func (f *field) loop(s *fault.Share, from, to bank.End, radius float64) FaultRise {
	var all []branch
	for i, a := range s.Batteries {
		all = append(all, branch{i, a})
	}
	for i := range s.Flows {
		all = append(all, branch{len(s.Batteries) + i, s.Flows[i].Current})
	}
	kept := all[:0]
	for _, one := range all {
		if math.Abs(one.share) >= smallShare {
			kept = append(kept, one)
		}
	}
	link := f.j.straight(from, to, radius)
	why := f.notRouted(kept, link != nil)
	if why != "" {
		return f.byLength(kept, why)
	}
	sum := fault.Inductance(link, link)
	for _, a := range kept {
		for _, b := range kept {
			sum += float64(a.share * b.share * f.between(a.way, b.way))
		}
		sum += float64(2 * a.share * fault.Inductance(f.ways[a.way], link))
	}
	return FaultRise{Inductance: sum, Routed: true}
}

// notRouted says why a short's field cannot be told by where its conductors
// run; "" it can.
func (f *field) notRouted(all []branch, placed bool) string {
	switch {
	case f.crowd:
		return fmt.Sprintf("more than %d straight pieces", maxFilaments)
	case !placed:
		return "the short has no place in space"
	}
	for _, one := range all {
		if f.ways[one.way] == nil {
			return "it is not known where " + f.names[one.way] + " runs"
		}
	}
	return ""
}

// byLength counts cables alone, each with its way back beside it.
func (f *field) byLength(all []branch, why string) FaultRise {
	sum := 0.0
	for _, one := range all {
		half := f.halves[one.way]
		if math.IsNaN(half) {
			return FaultRise{Inductance: math.NaN(), Why: f.names[one.way] + " has no length"}
		}
		sum += float64(one.share * one.share * half)
	}
	return FaultRise{Inductance: sum, Why: why}
}

// settle fills the rises of a loop for its two conditions.
func (r *FaultRise) settle(most, least fault.Source) {
	for _, one := range []struct {
		rise *fault.Rise
		seen fault.Source
	}{{&r.Most, most}, {&r.Least, least}} {
		made, err := fault.NewRise(one.seen.EMF, one.seen.Resistance, r.Inductance)
		if err != nil { // nothing joins the places, or no inductance is known
			made = fault.Rise{Current: one.seen.Current, Tau: math.NaN(), Slope: math.NaN()}
		}
		*one.rise = made
	}
}

// rises fills how fast each short of a result grows.
func (j *Job) rises(f *Faults, strong *fault.Circuit) error {
	var m *field
	neg := j.Bank.Takeoff.Negative
	look := func(s *fault.Share, ok bool, from, to bank.End, radius float64) FaultRise {
		if !ok {
			return FaultRise{Inductance: math.NaN(), Why: "nothing flows"}
		}
		if m == nil {
			m = j.magnetic(s.Flows)
		}
		return m.loop(s, from, to, radius)
	}
	shares := make([]fault.Share, len(f.Points))
	known := map[bank.End]*FaultRise{}
	for i, p := range f.Points {
		s, ok, err := strong.Share(p.Place, neg)
		if err != nil {
			return j.named(err)
		}
		shares[i] = s
		f.Rises = append(f.Rises, look(&s, ok, p.Place, neg, linkRadius))
	}
	for i, p := range f.Points {
		known[p.Place] = &f.Rises[i]
	}
	for i, p := range f.Points {
		r := &f.Rises[i]
		m.further(r, p.Place, &shares[i], known)
		r.settle(p.Most, p.Least)
	}
	for _, p := range f.Across {
		d := j.Bank.Part(p.Device)
		s, ok, err := strong.Share(end(d, 0), end(d, 1))
		if err != nil {
			return j.named(err)
		}
		r := look(&s, ok, end(d, 0), end(d, 1), linkRadius)
		m.furtherBack(&r, known[end(d, 0)], &s)
		r.settle(p.Most, p.Least)
		f.AcrossRises = append(f.AcrossRises, r)
	}
	for i, p := range f.Into {
		s, ok, err := strong.IntoShare(i)
		if err != nil {
			return j.named(err)
		}
		b := &j.Bank.Batteries[i]
		r := look(&s, ok, b.Plus(), b.Minus(), batteryRadius)
		r.settle(p.Most, p.Least)
		f.IntoRises = append(f.IntoRises, r)
	}
	return nil
}
