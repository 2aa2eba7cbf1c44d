package assemble

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/job"
)

// practiceRef is the ground of what is customary.
func practiceRef(what string) source.Ref { return source.Ref{Title: what, How: source.Practice} }

// orElse gives the job's value, else one assumed.
func orElse[T any](f job.Field[T], otherwise T, what, note string) source.Value[T] {
	if f.Set {
		return source.Of(f.V)
	}
	return source.Assume(otherwise, practiceRef(what), note)
}

// mounting fills how the batteries are held down; a job that says nothing of it
// has none.
func (b *builder) mounting() {
	d := &b.doc.Mounting
	if !d.Written() {
		return
	}
	m := &bank.Mounting{Ahead: bank.Heading(d.Forward.V), Friction: d.Friction.V}
	m.Rule = orElse(d.Rule, "recommended", "tiers for holding batteries down", "the job names no rule")
	if l := &d.Loads; l.Pos != (job.Pos{}) {
		m.Rule = source.Of(bank.OwnLoads)
		m.Loads = bank.Loads{Forward: l.Forward.V, Aft: l.Aft.V, Side: l.Side.V, Up: l.Up.V, Down: l.Down.V, Against: "yield", Factor: 1}
		if l.Against.Set {
			m.Loads.Against = l.Against.V
		}
		if l.Factor.Set {
			m.Loads.Factor = l.Factor.V
		}
	}
	wet := "damp"
	if b.bank.Practice.Book.V == "marine" {
		wet = "wet"
	}
	m.Surroundings = orElse(d.Surroundings, wet, "surroundings of a bank", "by the book of rules")
	for i := range d.HoldDowns {
		m.HoldDowns = append(m.HoldDowns, holdDown(&d.HoldDowns[i]))
	}
	s, l := &d.Service, &d.Lifting
	m.Service = bank.Service{Way: orElse(s.Way, "up", "batteries are lifted out", ""), Lid: orElse(s.Lid, "fixed", "a lid that nobody said opens", ""),
		Hand: orElse(s.Hand, 0.050, "room for a hand or a lifting strap", "")}
	m.Lifting = bank.Lifting{People: orElse(l.People, 1, "one person lifts", ""), Travel: orElse(l.Travel, 0.75, "from the ground to a bench", ""),
		Twist: orElse(l.Twist, 0, "no twist of the body", ""), Grip: orElse(l.Grip, "fair", "a lifting strap, no moulded handles", "")}
	m.Lifting.Reach, m.Lifting.Height = givenOnly(l.Reach), givenOnly(l.Height)
	m.Vehicle = vehicle(&d.Vehicle)
	b.bank.Mounting = m
}

// givenOnly wraps a value that only the job can give.
func givenOnly[T any](f job.Field[T]) source.Value[T] {
	if f.Set {
		return source.Of(f.V)
	}
	return source.Value[T]{}
}

func holdDown(d *job.HoldDown) bank.HoldDown {
	h := bank.HoldDown{ID: d.ID.V, Kind: bank.HoldKind(d.Kind.V), Thread: d.Thread.V, Grade: d.Grade.V, Torque: d.Torque.V, Nut: d.Nut.V,
		Rated: float64(d.Rated.V), Strength: float64(d.Strength.V), Lip: float64(d.Lip.V), Grips: d.Grips.V, Isolated: d.Isolated.V,
		Axis: d.Axis.V, Diameter: float64(d.Diameter.V), Metal: d.Metal.V}
	for _, f := range d.Holds {
		h.Holds = append(h.Holds, f.V)
	}
	for _, f := range d.At {
		h.At = append(h.At, job.PointOf(f))
	}
	for _, f := range d.Sides {
		h.Sides = append(h.Sides, f.V)
	}
	if h.Kind == bank.Tray && h.Sides == nil {
		h.Sides = []string{bank.LeftSide, bank.RightSide, bank.FrontSide, bank.BackSide}
	}
	if h.Kind == bank.StrapOver {
		h.Width = orElse[quantity.Length](d.Width, 0.025, "webbing", "")
	}
	if h.Kind == bank.PinAcross {
		h.Planes = orElse(d.Planes, 1, "a pin held on one side", "")
	}
	b, p, f := &d.Bar, &d.Plate, &d.Floor
	h.Bar = bank.HoldBar{Shape: b.Shape.V, Alloy: b.Alloy.V, Width: float64(b.Width.V), Height: float64(b.Height.V), Wall: float64(b.Wall.V), Bears: float64(b.Bears.V), BearsGiven: b.Bears.Set}
	if h.Bar.Shape == "tube" && !b.Height.Set {
		h.Bar.Height = h.Bar.Width
	}
	h.Plate = bank.HoldPlate{Alloy: p.Alloy.V, Thickness: float64(p.Thickness.V), Edge: float64(p.Edge.V)}
	h.Floor = bank.HoldFloor{Given: f.Pos != (job.Pos{}), Material: f.Material.V, Metal: f.Metal.V, Washer: float64(f.Washer.V), Thickness: float64(f.Thickness.V), Crush: float64(f.Crush.V), Shear: float64(f.Shear.V)}
	return h
}

func vehicle(d *job.Vehicle) *bank.MountVehicle {
	if !d.Written() {
		return nil
	}
	flat := func(f job.Field[[]quantity.Length]) bank.Point {
		if !f.Set {
			return bank.Point{}
		}
		return bank.Point{X: float64(f.V[0]), Y: float64(f.V[1])}
	}
	v := &bank.MountVehicle{Axle: flat(d.Axle), Hitch: flat(d.Hitch), HasHitch: d.Hitch.Set, Centre: flat(d.Centre), HasCentre: d.Centre.Set, Track: float64(d.Track.V), Mass: d.Mass.V}
	for i := range d.Also {
		a := &d.Also[i]
		v.Also = append(v.Also, bank.AlsoMass{What: a.What.V, Mass: a.Mass.V, At: flat(a.At)})
	}
	return v
}
