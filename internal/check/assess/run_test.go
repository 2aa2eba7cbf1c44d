package assess

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/report"
)

func through(t *testing.T, j *Job, id string, o RunOptions) *report.Run {
	t.Helper()
	r, err := j.Run(id, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func close(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, not %.9g ± %g", what, got, want, tol)
	}
}

// kiosk is a job of n batteries of these type keys, each with its own keys.
func kiosk(typeKeys, cases string, own ...string) string {
	s := "bankwright: 1\nbattery_types: {b: {" + typeKeys + "}}\nbatteries:\n"
	var cables string
	for i, k := range own {
		if k != "" {
			k = ", " + k
		}
		s += fmt.Sprintf("  - {id: B%d, type: b%s}\n", i+1, k)
		if i > 0 {
			cables += fmt.Sprintf("  - {id: P%d, from: B%d+, to: B%d+, resistance: 0.2 mΩ}\n  - {id: N%d, from: B%d-, to: B%d-, resistance: 0.2 mΩ}\n", i, i, i+1, i, i, i+1)
		}
	}
	if cables != "" {
		s += "cables:\n" + cables
	}
	return s + fmt.Sprintf("takeoff: {positive: B1+, negative: B%d-}\n%s", len(own), cases)
}

const lfp100 = "chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah"

// TestExactly: resistance with emf or curve is that and nothing else;
// resistance alone takes curve, branches and factors from the chemistry.
func TestExactly(t *testing.T) {
	for _, tc := range []struct {
		keys                  string
		exact                 bool
		points, branches, gap int
	}{
		{"resistance: 5 mΩ, emf: 13.2 V", true, 1, 0, 0},
		{"resistance: 5 mΩ, curve: [[0 %, 12 V], [100 %, 13.5 V]]", true, 2, 0, 0},
		{"resistance: 5 mΩ, emf: 13.2 V, curve: [[0 %, 12 V], [100 %, 13.5 V]]", true, 2, 0, 0},
		{"resistance: 5 mΩ, emf: 13.2 V, branches: [{resistance: 1 mΩ, time: 20 s}], hysteresis: 40 mV", true, 1, 1, 1},
		{"resistance: 5 mΩ", false, 23, 2, 21},
		{"emf: 13.2 V", false, 23, 2, 21},
		{"curve: [[0 %, 12 V], [100 %, 13.5 V]]", false, 2, 2, 21},
		{"", false, 23, 2, 21},
	} {
		keys := lfp100
		if tc.keys != "" {
			keys += ", " + tc.keys
		}
		m := mustLoad(t, kiosk(keys, "", "")).Bank.Batteries[0].Model
		if m.Exact != tc.exact || len(m.Curve) != tc.points || len(m.Branches) != tc.branches || len(m.Gap) != tc.gap || (m.Warmth == nil) != tc.exact {
			t.Errorf("%q: exact %v, %d points, %d branches, %d of the gap, warmth %v", tc.keys, m.Exact, len(m.Curve), len(m.Branches), len(m.Gap), m.Warmth)
		}
	}
	// What the ten-second resistance holds of the branches is taken out of it.
	m := mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ", "", "")).Bank.Batteries[0].Model
	sum := float64(m.Ohmic.V)
	for _, b := range m.Branches {
		sum += float64(b.Resistance.V) * -math.Expm1(-10/float64(b.Time.V))
	}
	close(t, "after ten seconds, mΩ", 1e3*sum, 5, 1e-9)
}

// TestEmfIsOfTheSnapshot: with emf and curve the snapshot takes the one, the
// run the other.
func TestEmfIsOfTheSnapshot(t *testing.T) {
	j := mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ, emf: 13.2 V, curve: [[0 %, 12 V], [100 %, 13.5 V]]", "cases: [{id: a, draw: 40 A, for: 1 h}]\n", "start: 60 %", "start: 60 %"))
	s, err := j.Currents("")
	if err != nil {
		t.Fatal(err)
	}
	r := through(t, j, "", RunOptions{Every: 60})
	close(t, "apart", s.Sharing.Voltage-r.Voltage[0], 13.2-12.9, 1e-9)
	close(t, "given, Ah", r.Delivered/3600, 40, 1e-9)
}

// TestAtASample: the snapshot of a moment is what the run says of it, cables
// and all.
func TestAtASample(t *testing.T) {
	j := mustLoad(t, example(t, "library-trailer.yaml"))
	r := through(t, j, "day", RunOptions{Every: 600, Out: []Drop{{"B4", 3600}}})
	for _, n := range []int{0, 5, 7, 12, len(r.Time) - 1} {
		s, err := j.At(j.Bank, r, n)
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range s.Sharing.Batteries {
			close(t, fmt.Sprintf("%s at sample %d", b.ID, n), b.Current, r.Batteries[i].Current[n], 1e-6)
		}
		close(t, "take-off, V", s.Sharing.Voltage, r.Voltage[n], 1e-9)
	}
	if r.Batteries[3].Active[7] || r.Batteries[3].Current[7] != 0 {
		t.Error("B4 is not out after an hour")
	}
	close(t, "on the labels, Ah", r.Nameplate/3600, 750, 1e-9)
}

// TestAgainst: the own wiring of the example gives less than the best of the
// front, and the best is the best by a run of its own.
func TestAgainst(t *testing.T) {
	j := mustLoad(t, example(t, "library-trailer.yaml"))
	c, err := j.Against(context.Background(), "evening")
	if err != nil || c.Note != "" || c.Best < 0 || len(c.Front) != len(c.Searched.Front) {
		t.Fatalf("%+v, %v", c, err)
	}
	for i, y := range c.Front {
		if y.FirstOut > c.Front[c.Best].FirstOut*(1+1e-9) || !(y.BankOut >= y.FirstOut) {
			t.Errorf("wiring %d: %+v", i+1, y)
		}
	}
	if lost := c.Front[c.Best].FirstOut - c.Own.FirstOut; !(lost > 3600) {
		t.Errorf("the chain loses %g Ah; it is known to lose some", lost/3600)
	}
	for _, i := range []int{0, c.Best} {
		k, err := j.Rewired(c.Searched, &c.Searched.Front[i])
		if err != nil {
			t.Fatal(err)
		}
		k.Bank.Cases[0].For = 0
		r := through(t, k, "evening", RunOptions{})
		close(t, fmt.Sprintf("wiring %d written out, Ah", i+1), r.FirstOut/3600, c.Front[i].FirstOut/3600, 1e-6)
	}
	if c, err = j.Against(context.Background(), "shore"); err != nil || c.Note == "" {
		t.Errorf("a charge compared: %+v, %v", c, err)
	}
}

// TestThirdBesideTwoOld: two batteries a few years old, by measured resistance
// and capacity, and a new one: it takes more than its part, and the numbers say
// how much.
func TestThirdBesideTwoOld(t *testing.T) {
	limits := ", limits: {discharge: 100 A, charge: 50 A}"
	old := "resistance: 9 mΩ, capacity: 80 Ah"
	cases := "cases: [{id: evening, draw: 120 A}]\n"
	j := mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ"+limits, cases, old, old, ""))
	_, v, err := j.Join("B3", JoinOptions())
	if err != nil {
		t.Fatal(err)
	}
	if v.Answer != YesWithLimits || v.DrawBy != "B3" || !strings.Contains(strings.Join(v.Why, " "), "B3 carries") {
		t.Errorf("%s: %v, %s first", v.Answer, v.Why, v.DrawBy)
	}
	close(t, "largest draw is B3's limit over its part", v.Draw, 120*100/v.Current[2], 1e-6)
	if !(v.FirstOut > v.Without) || !(v.FirstOut/3600 < 260) {
		t.Errorf("with it %g Ah, without %g Ah", v.FirstOut/3600, v.Without/3600)
	}
	for i, ratio := range v.Life.Ratio { // discharged to the end all go through the same depth
		close(t, fmt.Sprintf("life of B%d", i+1), ratio, 1, 0.01)
	}
	// A draw that its limit does not allow: no. A like third: yes.
	j = mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ"+limits, strings.Replace(cases, "120", "290", 1), old, old, ""))
	if _, v, err = j.Join("B3", JoinOptions()); err != nil || v.Answer != No {
		t.Errorf("%+v, %v", v, err)
	}
	j = mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ"+limits, cases, "", "", ""))
	if _, v, err = j.Join("B3", JoinOptions()); err != nil || v.Answer != Yes {
		t.Errorf("%+v, %v", v, err)
	}
	// Unlike chemistry: no.
	other := strings.Replace(kiosk(lfp100+limits, cases, "", ""), "battery_types: {b: {", "battery_types: {f: {chemistry: flooded, nominal: 12 V, capacity: 100 Ah}, b: {", 1)
	j = mustLoad(t, strings.Replace(other, "{id: B2, type: b}", "{id: B2, type: f}", 1))
	if _, v, err = j.Join("B2", JoinOptions()); err != nil || v.Answer != No || !strings.Contains(strings.Join(v.Why, " "), "unlike batteries") {
		t.Errorf("%+v, %v", v, err)
	}
}

// TestAge: an age changes what is not measured, and says so.
func TestAge(t *testing.T) {
	j := mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ", "", "age: 885 d", "age: 885 d, resistance: 6 mΩ, capacity: 90 Ah", ""))
	b := j.Bank.Batteries
	// Law A, 885 days at 25 °C and half charge: 6.620 % and 4.08 %, battery.md case 13.
	close(t, "capacity, Ah", float64(b[0].Capacity.V)/3600, 100*(1-0.0662), 0.01)
	close(t, "resistance, mΩ", 1e3*float64(b[0].Resistance.V), 5*1.0408, 0.001)
	if b[0].Capacity.Mark() == "" || b[0].Resistance.Mark() == "" || b[1].Capacity.V != 90*3600 || b[1].Resistance.V != 6e-3 || b[2].Capacity.Mark() != "" {
		t.Errorf("%+v, %+v, %+v", b[0], b[1].Capacity, b[2].Capacity)
	}
	close(t, "the search's too", float64(b[0].Model.Ohmic.V/b[2].Model.Ohmic.V), 1.0408, 0.0001)
}

// TestSteps: sequences repeat; what is not there is named.
func TestSteps(t *testing.T) {
	j := mustLoad(t, kiosk(lfp100+", resistance: 5 mΩ, emf: 13 V", "cases: [{id: a, draw: 10 A, for: 1 h}, {id: b, charge: 10 A, for: 30 min}]\nsequences: [{id: week, cases: [a, b, b], times: 2}]\n", "", ""))
	cases, err := j.Steps("week")
	if err != nil || len(cases) != 6 || cases[5].ID != "b" {
		t.Fatalf("%v, %v", cases, err)
	}
	r := through(t, j, "week", RunOptions{Halve: true})
	close(t, "taken less given, Ah", (r.Taken-r.Delivered)/3600, 0, 1e-9)
	close(t, "at the end, %", 100*r.Batteries[0].Charge[len(r.Time)-1], 100, 1e-7)
	if r.StepError > 1e-9 || r.EventError > 1e-3 {
		t.Errorf("step error %g, event error %g", r.StepError, r.EventError)
	}
	if _, err := j.Run("noon", RunOptions{}); err == nil {
		t.Error("ran a case that is not there")
	}
	if _, err := j.Run("a", RunOptions{Out: []Drop{{"B9", 0}}}); err == nil {
		t.Error("took out a battery that is not there")
	}
}

// TestReadingsApart: an offset of voltage and a bad path are told apart.
func TestReadingsApart(t *testing.T) {
	text := kiosk(lfp100+", resistance: 5 mΩ, emf: 13.2 V", "cases: [{id: low, draw: 20 A}, {id: high, draw: 200 A}]\n", "", "", "", "")
	j := mustLoad(t, text+"readings:\n  - {id: R1, case: low, current: {B1: 9 A, B2: 3.7 A, B3: 3.7 A, B4: 3.6 A}}\n  - {id: R2, case: high, current: {B1: 53.6 A, B2: 48.8 A, B3: 48.8 A, B4: 48.8 A}}\n")
	u, err := j.Normal("", "")
	if err != nil || u.LowID != "R1" || u.HighID != "R2" || u.MostOffset != "B1" || u.MostPath != "" {
		t.Errorf("%+v, %v", u, err)
	}
	if len(u.Expected) != 4 || math.IsNaN(u.Expected[0]) {
		t.Errorf("expected %v", u.Expected)
	}
	if _, err := mustLoad(t, text).Normal("", ""); err == nil {
		t.Error("judged without readings")
	}
}
