package assess

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/report"
)

// sourceOf finds a source of a balance.
func sourceOf(t *testing.T, d *report.Days, id string) (int, *report.DaySource) {
	t.Helper()
	for n := range d.Sources {
		if d.Sources[n].ID == id {
			return n, &d.Sources[n]
		}
	}
	t.Fatalf("no source %s among %+v", id, d.Sources)
	return 0, nil
}

// What bounds a mains charger, by hand at 12.8 V and 230 V: its label of 50 A is
// 640 W; set to 2 A it gives 2·230·0.9 = 414 W; an inlet of 1 A 207 W; of two
// chargers the second has what the first leaves.
func TestDayMains(t *testing.T) {
	for _, c := range []struct {
		input, inlet, second string
		watts, other         float64
		bound                string
	}{
		{"", "", "", 640, 0, ""},
		{"", "inlet: {current: 10 A, voltage: 230 V}\n", "", 640, 0, ""},
		{", input: 2 A", "inlet: {current: 10 A, voltage: 230 V}\n", "", 414, 0, "the mains current it is set to"},
		{"", "inlet: {current: 1 A, voltage: 230 V}\n", "", 207, 0, "the mains inlet"},
		{", input: 2 A", "inlet: {current: 3 A, voltage: 230 V}\n", "  - {id: C9, kind: charger, current: 30 A, voltage: 14.2 V, efficiency: 80 %}\n", 414, 184, "the mains current it is set to"},
	} {
		text := strings.Replace(daysJob, "voltage: 14.2 V, efficiency: 90 %", "voltage: 14.2 V, efficiency: 90 %"+c.input, 1)
		text = strings.Replace(text, "  - {id: A1,", c.second+"  - {id: A1,", 1)
		_, d := daysOf(t, text+c.inlet+"loads: [{id: a, part: L1}]\nmains: {from: 20:00, to: 06:00, days: 7}\n")
		n, s := sourceOf(t, d, "C1")
		within(t, "C1", s.Watts, c.watts, 1e-9)
		within(t, "hours", s.Hours, 10, 1e-12)
		if s.Bound != c.bound {
			t.Errorf("%+v: bound by %q", c, s.Bound)
		}
		// Ten hours a day of it, less what the wires lose.
		within(t, "offered", d.Months[0].Typical.Offered[n]/3600, 10*(s.Watts-s.Lost), 1e-6)
		if c.other > 0 {
			_, two := sourceOf(t, d, "C9")
			within(t, "C9", two.Watts, c.other, 1e-9)
		}
	}
}

// An alternator counts with 55 % of its label unless it is limited; over a week
// only on the days told, the last ones.
func TestDayEngine(t *testing.T) {
	for _, c := range []struct {
		more string
		part float64
	}{{"", 0.55}, {", limited: true", 1}} {
		text := strings.Replace(daysJob, "current: 100 A, voltage: 14.2 V", "current: 100 A, voltage: 14.2 V"+c.more, 1)
		_, d := daysOf(t, text+"loads: [{id: a, part: L1}]\ndrive: {part: A1, hours: 150 min, from: 23:00, days: 3}\n")
		n, s := sourceOf(t, d, "A1")
		within(t, "at most", s.Watts, c.part*100*12.8, 1e-9)
		k := &d.Months[0].Typical
		within(t, "offered", k.Offered[n]/3600, 2.5*3/7*(s.Watts-s.Lost), 1e-6)
		for day := range 7 {
			in := 0.0
			for _, w := range k.Power[day].In {
				in += w
			}
			if (in > 0) != (day >= 4 || day == 0) { // the last night goes on into the first day
				t.Errorf("day %d gets %g Wh", day+1, in)
			}
		}
		within(t, "from eleven on", k.Power[6].In[23], s.Watts-s.Lost, 1e-9)
		within(t, "half an hour at one", k.Power[6].In[1], (s.Watts-s.Lost)/2, 1e-9)
	}
}

// Two fields on one controller are cut to its current together, each by its own
// part; and a field with a small share is not cut alone.
func TestDaySunClipped(t *testing.T) {
	text := strings.Replace(daysJob, "kind: solar, current: 60 A", "kind: solar, current: 10 A", 1)
	_, d := daysOf(t, text+equatorial+"loads: [{id: a, part: L1}]\nsun: [{id: one, part: C2, peak: 600 W, tilt: 0 °}, {id: two, part: C2, peak: 200 W, tilt: 0 °}]\n")
	k := &d.Months[3].Typical
	for day := range 7 {
		for h, w := range k.Power[day].In {
			if w > 10*12.8+1e-9 {
				t.Errorf("%g W at %d:00 through a controller of 128 W", w, h)
			}
		}
	}
	within(t, "by their sizes", k.Offered[0]/k.Offered[1], 3, 0.02) // the loss on the wires goes with the square
	_, s := sourceOf(t, d, "one")
	if s.Bound != "the current of C2" || s.Watts != 128 {
		t.Errorf("%+v", s)
	}
}

