package assemble

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"
)

// snapshotTime is what a battery's resistance is given after, s: the format
// settles 10 s.
const snapshotTime = 10

// leastOhmic is the part of a battery's resistance that is left as ohmic at
// least, where the chemistry's branches would take all of it. Common practice,
// no source.
const leastOhmic = 0.3

// model is how a battery behaves through time. A battery with resistance and
// emf or curve is exactly that: nothing is added to it but what its type gives.
func (b *builder) model(one *bank.Battery, d *job.Battery, t *job.BatteryType, chem *catalog.Chemistry) bank.Model {
	cells := math.Max(1, math.Round(float64(one.Nominal/chem.Cell.V)))
	emfGiven := first(d.EMF, t.EMF).Set
	m := bank.Model{Exact: one.Resistance.Origin == source.Given && (emfGiven || t.Curve != nil)}
	if d.Warm.Set {
		m.Temperature = source.Of(d.Warm.V)
	} else {
		k := b.cat.Constant("temperature")
		m.Temperature = source.Assume(quantity.Temperature(k.Value+273.15), k.Source, "")
	}
	b.curve(&m, one, cells, chem)
	b.startFromVoltage(&m, one, d, emfGiven)
	b.gap(&m, t, cells, chem)
	b.branches(&m, one, t, cells, chem)
	b.factors(&m, one, t, chem)
	if !m.Exact {
		scaled(&m.Entropy, &m.EntropyFrom, chem.Entropy, cells, "one small cell scaled by the number of cells")
		scaled(&m.Efficiency, &m.EfficiencyFrom, chem.Efficiency, 1, "")
	}
	b.peukert(&m, t, chem)
	b.warmth(&m, one, chem)
	m.Guard = b.guard(one, &t.Limits, m.Exact, cells, chem)
	return m
}

// mark is a source without a value of its own.
func mark(o source.Origin, ref source.Ref, note string) source.Value[bool] {
	return source.Value[bool]{V: true, Origin: o, Ref: ref, Note: note}
}

// scaled puts a chemistry's line, times a factor, into a model.
func scaled(into *bank.Line, from *source.Value[bool], line source.Value[bank.Line], by float64, note string) {
	if !line.Known() {
		return
	}
	for _, p := range line.V {
		*into = append(*into, bank.LinePoint{X: p.X, Y: p.Y * by})
	}
	if note == "" {
		note = line.Note
	} else if line.Note != "" {
		note += "; " + line.Note
	}
	*from = mark(source.Assumed, line.Ref, note)
}

func (b *builder) curve(m *bank.Model, one *bank.Battery, cells float64, chem *catalog.Chemistry) {
	switch {
	case one.Curve != nil:
		for _, p := range one.Curve {
			m.Curve = append(m.Curve, bank.LinePoint{X: float64(p.Charge), Y: float64(p.Voltage)})
		}
		m.CurveFrom = mark(source.Given, source.Ref{}, "the job's own curve")
	case m.Exact:
		m.Curve = bank.Line{{X: 0, Y: float64(one.EMF.V)}}
		m.CurveFrom = mark(source.Given, source.Ref{}, "the job's emf, the same at every state of charge")
	default:
		for _, p := range chem.Curve {
			m.Curve = append(m.Curve, bank.LinePoint{X: float64(p.Charge), Y: cells * float64(p.Voltage)})
		}
		note := fmt.Sprintf("%s, %.0f cells", chem.Name, cells)
		if chem.CurveNote != "" {
			note += "; " + chem.CurveNote
		}
		m.CurveFrom = mark(source.Assumed, chem.CurveRef, note)
	}
}

// startFromVoltage gives a battery whose voltage was measured and whose state of
// charge was not, on the chemistry's curve, the charge at which that curve has
// the voltage; a run would otherwise begin full.
func (b *builder) startFromVoltage(m *bank.Model, one *bank.Battery, d *job.Battery, emfGiven bool) {
	if m.Exact || !emfGiven || d.Start.Set || one.Curve != nil {
		return
	}
	low, high, steps := math.NaN(), math.NaN(), 2000
	for n := range steps + 1 {
		s := float64(n) / float64(steps)
		if math.Abs(m.Curve.At(s)-float64(one.EMF.V)) <= 2e-3 { // V, what a meter tells
			if math.IsNaN(low) {
				low = s
			}
			high = s
		}
	}
	switch {
	case !math.IsNaN(low):
		one.Start = source.Assume(quantity.Ratio((low+high)/2), m.CurveFrom.Ref, "from its emf on the chemistry's curve")
	case float64(one.EMF.V) < m.Curve[0].Y:
		one.Start = source.Assume(quantity.Ratio(0), m.CurveFrom.Ref, "its emf lies under the chemistry's curve")
	}
}

