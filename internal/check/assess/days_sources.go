package assess

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/energy"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// hotPart is what an alternator gives for long of its label, and the most of it
// that is said to be borne.
const (
	hotPart, hotMost = 0.55, 0.60
	breeze           = 1.0 // m/s over panels
)

var (
	hotPractice    = source.Ref{Title: "an alternator gives 50 to 60 % of its label for long when hot", How: source.Practice}
	breezePractice = source.Ref{Title: "little wind close above a roof", How: source.Practice}
	groundRef      = source.Ref{Title: "ground of grass or earth", How: source.Practice}
)

// daySun is the weather as the balance needs it.
type daySun struct {
	kelvin     [12]float64
	mean, dark [][]float64       // W by field and hour of the year, before the controller
	month, bad [][12][24]float64 // the same as mean day of each month
	hours      bool
}

// weather makes the sun on every field.
func (t *dayTable) weather() error {
	t.sun = &daySun{}
	p := &t.j.Bank.Place
	for m := range t.sun.kelvin {
		t.sun.kelvin[m] = math.NaN()
	}
	if !p.Known {
		t.out.Notes = append(t.out.Notes, "the job has no place: the capacity counts as at 25 °C all year")
		t.noSun("the job has no place")
		return nil
	}
	if t.out.Place = p.Name; p.Name == "" {
		t.out.Place = "the months in the job"
	}
	c := t.j.climate()
	year, err := c.Year()
	if err != nil {
		return t.j.at(t.j.Doc.Place.Pos, "place: %v", err)
	}
	column := make([]float64, len(year.Temperature))
	for i, k := range year.Temperature {
		column[i] = float64(k)
	}
	if t.sun.kelvin, err = year.Months(column); err != nil {
		return t.j.at(t.j.Doc.Place.Pos, "place: %v", err)
	}
	if !p.HasSun {
		t.noSun("the place has no sun figures")
		return nil
	}
	t.out.HasSun = true
	dim, err := year.Dim(c.Place, 1, sky.DaysInYear, t.out.Dark)
	if err != nil {
		return t.j.at(t.j.Doc.Place.Pos, "place: %v", err)
	}
	for i := range t.ask.Sun {
		f := &t.ask.Sun[i]
		for _, one := range []struct {
			hours sky.Hours
			all   *[][]float64
			month *[][12][24]float64
		}{{year, &t.sun.mean, &t.sun.month}, {dim, &t.sun.dark, &t.sun.bad}} {
			watts := fieldPower(f, c.Place, one.hours)
			*one.all, *one.month = append(*one.all, watts), append(*one.month, meanDays(watts))
		}
	}
	t.sun.hours = true
	if unsure := c.Unsure(); len(unsure) > 0 && t.tilted() {
		words := ""
		for n, m := range unsure {
			if n > 0 {
				words += ", "
			}
			words += string(bank.MonthNames[m])
		}
		t.out.Notes = append(t.out.Notes, "the sun on a tilted field is doubtful, and mostly too high, in "+words+": the sun stands too low for the part of it that comes from the whole sky to be known")
	}
	return nil
}

func (t *dayTable) tilted() bool {
	for i := range t.ask.Sun {
		if t.ask.Sun[i].Tilt.V > 0 {
			return true
		}
	}
	return false
}

func (t *dayTable) noSun(why string) {
	if len(t.ask.Sun) > 0 {
		t.out.Notes = append(t.out.Notes, why+": what the panels give is not known and counts as nothing")
	}
}

// facing is where a field looks.
func facing(f *bank.SunField, at sky.Place) sky.Plane {
	plane := sky.Plane{Tilt: float64(f.Tilt.V), Azimuth: math.Pi, Reflectance: sky.BareGround}
	if at.Latitude < 0 {
		plane.Azimuth = 0
	}
	if f.Azimuth.Known() {
		plane.Azimuth = float64(f.Azimuth.V)
	}
	return plane
}

// fieldPower is what a field gives each hour, W.
func fieldPower(f *bank.SunField, at sky.Place, hours sky.Hours) []float64 {
	panel := energy.Panel{Peak: float64(f.Peak), Coefficient: -float64(f.Coefficient.V), Loss: float64(f.Loss.V), Mounting: energy.CloseRoof}
	switch f.Mounting.V {
	case bank.OnRack:
		panel.Mounting = energy.OpenRack
	case bank.OnBack:
		panel.Mounting = energy.InsulatedBack
	}
	watts := hours.On(at, facing(f, at))
	for i, g := range watts {
		watts[i] = panel.Power(g, panel.Mounting.Cell(g, float64(hours.Temperature[i]), breeze))
	}
	return watts
}