// A panel to the equator gets more in winter than one that lies flat, one away
// from it less, on either side of the equator; flat is the same where it faces.
func TestDaySunFaces(t *testing.T) {
	months := strings.TrimSuffix(strings.Repeat("{high: 11 °C, low: 10 °C, sun: 2 kWh/m2}, ", 12), ", ")
	for _, c := range []struct {
		latitude      string
		winter        int
		towards, away string
	}{{"45 °", 11, "180 °", "0 °"}, {"-45 °", 5, "0 °", "180 °"}} {
		get := func(field string) float64 {
			_, d := daysOf(t, daysJob+"place: {latitude: "+c.latitude+", coldest: 0 °C, hottest: 30 °C, months: ["+months+"]}\nloads: [{id: a, part: L1}]\nsun: [{id: one, part: C2, peak: 100 W"+field+"}]\n")
			return d.Months[c.winter].Typical.Offered[0]
		}
		flat, towards, away, left := get(""), get(", tilt: 40 °, azimuth: "+c.towards), get(", tilt: 40 °, azimuth: "+c.away), get(", tilt: 40 °")
		if !(towards > 1.2*flat && away < 0.8*flat) {
			t.Errorf("%s: flat %g, towards %g, away %g", c.latitude, flat, towards, away)
		}
		within(t, "without an azimuth", left, towards, 1e-9*towards)
		within(t, "flat whichever way", get(", azimuth: 77 °"), flat, 1e-9*flat)
	}
}

// Without a place, and with a place that has no sun, panels count for nothing
// and that is said.
func TestDaySunUnknown(t *testing.T) {
	for _, place := range []string{"", "place: {climate: duluth}\n"} {
		_, d := daysOf(t, daysJob+place+"loads: [{id: a, part: L1}]\nsun: [{id: one, part: C2, peak: 100 W}]\n")
		said := strings.Join(d.Notes, "; ")
		if d.HasSun || d.Months[6].Typical.Offered[0] != 0 || !strings.Contains(said, "what the panels give is not known and counts as nothing") {
			t.Errorf("%q: %s", place, said)
		}
		if (place == "") != math.IsNaN(d.Months[0].Kelvin) {
			t.Errorf("%q: %g K", place, d.Months[0].Kelvin)
		}
	}
}

// What stops first: a cut-out that the surge reaches early, one that a long thin
// cable reaches even from full, and one that is never reached.
func TestDayStops(t *testing.T) {
	for _, c := range []struct {
		inverter string
		stops    func(charge float64) bool
	}{
		{"power: 2 kW, cutout: 12.4 V", func(s float64) bool { return s > 0.2 && s <= 1 }},
		{"power: 200 W, cutout: 10 V", func(s float64) bool { return s < 0.05 }},
		{"power: 200 W, surge: 4 kW, cutout: 12.4 V", func(s float64) bool { return s == 1 }},
	} {
		_, d := daysOf(t, strings.Replace(daysJob, "power: 2 kW, efficiency: 90 %, idle: 20 W, cutout: 10.5 V", c.inverter, 1)+"loads: [{id: a, through: I1, power: 10 W}]\ndays: {floor: 20 %}\n")
		found := false
		for i, s := range d.Stops {
			if i > 0 && s.Charge > d.Stops[i-1].Charge {
				t.Errorf("out of order: %+v", d.Stops)
			}
			if s.ID == "I1" {
				found = true
				if !c.stops(s.Charge) || report.StopWords(&d.Stops[i]) == "" || s.Surge != strings.Contains(c.inverter, "surge") {
					t.Errorf("%s: %+v", c.inverter, s)
				}
			}
		}
		if !found || len(d.Stops) != 2 {
			t.Errorf("%+v", d.Stops)
		}
	}
}

// A job without cables has a balance all the same, and says what is not in it.
func TestDaysWithoutCables(t *testing.T) {
	text, _, _ := strings.Cut(daysJob, "cables:\n")
	_, d := daysOf(t, text+"takeoff: {positive: B1+, negative: B2-}\nloads: [{id: a, part: L1}, {id: b, part: L2}, {id: c, through: I1, power: 50 W}]\nmains: {}\n")
	if d.WiringKnown || d.Nominal != 12.8 || math.Abs(d.Capacity-200*3600) > 1e-6 || d.Months[0].Typical.Wiring != 0 {
		t.Errorf("%+v", d)
	}
	if !strings.Contains(fmt.Sprint(d.Notes), "no cable loss is counted") || len(d.Sides) != 3 || !math.IsNaN(d.Sides[0].Ohm) {
		t.Errorf("%v %+v", d.Notes, d.Sides)
	}
	// The current of L2 at the nominal voltage: 128 W.
	within(t, "L2", d.Loads[1].Watts, 128, 1e-9)
}