// gap is the distance between the branches on charge and on discharge.
func (b *builder) gap(m *bank.Model, t *job.BatteryType, cells float64, chem *catalog.Chemistry) {
	m.GapTravel = chem.GapTravel
	m.GapTravel.Origin = source.Assumed
	switch {
	case t.Hysteresis.Set && t.Hysteresis.V > 0:
		m.Gap = bank.Line{{X: 0, Y: float64(t.Hysteresis.V)}}
		m.GapFrom = mark(source.Given, source.Ref{}, "")
		if !chem.GapTravel.Known() {
			m.GapTravel = source.Assume(b.cat.Chemistry(bank.LFP).GapTravel.V, b.cat.Chemistry(bank.LFP).GapTravel.Ref, "taken as of an LFP cell")
		}
	case !t.Hysteresis.Set && !m.Exact:
		scaled(&m.Gap, &m.GapFrom, chem.Gap, cells, "scaled by the number of cells")
		m.GapWarmth = chem.GapWarmth
	}
	if !m.Exact {
		scaled(&m.Rise, &m.RiseFrom, chem.Rise, cells, "scaled by the number of cells")
	}
}

// branches splits the resistance into what acts at once and what comes later.
// A type's own branches stand beside its resistance. The chemistry's are those
// of one cell, scaled by capacity and number of cells; what of them is there
// after ten seconds is then part of the resistance, which is given after ten.
func (b *builder) branches(m *bank.Model, one *bank.Battery, t *job.BatteryType, cells float64, chem *catalog.Chemistry) {
	m.Ohmic = one.Resistance
	for _, d := range t.Branches {
		m.Branches = append(m.Branches, bank.Branch{Resistance: source.Of(d.Resistance.V), Time: source.Of(d.Time.V)})
	}
	if m.Exact || len(t.Branches) > 0 || len(chem.Branches) == 0 {
		return
	}
	const note = "of one small cell, scaled by capacity and number of cells"
	ohmic := float64(one.Resistance.V)
	for _, s := range chem.Branches {
		r := s.Resistance / float64(one.Capacity.V) * cells
		m.Branches = append(m.Branches, bank.Branch{Resistance: source.Assume(quantity.Resistance(r), chem.BranchesRef, note), Time: source.Assume(s.Time, chem.BranchesRef, note)})
		ohmic -= r * -math.Expm1(-snapshotTime/float64(s.Time))
	}
	ohmic = math.Max(ohmic, leastOhmic*float64(one.Resistance.V))
	m.Ohmic = source.Assume(quantity.Resistance(ohmic), chem.BranchesRef, "the resistance after ten seconds less what the slow branches have added by then")
}

// factors are the changes of resistance and capacity with temperature and charge.
func (b *builder) factors(m *bank.Model, one *bank.Battery, t *job.BatteryType, chem *catalog.Chemistry) {
	given := mark(source.Given, source.Ref{}, "")
	if m.Warmth = lineOf(t.Warmth); m.Warmth != nil {
		m.WarmthFrom = given
	} else if !m.Exact {
		scaled(&m.Warmth, &m.WarmthFrom, chem.Warmth, 1, "")
	}
	if m.Depth = lineOf(t.Depth); m.Depth != nil {
		m.DepthFrom = given
	} else if !m.Exact {
		by := 1.0
		if one.Resistance.Origin == source.Given && chem.Depth.Known() {
			by = 1 / chem.Depth.V.At(0.5) // a given resistance is that of the half-charged battery
		}
		scaled(&m.Depth, &m.DepthFrom, chem.Depth, by, "")
	}
	if m.Capacity = lineOf(t.CapacityWarmth); m.Capacity != nil {
		m.CapacityFrom = given
	} else if !m.Exact {
		scaled(&m.Capacity, &m.CapacityFrom, chem.CapacityWarmth, 1, "")
	}
}

func lineOf[Q ~float64](points []job.FactorPoint[Q]) bank.Line {
	var l bank.Line
	for _, p := range points {
		l = append(l, bank.LinePoint{X: float64(p.At), Y: p.Factor})
	}
	return l
}