// meanDays is the mean day of each month of an hourly year.
func meanDays(year []float64) (all [12][24]float64) {
	var days [12]float64
	for d := range sky.DaysInYear {
		m := sky.MonthOf(d + 1)
		days[m]++
		for h := range 24 {
			all[m][h] += year[24*d+h]
		}
	}
	for m := range all {
		for h := range all[m] {
			all[m][h] /= days[m]
		}
	}
	return all
}

// sources lists the sources in the order in which they are taken: sun, engine,
// mains.
func (t *dayTable) sources() {
	for i := range t.ask.Sun {
		f := &t.ask.Sun[i]
		p := t.part(f.Part)
		one := report.DaySource{ID: f.ID, Part: f.Part, Kind: report.BySun, Days: 7, Label: float64(p.Device.Current), Hot: float64(p.Device.Current), Watts: float64(f.Peak)}
		if most := one.Label * t.out.Nominal; most > 0 && most < one.Watts {
			one.Watts, one.Bound = most, "the current of "+p.ID
		}
		t.source(one)
	}
	if t.ask.Drive.Part != "" {
		t.engine(t.part(t.ask.Drive.Part))
	}
	if t.ask.Mains.Days > 0 {
		t.mains()
	}
}

// source adds a source, less what it loses on its own wires at its most.
func (t *dayTable) source(s report.DaySource) {
	a := s.Watts / t.out.Nominal
	if s.Asked = s.Label; t.out.Accept > 0 {
		s.Asked = math.Min(s.Asked, t.out.Accept)
	}
	if s.Asked > 0 {
		// What comes before the tail begins, where the current is what is missing
		// over the time constant.
		s.For = math.Max(0, (1-t.out.Floor)*t.out.Capacity-float64(s.Asked*t.out.Tail)) / t.out.Kept / s.Asked
	}
	s.Lost = a * a * t.wires.ohm(s.Part, s.Part)
	t.out.Sources = append(t.out.Sources, s)
}

func (t *dayTable) engine(p *bank.Part) {
	s := report.DaySource{ID: p.ID, Part: p.ID, Kind: report.ByEngine, Days: t.ask.Drive.Days, Label: float64(p.Device.Current), Limit: p.Device.Limited}
	s.Hot = s.Label
	if !s.Limit {
		s.Hot *= hotPart
		s.Bound = "what it bears when hot"
	}
	if s.Label == 0 {
		t.out.Notes = append(t.out.Notes, p.ID+" has no current in the job: what the engine gives is not known and counts as nothing")
	}
	s.Watts, s.Hours = s.Hot*t.out.Nominal, float64(t.ask.Drive.Hours)/hourSeconds
	t.source(s)
}

// mains lists the mains chargers. What the inlet gives is shared out in the
// order of the parts.
func (t *dayTable) mains() {
	in := t.j.Bank.Inlet
	left := float64(in.Current) * float64(in.Voltage)
	bounded := left > 0
	for i := range t.j.Bank.Parts {
		p := &t.j.Bank.Parts[i]
		if !p.Kind.Mains() {
			continue
		}
		d := &p.Device
		eta := float64(d.Efficiency.V)
		s := report.DaySource{ID: p.ID, Part: p.ID, Kind: report.ByMains, Hours: hoursOf(t.ask.Mains.Spans), Days: t.ask.Mains.Days, Label: float64(d.Current), Hot: float64(d.Current), Watts: float64(d.Current) * t.out.Nominal}
		if set := float64(d.Input) * float64(in.Voltage) * eta; set > 0 && (set < s.Watts || s.Label == 0) {
			s.Watts, s.Bound = set, "the mains current it is set to"
		}
		if bounded {
			if s.Watts > left*eta {
				s.Watts, s.Bound = left*eta, "the mains inlet"
			}
			left -= s.Watts / eta
		}
		if s.Label == 0 && s.Bound == "" {
			t.out.Notes = append(t.out.Notes, p.ID+" has no current in the job: what it gives is not known and counts as nothing")
		}
		t.source(s)
	}
}

// hoursOf is how long the spans of a day are, h.
func hoursOf(spans []bank.Span) float64 {
	sum := 0.0
	for h := range 24 {
		sum += bank.Within(spans, h)
	}
	return sum
}

// offer is what every source can give the bank in an hour of the week, W. Sun
// gives the power of each field in that hour.
func (t *dayTable) offer(day, h int, sun func(field int) float64) []float64 {
	all := make([]float64, len(t.out.Sources))
	of := map[string]float64{} // by controller
	for n := range t.ask.Sun {
		all[n] = sun(n)
		of[t.ask.Sun[n].Part] += all[n]
	}
	for n := range t.out.Sources {
		s := &t.out.Sources[n]
		switch s.Kind {
		case report.BySun:
			if most := s.Label * t.out.Nominal; most > 0 && of[s.Part] > most {
				all[n] *= most / of[s.Part]
			}
		case report.ByEngine:
			all[n] = s.Watts * t.on(day, h, s.Days, t.ask.Drive.Spans)
		case report.ByMains:
			all[n] = s.Watts * t.on(day, h, s.Days, t.ask.Mains.Spans)
		}
	}
	for n := range all {
		s := &t.out.Sources[n]
		a := all[n] / t.out.Nominal
		// Of a source that is on for a part of the hour the current is larger by it.
		if part := all[n] / s.Watts; s.Kind != report.BySun && part > 0 {
			a = s.Watts / t.out.Nominal
			all[n] -= part * a * a * t.wires.ohm(s.Part, s.Part)
			continue
		}
		all[n] -= a * a * t.wires.ohm(s.Part, s.Part)
	}
	return all
}

