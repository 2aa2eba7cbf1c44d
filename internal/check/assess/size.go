package assess

import (
	"fmt"
	"math"
	"sort"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/rules"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// SizeAsk is the question for a size without a job. Zero and "" take what a
// job takes that says nothing, and are told as assumed.
type SizeAsk struct {
	Current    float64 // A without end; above 0
	Length     float64 // m one way; above 0
	Voltage    float64 // V
	Drop       float64 // part of the voltage
	Ambient    float64 // K; an engine space is of 50 °C at least
	Insulation float64 // K
	Bundled    int     // loaded cables together, itself included
	Enclosed   bool    // in a sleeve or raceway
	Engine     bool    // in an engine space
	Book       string  // marine, vehicle, general
}

// What a question that says nothing of it takes: 12.8 V, the nominal voltage of
// four iron-phosphate cells in series (common practice, no source), and 3 %.
const (
	sizeVoltage = 12.8
	sizeDrop    = 0.03
)

// heatRef is the ground of the heat balance.
var heatRef = source.Ref{Title: "heat balance of a cable: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, with radiation", At: "doc/methods.md", Edition: "1975", How: source.Memory}

// Size holds every size of the catalogue against a current and a way. The error
// is an *AskError where something of the question is out of range.
func Size(ask SizeAsk) (*report.SizeAnswer, error) {
	if err := ask.check(); err != nil {
		return nil, err
	}
	cat := catalog.Default()
	a := &report.SizeAnswer{Current: ask.Current, Length: ask.Length}
	ask.fill(cat, a)
	if err := ask.cool(a); err != nil {
		return nil, err
	}
	j := &Job{cat: cat, Bank: &bank.Bank{Practice: bank.Practice{Book: source.Of(a.Book), Ambient: source.Of(quantity.Temperature(a.Ambient))}}}
	a.NoTableRows = true
	for _, row := range cat.Conductors() {
		c, err := j.choice(ask, a, row)
		if err != nil {
			return nil, err
		}
		a.NoTableRows = a.NoTableRows && c.Table == nil
		a.Choices = append(a.Choices, c)
	}
	sort.SliceStable(a.Choices, func(i, k int) bool { return a.Choices[i].Section < a.Choices[k].Section })
	pickSizes(a)
	a.Notes = j.sizeNotes(ask, a)
	return a, nil
}

// AskError says what of a question for a size is out of range.
type AskError struct{ Of, Why string } // Of as the command line names it

func (e *AskError) Error() string { return e.Of + ": " + e.Why }

// What a question may ask, so that a slip of a prefix is told and no size is
// sought for what no cable of a bank is: common practice, no source. 1500 V is
// where low voltage ends for direct current (IEC 60038), 300 °C is above every
// insulation of the catalogue and of any flexible cable.
const (
	leastAmps, mostAmps   = 1e-3, 20e3
	leastWay, mostWay     = 1e-3, 1e3
	leastVolts, mostVolts = 0.1, 1500
	leastDrop, mostDrop   = 1e-4, 0.999999
	leastWarm, mostWarm   = 213.15, 573.15
	mostTogether          = 1000 // cables in a bundle that the heat balance takes
	ampsFit, wayFit       = "1 mA to 20 kA", "1 mm to 1 km"
	voltsFit, dropFit     = "0.1 V to 1500 V", "0.01 % to less than 100 %"
	warmFit               = "-60 °C to 300 °C"
)

func (ask *SizeAsk) check() error {
	var show quantity.Show
	drop := fmt.Sprintf("%.4g %%", 100*ask.Drop)
	for _, one := range []struct {
		of             string
		v, least, most float64
		due            bool
		words, fit     string
	}{
		{"current", ask.Current, leastAmps, mostAmps, true, quantity.Format(quantity.Current(ask.Current), 4), ampsFit},
		{"length", ask.Length, leastWay, mostWay, true, show.FormatLength(quantity.Length(ask.Length)), wayFit},
		{"voltage", ask.Voltage, leastVolts, mostVolts, false, quantity.Format(quantity.Voltage(ask.Voltage), 4), voltsFit},
		{"drop", ask.Drop, leastDrop, mostDrop, false, drop, dropFit},
		{"ambient", ask.Ambient, leastWarm, mostWarm, false, show.FormatTemperature(quantity.Temperature(ask.Ambient)), warmFit},
		{"insulation", ask.Insulation, leastWarm, mostWarm, false, show.FormatTemperature(quantity.Temperature(ask.Insulation)), warmFit},
	} {
		switch {
		case one.v == 0 && one.due:
			return &AskError{one.of, "it is missing or zero; give " + one.fit}
		case one.v == 0: // what a job takes that says nothing
		case !(one.v >= one.least*(1-1e-9) && one.v <= one.most*(1+1e-9)):
			return &AskError{one.of, fmt.Sprintf("%s is out of range; give %s", one.words, one.fit)}
		}
	}
	if ask.Bundled < 0 || ask.Bundled > mostTogether {
		return &AskError{"bundled", fmt.Sprintf("%d cables together; give 1 to %d", ask.Bundled, mostTogether)}
	}
	if _, known := book[ask.Book]; !known && ask.Book != "" {
		return &AskError{"rule", fmt.Sprintf("there is no book of rules %q; there are marine, vehicle, general", ask.Book)}
	}
	return nil
}

// cool refuses air that leaves the insulation no warmth to bear. It is told of
// what was asked, not of what was taken for granted.
func (ask *SizeAsk) cool(a *report.SizeAnswer) error {
	if a.Ambient < a.Insulation {
		return nil
	}
	show := func(k float64) string { return quantity.Show{}.FormatTemperature(quantity.Temperature(k)) }
	of, mend := "ambient", "below "+show(a.Insulation)
	if ask.Insulation > 0 && !(ask.Ambient >= a.Ambient) {
		of, mend = "insulation", "above "+show(a.Ambient)
	}
	where := "air"
	if ask.Engine && !(ask.Ambient >= a.Ambient) {
		where = "an engine space"
	}
	return &AskError{of, fmt.Sprintf("%s of %s is as warm as insulation for %s bears, so that no current is left; give a temperature %s", where, show(a.Ambient), show(a.Insulation), mend)}
}

// fill takes what was asked, and what a job takes where nothing was said.
func (ask *SizeAsk) fill(cat *catalog.Catalog, a *report.SizeAnswer) {
	or := func(v, otherwise float64, words string) float64 {
		if v > 0 {
			return v
		}
		a.Assumed = append(a.Assumed, words)
		return otherwise
	}
	var show quantity.Show
	kelvin := func(id string) (float64, string) {
		k := cat.Constant(id).Value + 273.15
		return k, show.FormatTemperature(quantity.Temperature(k))
	}
	a.Voltage = or(ask.Voltage, sizeVoltage, "12.8 V")
	a.Drop = or(ask.Drop, sizeDrop, "a drop of 3 %")
	warm, words := kelvin("ambient")
	words = "air of " + words
	if ask.Engine && warm < engineSpace {
		warm, words = engineSpace, "air of "+show.FormatTemperature(engineSpace)+" in the engine space"
	}
	if a.Ambient = or(ask.Ambient, warm, words); ask.Engine && a.Ambient < engineSpace {
		a.Assumed = append(a.Assumed, fmt.Sprintf("air of %s in the engine space, not %s", show.FormatTemperature(engineSpace), show.FormatTemperature(quantity.Temperature(a.Ambient))))
		a.Ambient = engineSpace
	}
	bears, words := kelvin("insulation")
	a.Insulation = or(ask.Insulation, bears, "insulation for "+words)
	if a.Book = ask.Book; a.Book == "" {
		a.Book = bank.Vehicle
		a.Assumed = append(a.Assumed, "the vehicle book of rules")
	}
}

// choice holds one size against the question.
func (j *Job) choice(ask SizeAsk, a *report.SizeAnswer, row catalog.Conductor) (report.SizeChoice, error) {
	per, err := j.cat.PerLength(row.Size)
	if err != nil {
		return report.SizeChoice{}, err
	}
	c := bank.Cable{ID: row.Size.ASCII(), Size: row.Size, PerLength: per,
		Wrap: bank.Wrap{Insulation: source.Of(quantity.Temperature(a.Insulation)), Bundled: ask.Bundled, Sheath: ask.Enclosed, Engine: ask.Engine}}
	l := report.Line{Insulation: c.Wrap.Insulation.V, Ambient: j.around(&c), Steady: report.WorstFlow{Amps: a.Current, Seconds: math.Inf(1)}, Physics: math.NaN(), Warm: math.NaN()}
	j.tables(&l, &c, a.Voltage)
	j.physics(&l, &c)
	one := report.SizeChoice{Size: row.Size, Section: float64(row.Section), Table: l.Governing(), NoTable: l.NoTable, Physics: l.Physics, Temperature: l.Warm, Volts: math.Inf(1), Melts: math.IsInf(l.Warm, 1)}
	if !one.Melts {
		way := conductor.Segment{R20: float64(per.V), Length: 2 * a.Length, Temperature: l.Warm}
		if one.Volts, _, err = conductor.Drop(a.Current, []conductor.Segment{way}); err != nil {
			return report.SizeChoice{}, err
		}
	}
	one.ByDrop = verdict(one.Volts, float64(a.Drop*a.Voltage))
	one.ByHeat = verdict(a.Current, one.Physics)
	one.ByTable = report.Unknown
	one.Rule, one.Source = "heat balance; not checked by table", heatRef.String()
	governs := one.ByHeat
	if one.Table != nil {
		one.ByTable = verdict(a.Current, one.Table.Amps)
		governs = one.ByTable
		one.Rule, one.Source = one.Table.Title, one.Table.Ref.String()
		for _, f := range one.Table.Factors {
			one.Source += fmt.Sprintf("; %.2f for %s: %s", f.Value, f.Name, f.Ref)
		}
	}
	one.Within = governs == report.Within && one.ByDrop == report.Within
	return one, nil
}

// verdict compares a demand with what is allowed; a number that is not known is
// not checked.
func verdict(demand, allowed float64) report.Verdict {
	switch {
	case math.IsNaN(demand) || math.IsNaN(allowed):
		return report.Unknown
	case demand <= allowed*(1+1e-9): // so that a demand equal to a product of factors is within
		return report.Within
	}
	return report.Over
}

// pickSizes finds the smallest ones, the choices being in rising order. Beside
// sizes with a row in the table those without one are no answer: a gauge that
// the table leaves out would else stand on the heat balance, which has less
// margin, and seem to do where the next larger one does not.
func pickSizes(a *report.SizeAnswer) {
	first := func(is func(*report.SizeChoice) bool) *report.SizeChoice {
		for i := range a.Choices {
			if is(&a.Choices[i]) {
				return &a.Choices[i]
			}
		}
		return nil
	}
	heat := func(c *report.SizeChoice) bool { return c.ByHeat == report.Within && c.ByDrop == report.Within }
	a.Smallest = first(func(c *report.SizeChoice) bool { return c.Within && (c.Table != nil || a.NoTableRows) })
	a.ByHeat = first(func(c *report.SizeChoice) bool { return heat(c) && c.Size.IsAWG() })
	a.MetricHeat = first(func(c *report.SizeChoice) bool { return heat(c) && !c.Size.IsAWG() })
}

// sizeNotes says what the governing table does not know of this place.
func (j *Job) sizeNotes(ask SizeAsk, a *report.SizeAnswer) []string {
	var notes []string
	t := j.cat.Ampacity(governing(a.Book, ask.Enclosed))
	if a.NoTableRows {
		why := ""
		for i := range a.Choices {
			if t.Row(a.Choices[i].Size) != nil {
				why = a.Choices[i].NoTable // of a size that the table names
			}
		}
		return []string{fmt.Sprintf("no size is checked by table: %s; the heat balance stands alone", why)}
	}
	if warm := rules.TableAir(t, quantity.Temperature(a.Ambient), ask.Engine, j.Bank.Show); warm != "" {
		notes = append(notes, warm)
	}
	if ask.Enclosed && t.Setting == rating.FreeAir {
		notes = append(notes, "the table makes no difference between free and enclosed conductors; the heat balance does")
	}
	if f, ok := t.Bundle(max(1, ask.Bundled), quantity.Voltage(a.Voltage)); ask.Bundled > 1 && ok && f == 1 {
		notes = append(notes, fmt.Sprintf("the table asks for no factor for %d together at %s; the heat balance counts them", ask.Bundled, quantity.Format(quantity.Voltage(a.Voltage), 3)))
	}
	if c := a.Smallest; c != nil {
		for _, least := range j.cat.LeastSizes() {
			row := j.cat.Conductor(least.Size)
			if string(least.Regime) == a.Book && least.Sheathed == ask.Enclosed && row != nil && least.Size.IsAWG() == c.Size.IsAWG() && c.Section < float64(row.Section) {
				notes = append(notes, fmt.Sprintf("%s is thinner than may be laid there: %s, %s at least; %s", c.Size, least.Title, least.Size, least.Ref))
			}
		}
	}
	if a.Book == bank.Vehicle {
		notes = append(notes, "this book has no ampacity table of its own; "+t.Title+" stands in")
	}
	return notes
}