func (b *builder) peukert(m *bank.Model, t *job.BatteryType, chem *catalog.Chemistry) {
	switch {
	case t.Peukert.Set:
		m.Peukert = source.Of(t.Peukert.V)
	case !m.Exact && chem.Peukert.Known():
		m.Peukert = source.Assume(chem.Peukert.V, chem.Peukert.Ref, "")
	default:
		return
	}
	if t.RatedFor.Set {
		m.RatedFor = source.Of(t.RatedFor.V)
		return
	}
	ref, hours := chem.RatedFor.Ref, chem.RatedFor.V
	if !chem.RatedFor.Known() {
		agm := b.cat.Chemistry(bank.AGM)
		ref, hours = agm.RatedFor.Ref, agm.RatedFor.V
	}
	m.RatedFor = source.Assume(hours, ref, "")
}

// warmth gives a battery with mass and size its heat store and its cooling.
// Without both the temperature stays as it is.
func (b *builder) warmth(m *bank.Model, one *bank.Battery, chem *catalog.Chemistry) {
	s := one.Outside
	if one.Mass == 0 || s.X*s.Y*s.Z == 0 || !chem.SpecificHeat.Known() {
		return
	}
	k := b.cat.Constant("cooling")
	m.HeatCapacity = source.Assume(float64(one.Mass)*chem.SpecificHeat.V, chem.SpecificHeat.Ref, "mass times specific heat")
	m.Cooling = source.Assume(k.Value*(2*s.Z*(s.X+s.Y)+s.X*s.Y), k.Source, "top and sides in free air that stays as warm as the battery began; a closed compartment cools less")
}

// guard is what the battery's own protection does. Electronics are assumed in
// lithium batteries only. Limits of voltage are assumed for a battery whose
// voltage comes from the chemistry only.
func (b *builder) guard(one *bank.Battery, l *job.Limits, exact bool, cells float64, chem *catalog.Chemistry) bank.Guard {
	g := bank.Guard{Electronic: chem.Guard != nil}
	const stands = "stands for a trip that the job does not give"
	switch {
	case l.Trip.Set:
		g.Trip = source.Of(l.Trip.V)
	case l.Discharge.Set && g.Electronic:
		g.Trip = source.Assume(l.Discharge.V, source.Ref{Title: "the job's discharge limit", How: source.Practice}, stands)
	}
	switch {
	case l.ChargeTrip.Set:
		g.TripCharge = source.Of(l.ChargeTrip.V)
	case l.Charge.Set && g.Electronic:
		g.TripCharge = source.Assume(l.Charge.V, source.Ref{Title: "the job's charge limit", How: source.Practice}, stands)
	}
	g.TripDelay = or(b, l.TripDelay, "trip_delay", 1)
	if l.Floor.Set {
		g.Floor = source.Of(l.Floor.V)
	}
	g.ReconnectAfter, g.ReconnectVoltage, g.HighRelease = set(l.ReconnectAfter), set(l.Reconnect), set(l.HighRelease)
	d, k := b.cat.Constant("diode"), b.cat.Constant("temperature_release")
	if g.Electronic {
		g.Diode = source.Assume(quantity.Voltage(d.Value), d.Source, d.Meaning)
	}
	g.TemperatureRelease = source.Assume(quantity.Temperature(k.Value), k.Source, k.Meaning)
	g.Low, g.High, g.VoltageDelay = set(l.Low), set(l.High), set(l.VoltageDelay)
	g.ColdCharge, g.HotCharge, g.Cold, g.Hot = set(l.ColdCharge), set(l.HotCharge), set(l.Cold), set(l.Hot)
	if c := chem.Guard; c != nil {
		if !exact && one.Curve == nil {
			assumeUnset(&g.Low, quantity.Voltage(cells)*c.Low, c.Ref)
			assumeUnset(&g.High, quantity.Voltage(cells)*c.High, c.Ref)
		}
		assumeUnset(&g.VoltageDelay, c.Delay, c.Ref)
		assumeUnset(&g.ColdCharge, c.ColdCharge, c.Ref)
		assumeUnset(&g.HotCharge, c.HotCharge, c.Ref)
		assumeUnset(&g.Cold, c.Cold, c.Ref)
		assumeUnset(&g.Hot, c.Hot, c.Ref)
	}
	return g
}

func set[T any](f job.Field[T]) source.Value[T] {
	if f.Set {
		return source.Of(f.V)
	}
	return source.Value[T]{}
}

func assumeUnset[T any](v *source.Value[T], otherwise T, ref source.Ref) {
	if !v.Known() {
		*v = source.Assume(otherwise, ref, "")
	}
}
