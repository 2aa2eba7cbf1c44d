package assemble

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"
)

func (b *builder) parts() {
	for i := range b.doc.Parts {
		d := &b.doc.Parts[i]
		p := bank.Part{ID: d.ID.V, Kind: d.Kind.V, Studs: d.Studs.V, Open: d.Open.V, Pitch: float64(d.Pitch.V)}
		size, sized := job.SizeOf(d.Size)
		p.On, p.Covered = d.On.V, d.Covered.V
		if d.Section.Set {
			p.Section = [2]float64{float64(d.Section.V[0]), float64(d.Section.V[1])}
		}
		p.Rated = rated(d)
		p.Device = b.device(d)
		if d.At.Set && (sized || p.Kind == bank.Stud || p.Kind == bank.Frame) {
			p.Placed, p.Body = true, bank.Body{At: job.PointOf(d.At), Size: size, Turn: d.Turn.V}
		}
		switch {
		case d.Resistance.Set:
			p.Resistance = source.Of(d.Resistance.V)
		case p.Kind == bank.Bar:
			p.Resistance = b.barResistance(d)
		case p.Kind.Conducts():
			p.Resistance = b.dropAtRating(p.Kind, d.Rating.V)
		}
		b.bank.Parts = append(b.bank.Parts, p)
	}
	for i := range b.bank.Parts {
		b.setOn(&b.bank.Parts[i], &b.doc.Parts[i])
	}
}

// setOn places a part that has no place of its own but sits on an end that has
// one: its end a over that end.
func (b *builder) setOn(p *bank.Part, d *job.Part) {
	size, sized := job.SizeOf(d.Size)
	if p.Placed || !sized || p.On == (bank.End{}) {
		return
	}
	at, ok := b.bank.Locate(p.On)
	if !ok {
		return
	}
	p.Body = bank.Body{Size: size, Turn: d.Turn.V}
	foot := p.Body.Top(0, size.Y/2)
	p.Placed, p.Body.At = true, bank.Point{X: at.X - foot.X, Y: at.Y - foot.Y, Z: at.Z}
}

// rated is what a part's maker says it can bear.
func rated(d *job.Part) bank.Rated {
	one := bank.Rated{Class: d.Class.V, Current: d.Rating.V, Interrupt: d.Interrupt.V, Voltage: d.Volts.V, Stud: d.Thread.V,
		StudLength: d.StudLength.V, Torque: d.Torque.V, LetThrough: d.LetThrough.V, IgnitionProtected: d.IgnitionProtected.V}
	for _, p := range d.Times {
		one.Times = append(one.Times, bank.TimePoint{Current: p.Current, Least: p.Least, Most: p.Most})
	}
	return one
}

// dropAtRating is the resistance of a part that loses a customary voltage at
// its rating; of a device that is still to be chosen, that of a middling one.
func (b *builder) dropAtRating(kind bank.PartKind, rating quantity.Current) source.Value[quantity.Resistance] {
	k := b.cat.Constant("drop_" + string(kind))
	if rating == 0 {
		const middling = 100 // A
		return source.Assume(quantity.Resistance(k.Value*1e-3/middling), k.Source, k.Meaning+", as one of 100 A until it has a rating")
	}
	return source.Assume(quantity.Resistance(k.Value*1e-3/float64(rating)), k.Source, k.Meaning+", over its rating")
}

// device is what a part takes or gives.
func (b *builder) device(d *job.Part) bank.Device {
	one := bank.Device{Power: d.Power.V, Surge: d.Surge.V, SurgeFor: d.SurgeFor.V, Cutout: d.Cutout.V, Capacitance: d.Capacitance.V,
		Current: d.Current.V, Voltage: d.Voltage.V, Float: d.Float.V, ColdLockout: d.ColdLockout.V, OnOpen: d.OnOpen.V}
	one.HotLockout, one.Limited, one.Input, one.Idle = d.HotLockout.V, d.Limited.V, d.Input.V, d.Idle.V
	for _, p := range d.Efficiency.Curve {
		one.EfficiencyCurve = append(one.EfficiencyCurve, bank.EfficiencyPoint{Load: p.Load, Efficiency: p.Efficiency})
	}
	switch {
	case one.EfficiencyCurve != nil:
		one.Efficiency = source.Of(one.EfficiencyAt(1))
	case d.Kind.V == bank.Inverter || d.Kind.V.Mains():
		one.Efficiency = or(b, d.Efficiency.One, "efficiency", 0.01)
	}
	if d.Surge.Set && !d.SurgeFor.Set {
		one.SurgeFor = quantity.Duration(b.cat.Constant("surge_for").Value)
	}
	return one
}