// on is the part of an hour of a day of the week in which something of the last
// so many days is on. What goes on over midnight belongs to the day it begins.
func (t *dayTable) on(day, h, days int, spans []bank.Span) float64 {
	own, tail := overnight(spans)
	part := 0.0
	if day%7 >= 7-days {
		part += bank.Within(own, h)
	}
	if (day+6)%7 >= 7-days {
		part += bank.Within(tail, h)
	}
	return math.Min(1, part)
}

// overnight parts spans into those of the day itself and those after midnight
// that go on from one before it.
func overnight(spans []bank.Span) (own, tail []bank.Span) {
	const day = 86400
	late := slices.ContainsFunc(spans, func(s bank.Span) bool { return s.From > 0 && s.To == day })
	for _, s := range spans {
		if late && s.From == 0 && s.To < day {
			tail = append(tail, s)
			continue
		}
		own = append(own, s)
	}
	return own, tail
}

// dark is no sun on any field.
func dark(int) float64 { return 0 }

// assume lists what the balance rests on that nobody gave.
func (t *dayTable) assume() {
	d, l := t.ask, &t.list
	addAssumed(l, "floor", "days", quantity.Format(d.Floor.V, 3), d.Floor)
	l.add("charge above the floor before loads that went off are fed again", "days", fmt.Sprintf("%.0f %%", 100*energy.Again), "as a cut-out with its re-connect does", "common practice, no source")
	addAssumed(l, "state of charge at the start of a week", "days", quantity.Format(d.Start.V, 3), d.Start)
	addAssumed(l, "days that it shall last", "days", quantity.Format(d.Wish.V, 3), d.Wish)
	addAssumed(l, "time constant of the tail of a charge", "days", quantity.Format(d.Tail.V, 3), d.Tail)
	if t.sun.hours && len(d.Sun) > 0 {
		addAssumed(l, "sun of a bad day, of a mean day's", "days", quantity.Format(d.Dark.V, 3), d.Dark)
		for i := range d.Sun {
			t.assumeField(&d.Sun[i])
		}
		l.add("wind over the panels", "sun", "1 m/s", "", breezePractice.String())
		l.add("light that the ground throws back", "sun", "20 %", "", groundRef.String())
	}
	addAssumed(l, "the engine runs from", "drive", clockWords(float64(d.Drive.From.V)), d.Drive.From)
	for i := range t.out.Sources {
		if s := &t.out.Sources[i]; s.Kind == report.ByEngine && !s.Limit && s.Label > 0 {
			l.add("lasting current when hot", s.ID, amps(s.Hot), fmt.Sprintf("%.0f %% of its label", 100*hotPart), hotPractice.String())
		}
	}
	for _, id := range t.inverters() {
		p := t.part(id)
		addAssumed(l, "efficiency", id, quantity.Format(p.Device.Efficiency.V, 3), p.Device.Efficiency)
		if w, assumed := idle(p); assumed && !d.InvertersOff {
			l.add("taken without load", id, quantity.Format(quantity.Power(w), 2), "one percent of its lasting power", idlePractice.String())
		}
	}
	if t.j.Bank.Place.Known && t.warm == nil {
		l.add("batteries as cold as", "the bank", "the month's mean outside", "how warm they really are is not in this balance", "")
	}
	l.add("power is turned into current at", "the bank", volts(t.out.Nominal), "its nominal voltage", "")
}

func (t *dayTable) assumeField(f *bank.SunField) {
	l := &t.list
	addAssumed(l, "tilt", f.ID, quantity.Format(f.Tilt.V, 2), f.Tilt)
	if f.Tilt.V > 0 && !f.Azimuth.Known() {
		l.add("faces", f.ID, "the equator", "", "")
	}
	addAssumed(l, "mounting", f.ID, f.Mounting.V, f.Mounting)
	addAssumed(l, "loss before the bank", f.ID, quantity.Format(f.Loss.V, 3), f.Loss)
	addAssumed(l, "power lost a kelvin above 25 °C", f.ID, quantity.Format(f.Coefficient.V, 2), f.Coefficient)
}

// clockWords gives seconds after midnight as a clock time.
func clockWords(s float64) string { return fmt.Sprintf("%02d:%02d", int(s)/3600, int(s)/60%60) }
