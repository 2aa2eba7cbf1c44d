package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// engineSpace is the air of an engine space, K: 33 CFR 183.425 Table 5 is
// corrected for it by its Note 1 (50 °C).
const engineSpace = 323.15

// line holds one cable against what it carries.
func (j *Job) line(i int, m *feed.Map, all []report.Scenario, nominal float64) report.Line {
	c := &j.Bank.Cables[i]
	f := &m.Cables[i]
	l := report.Line{Cable: c.ID, Index: i, Side: string(f.Side), Both: f.Both, Bare: f.Bare(), Saves: savedFrom(f, true), Spares: savedFrom(f, false), BareLength: math.NaN(),
		Physics: math.NaN(), Warm: math.NaN(), Withstand: math.NaN(), Most: math.NaN(), Least: math.NaN(), Outside: math.NaN(), Insulation: c.Wrap.Insulation.V}
	bareFrom(&l, f)
	l.Steady, l.Surge = worst(all, func(s *report.Scenario) float64 { return s.Cables[i] })
	l.Ambient = j.around(c)
	if c.Size.IsZero() {
		l.NoTable = "the cable has no size, its resistance is given whole"
		return l
	}
	j.tables(&l, c, nominal)
	j.physics(&l, c)
	return l
}

// around is the warmest air round a cable, K.
func (j *Job) around(c *bank.Cable) float64 {
	ambient := float64(j.Bank.Practice.Ambient.V)
	if c.Wrap.Engine {
		return math.Max(ambient, engineSpace)
	}
	return ambient
}

// bareFrom keeps the nearest source that reaches the cable through no device,
// and the length along the conductor from there to the cable's far end.
func bareFrom(l *report.Line, f *feed.Cable) {
	for _, ways := range f.Ways {
		for _, w := range ways {
			if far := w.Length + f.Len; len(w.Devices) == 0 && !(far >= l.BareLength) {
				l.BareFrom, l.BareLength = w.Source.String(), far
			}
		}
	}
}

// book is the ampacity table that each book of rules goes by: for single
// conductors in free air, and in a raceway or sleeve. Where a book has none of
// its own the nearest stands in, and its title says so.
var book = map[string]struct{ free, enclosed string }{
	bank.Marine:  {"cfr_183_425", "cfr_183_425"}, // the rule makes no difference
	bank.General: {"nec_310_17", "nec_310_16"},
	bank.Vehicle: {"nec_310_17", "nec_310_16"},
}

// governing gives the ID of the table that a book goes by, "" of none.
func governing(name string, enclosed bool) string {
	if enclosed {
		return book[name].enclosed
	}
	return book[name].free
}

// tables holds a cable against the published tables that name its size.
func (j *Job) tables(l *report.Line, c *bank.Cable, nominal float64) {
	governs := governing(j.Bank.Practice.Book.V, c.Wrap.Sheath)
	why := "no row for " + c.Size.String() + " at " + j.Bank.Show.FormatTemperature(c.Wrap.Insulation.V)
	for _, t := range j.cat.Ampacities() {
		if t.Setting == rating.InHarness {
			continue // aircraft at altitude: for comparison only
		}
		base, ok := t.Amps(c.Size, c.Wrap.Insulation.V)
		if !ok {
			continue
		}
		row := report.TableRow{Title: t.Title, Ref: t.Ref, Base: float64(base), Amps: float64(base), Memory: t.Ref.How == source.Memory, Governs: t.ID == governs}
		if !j.corrected(&row, &t, c, l.Ambient, nominal) {
			if row.Governs {
				why = "no factor for air of " + j.Bank.Show.FormatTemperature(quantity.Temperature(l.Ambient)) + " with insulation for " + j.Bank.Show.FormatTemperature(c.Wrap.Insulation.V)
			}
			continue
		}
		l.Tables = append(l.Tables, row)
	}
	if l.Governing() == nil {
		l.NoTable = fmt.Sprintf("the %s book's table has %s", j.Bank.Practice.Book.V, why)
	}
}

// corrected applies a table's own factors; false where it has none for so warm
// a place.
func (j *Job) corrected(row *report.TableRow, t *rating.AmpacityTable, c *bank.Cable, ambient, nominal float64) bool {
	apply := func(name string, v float64, ref source.Ref) {
		if v != 1 {
			row.Factors = append(row.Factors, report.NamedFactor{Name: name, Value: v, Ref: ref})
			row.Amps *= v
			row.Memory = row.Memory || ref.How == source.Memory
		}
	}
	if f, ref, ok := t.EngineSpace(c.Wrap.Insulation.V); c.Wrap.Engine && ok {
		apply("engine space", f, ref)
	} else if t.Bands != nil {
		f, ok := t.Ambient(c.Wrap.Insulation.V, quantity.Temperature(ambient))
		if !ok {
			return false
		}
		apply("air of "+j.Bank.Show.FormatTemperature(quantity.Temperature(ambient)), f, t.Bands.Ref)
	}
	if c.Wrap.Bundled > 1 {
		if f, ok := t.Bundle(c.Wrap.Bundled, quantity.Voltage(nominal)); ok {
			apply(fmt.Sprintf("%d together", c.Wrap.Bundled), f, t.Bundles.Ref)
		}
	}
	return true
}