func (b *builder) practice() {
	d, p := &b.doc.Practice, &b.bank.Practice
	p.Book = source.Of(d.Book.V)
	if !d.Book.Set {
		p.Book = source.Assume(bank.Vehicle, source.Ref{Title: "the nearest to a trailer, of the three", How: source.Practice}, "see practice in the job")
	}
	p.Ambient = source.Of(d.Ambient.V)
	if !d.Ambient.Set {
		k := b.cat.Constant("ambient")
		p.Ambient = source.Assume(quantity.Temperature(k.Value+273.15), k.Source, k.Meaning)
	}
	p.Petrol, p.Sleeping = d.Petrol.V, d.Sleeping.V
}

// wrap is what surrounds a cable's copper.
func (b *builder) wrap(d *job.Cable) bank.Wrap {
	w := bank.Wrap{Material: d.Material.V, Diameter: d.Diameter.V, Sheath: d.Sheath.V, Engine: d.Engine.V, Bundled: d.Bundled.V, Support: d.Support.V, Insulation: source.Of(d.Insulation.V)}
	if !d.Insulation.Set {
		k := b.cat.Constant("insulation")
		w.Insulation = source.Assume(quantity.Temperature(k.Value+273.15), k.Source, k.Meaning)
	}
	return w
}

// barResistance is solid copper from the first to the last stud, at 20 °C.
func (b *builder) barResistance(d *job.Part) source.Value[quantity.Resistance] {
	rho := b.cat.Constant("copper_resistivity")
	length := float64(d.Studs.V-1) * float64(d.Pitch.V)
	r := rho.Value * 1e-9 * length / (float64(d.Section.V[0]) * float64(d.Section.V[1]))
	return source.Value[quantity.Resistance]{V: quantity.Resistance(r), Origin: source.Computed, Ref: rho.Source,
		Note: "solid copper, from section and pitch"}
}

func (b *builder) routing() {
	d := &b.doc.Routing
	r := &b.bank.Routing
	r.Rise = or(b, d.Rise, "rise", 1e-3)
	r.Clearance = or(b, d.Clearance, "clearance", 1e-3)
	r.Allowance = or(b, d.Allowance, "allowance", 1e-3)
	if d.Bend.Set {
		r.Bend = source.Of(float64(d.Bend.V))
		return
	}
	k := b.cat.Constant("bend")
	r.Bend = source.Assume(k.Value, k.Source, "")
}

func (b *builder) cables() {
	for i := range b.doc.Cables {
		d := &b.doc.Cables[i]
		c := bank.Cable{ID: d.ID.V, From: d.From.V, To: d.To.V, Size: d.Size.V, Along: names(d.Along), Wrap: b.wrap(d), Coefficient: b.coefficient()}
		if d.Length.Set {
			c.Length = source.Of(d.Length.V)
		}
		if d.Resistance.Set {
			c.Whole = source.Of(d.Resistance.V)
		}
		if d.Size.Set {
			c.PerLength = b.perLength(d.Size.V)
		}
		c.Lugs = lugs(&d.Lug)
		both := or(b, first(d.Joint.Both, b.doc.Joint), "joint", 1e-3)
		c.Joints = [2]source.Value[quantity.Resistance]{both, both}
		for n, own := range []job.Field[quantity.Resistance]{d.Joint.From, d.Joint.To} {
			if own.Set {
				c.Joints[n] = source.Of(own.V)
			}
		}
		b.bank.Cables = append(b.bank.Cables, c)
	}
}

// lugs are those at a cable's two ends.
func lugs(d *job.Lugs) [2]bank.Lug {
	var both [2]bank.Lug
	for n, own := range []*job.Lug{&d.From, &d.To} {
		both[n] = bank.Lug{Barrel: first(own.Barrel, d.Both.Barrel).V, Hole: first(own.Hole, d.Both.Hole).V, Thickness: first(own.Thickness, d.Both.Thickness).V}
	}
	return both
}

func (b *builder) coefficient() source.Value[float64] {
	k := b.cat.Constant("copper_coefficient")
	return source.Look(k.Value, k.Source)
}

// perLength gives the catalogue's value of a size that checkSizes has passed.
func (b *builder) perLength(s quantity.Size) source.Value[quantity.ResistancePerLength] {
	v, err := b.cat.PerLength(s)
	if err != nil {
		panic("assemble: a size passed the check and has no row: " + err.Error())
	}
	return v
}

func names(fields []job.Field[string]) []string {
	var all []string
	for _, f := range fields {
		all = append(all, f.V)
	}
	return all
}

func (b *builder) question() {
	d := &b.doc.Wirings
	q := &b.bank.Question
	q.Lugs, q.AnyPost = d.Lugs.V, d.Takeoff.Set
	q.Joint = or(b, b.doc.Joint, "joint", 1e-3)
	q.Coefficient = b.coefficient()
	for n, rail := range []struct {
		given job.Field[quantity.Size]
		size  *quantity.Size
		place string
	}{{d.Cable.Positive, &q.Positive, "+"}, {d.Cable.Negative, &q.Negative, "-"}} {
		*rail.size, q.SizeOrigin[n] = rail.given.V, source.Given
		if !rail.given.Set {
			*rail.size, q.SizeOrigin[n] = b.commonSize(rail.place), source.Assumed
		}
		if !rail.size.IsZero() {
			q.PerLength[n] = b.perLength(*rail.size)
		}
	}
	for i := range d.Pairs {
		p := &d.Pairs[i]
		pair := bank.Pair{From: p.From.V, To: p.To.V, Along: names(p.Along)}
		if p.Length.Set {
			pair.Length = source.Of(p.Length.V)
		}
		q.Pairs = append(q.Pairs, pair)
	}
}

// commonSize is the size that most of the job's own cables at posts of this
// sign have, the first of equals; of all cables where none is at such a post;
// zero where no cable has a size.
func (b *builder) commonSize(place string) quantity.Size {
	for _, any := range []bool{false, true} {
		count := map[quantity.Size]int{}
		var best quantity.Size
		for i := range b.bank.Cables {
			c := &b.bank.Cables[i]
			rail := c.From.Place != opposite(place) && c.To.Place != opposite(place) && (c.From.Place == place || c.To.Place == place)
			if c.Size.IsZero() || !rail && !any {
				continue
			}
			if count[c.Size]++; best.IsZero() || count[c.Size] > count[best] {
				best = c.Size
			}
		}
		if !best.IsZero() {
			return best
		}
	}
	return quantity.Size{}
}

func opposite(place string) string {
	if place == "+" {
		return "-"
	}
	return "+"
}

func (b *builder) cases() {
	for i := range b.doc.Cases {
		d := &b.doc.Cases[i]
		c := bank.Case{ID: d.ID.V, For: d.For.V, Voltage: d.Voltage.V, Tail: d.Tail.V, Origin: source.Given}
		c.CableTemperature = b.cableTemperature(d.CableTemperature)
		demand, sign := d.Draw.V, 1.0
		if d.Charge.Set {
			demand, sign = d.Charge.V, -1
		}
		c.ByPower = demand.ByPower
		c.Current, c.Power = quantity.Current(sign)*demand.Current, quantity.Power(sign)*demand.Power
		b.bank.Cases = append(b.bank.Cases, c)
	}
}

func (b *builder) sequences() {
	for i := range b.doc.Sequences {
		d := &b.doc.Sequences[i]
		s := bank.Sequence{ID: d.ID.V, Cases: names(d.Cases), Times: max(1, d.Times.V)}
		b.bank.Sequences = append(b.bank.Sequences, s)
	}
}

func (b *builder) cableTemperature(f job.Field[quantity.Temperature]) source.Value[quantity.Temperature] {
	if f.Set {
		return source.Of(f.V)
	}
	k := b.cat.Constant("cable_temperature")
	return source.Assume(quantity.Temperature(k.Value+273.15), k.Source, "")
}

// Rest is the case where a job has none: no current, so only equalising ones.
func Rest(cat *catalog.Catalog) bank.Case {
	k := cat.Constant("cable_temperature")
	return bank.Case{ID: "rest", Origin: source.Assumed,
		CableTemperature: source.Assume(quantity.Temperature(k.Value+273.15), k.Source, "")}
}

// SearchCase is the case of the search where the job has none that draws: a
// fraction of the bank's capacity an hour.
func SearchCase(cat *catalog.Catalog, capacity quantity.Charge) bank.Case {
	k := cat.Constant("search_current")
	c := Rest(cat)
	c.ID, c.Current = "fifth", quantity.Current(float64(capacity)/3600*k.Value)
	return c
}

func (b *builder) readings() {
	for i := range b.doc.Readings {
		d := &b.doc.Readings[i]
		r := bank.Reading{ID: d.ID.V, Case: d.Case.V, Current: map[string]quantity.Current{}, Drop: map[string]quantity.Voltage{}, Voltage: map[string]quantity.Voltage{}}
		for _, e := range d.Current {
			r.Current[e.Name] = e.V.V
		}
		for _, e := range d.Drop {
			r.Drop[e.Name] = e.V.V
		}
		for _, e := range d.Voltage {
			r.Voltage[e.Name] = e.V.V
		}
		b.bank.Readings = append(b.bank.Readings, r)
	}
}