// material is what a cable is insulated with, where the job says nothing.
const material = "pvc"

// made gives a cable's conductor and insulation, and what of it was assumed.
func (j *Job) made(c *bank.Cable) (conductor.Cable, *rating.Insulation, []string, error) {
	row := j.cat.Conductor(c.Size)
	if row == nil {
		return conductor.Cable{}, nil, nil, fmt.Errorf("no conductor %s", c.Size)
	}
	var assumed []string
	strands, outside, err := conductor.Diameters(float64(row.Section), conductor.FlexibleFill, conductor.BoatWalls())
	if err != nil {
		return conductor.Cable{}, nil, nil, err
	}
	if c.Wrap.Diameter > 0 {
		outside = math.Max(float64(c.Wrap.Diameter), strands)
	} else {
		assumed = append(assumed, "outside diameter from a model")
	}
	kind := c.Wrap.Material
	if kind == "" {
		kind, assumed = material, append(assumed, "insulation of PVC")
	}
	ins := j.insulation(kind, c.Wrap.Insulation.V, row.Section)
	resistivity := 5.0 // IEC 60287-2-1, PVC up to 3 kV; the highest of the table's common ones
	if ins != nil && ins.Resistivity.Known() {
		resistivity = ins.Resistivity.V.Most
	}
	return conductor.Cable{R20: float64(c.PerLength.V), Section: float64(row.Section), Conductor: strands, Outside: outside,
		Resistivity: resistivity, Emissivity: conductor.TypicalEmissivity, InsulationHeat: conductor.HeatPVC}, ins, assumed, nil
}

// insulation finds the short-circuit row of a material whose rating is the
// nearest not above the cable's, nil if there is none.
func (j *Job) insulation(kind string, rated quantity.Temperature, section quantity.Area) *rating.Insulation {
	var best *rating.Insulation
	for _, one := range j.cat.Insulations() {
		fits := section > one.Over && (one.UpTo == 0 || section <= one.UpTo)
		if one.Material != kind || !fits || one.Rated > rated+1e-6 || one.Rated == 0 {
			continue
		}
		if best == nil || one.Rated > best.Rated {
			best = &one
		}
	}
	return best
}

// physics holds a cable against its own heat balance.
func (j *Job) physics(l *report.Line, c *bank.Cable) {
	made, ins, assumed, err := j.made(c)
	if err != nil {
		return
	}
	l.Outside, l.Assumed = made.Outside, assumed
	place := conductor.Place{Ambient: l.Ambient, Cables: c.Wrap.Bundled}
	if c.Wrap.Sheath {
		place.Sleeve = sleeve(made.Outside, max(1, c.Wrap.Bundled))
		l.Assumed = append(l.Assumed, "a sleeve one and a half times as wide as what is in it")
	}
	limit := float64(c.Wrap.Insulation.V)
	if a, err := conductor.Ampacity(made, place, limit); err == nil {
		l.Physics = a
	}
	if s, err := conductor.Steady(made, place, l.Steady.Amps); err == nil {
		l.Warm = s.Conductor
	}
	switch start := math.Max(l.Ambient, l.Warm); { // an overload comes on top of the steady load
	case !(l.Physics > 0):
	case start < limit:
		l.Holds = shortHeat(made, start, limit, warmingOf(made, place, start, limit, l.Physics).holds)
	default: // it is past its limit already
		steady := l.Physics
		l.Holds = func(amps float64) float64 {
			if amps > steady {
				return 0
			}
			return math.Inf(1)
		}
	}
	if ins != nil {
		k := conductor.Copper.Factor(limit, math.Max(limit, float64(ins.Limit)))
		l.Withstand, l.WithstandRef = k*k*made.Section*made.Section, ins.Ref
	}
}

// sleeve is a tube of PVC round some cables: one and a half times as wide as
// their bundle, 2 mm thick. Common practice, no source.
func sleeve(outside float64, n int) *conductor.Sleeve {
	wide := outside * 1.5
	if n > 1 {
		wide *= 1.3 * math.Sqrt(float64(n)) * 1.1
	}
	return &conductor.Sleeve{Inside: wide, Outside: wide + 4e-3, Resistivity: 5, Emissivity: conductor.TypicalEmissivity}
}
