package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
)

// daysJob is two batteries of 100 Ah at 12.8 V side by side with a bar, an
// inverter and two loads behind real cables, and a source of each kind.
const daysJob = `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}
batteries: [{id: B1, type: block}, {id: B2, type: block}]
parts:
  - {id: P1, kind: bar, studs: 8, resistance: 0.05 mΩ}
  - {id: N1, kind: bar, studs: 8, resistance: 0.05 mΩ}
  - {id: I1, kind: inverter, power: 2 kW, efficiency: 90 %, idle: 20 W, cutout: 10.5 V}
  - {id: L1, kind: load, power: 60 W}
  - {id: L2, kind: load, current: 10 A, cutout: 11 V}
  - {id: C1, kind: charger, current: 50 A, voltage: 14.2 V, efficiency: 90 %}
  - {id: C2, kind: solar, current: 60 A, voltage: 14.2 V}
  - {id: A1, kind: alternator, current: 100 A, voltage: 14.2 V}
cables:
  - {id: W1, from: B1+, to: P1.1, size: 50 mm2, length: 1 m}
  - {id: W2, from: B2+, to: P1.1, size: 50 mm2, length: 1 m}
  - {id: W3, from: B1-, to: N1.1, size: 50 mm2, length: 1 m}
  - {id: W4, from: B2-, to: N1.1, size: 50 mm2, length: 1 m}
  - {id: W5, from: P1.2, to: I1.a, size: 50 mm2, length: 2 m}
  - {id: W6, from: I1.b, to: N1.2, size: 50 mm2, length: 2 m}
  - {id: W7, from: P1.3, to: L1.a, size: 2.5 mm2, length: 4 m}
  - {id: W8, from: L1.b, to: N1.3, size: 2.5 mm2, length: 4 m}
  - {id: W9, from: P1.4, to: L2.a, size: 4 mm2, length: 3 m}
  - {id: W10, from: L2.b, to: N1.4, size: 4 mm2, length: 3 m}
  - {id: W11, from: P1.5, to: C1.a, size: 16 mm2, length: 2 m}
  - {id: W12, from: C1.b, to: N1.5, size: 16 mm2, length: 2 m}
  - {id: W13, from: P1.6, to: C2.a, size: 16 mm2, length: 2 m}
  - {id: W14, from: C2.b, to: N1.6, size: 16 mm2, length: 2 m}
  - {id: W15, from: P1.7, to: A1.a, size: 25 mm2, length: 3 m}
  - {id: W16, from: A1.b, to: N1.7, size: 25 mm2, length: 3 m}
takeoff: {positive: P1.1, negative: N1.1}
cases: [{id: rest, draw: 0 A}]
`

// equatorial is a place with 4.5 kWh/m² on every day of the year and air of
// 25 °C at all hours.
var equatorial = "place: {latitude: 0 °, coldest: 15 °C, hottest: 40 °C, months: [" + strings.TrimSuffix(strings.Repeat("{high: 25.001 °C, low: 25 °C, sun: 4.5 kWh/m2}, ", 12), ", ") + "]}\n"

func daysOf(t *testing.T, text string) (*Job, *report.Days) {
	t.Helper()
	j, err := Load("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	d, err := j.Days(DaysOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if d.Missing != "" {
		t.Fatal(d.Missing)
	}
	return j, d
}

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// Without the new keys the answer is one sentence, and the check is without it.
func TestDaysMissing(t *testing.T) {
	j, err := Load("job.yaml", []byte(daysJob))
	if err != nil {
		t.Fatal(err)
	}
	d, err := j.Days(DaysOptions{})
	if err != nil || d.Missing != NoLoads {
		t.Fatalf("%+v, %v", d, err)
	}
	r, err := j.Check()
	if err != nil || r.Days != nil {
		t.Fatalf("%v, %v", r.Days, err)
	}
	if _, err := j.DayCases(d, 0); err == nil {
		t.Error("cases of no loads")
	}
}

// Worked numbers of the project's reference, E: a fridge of 60 W at 35 % is
// 504 Wh a day; an inverter that idles at 20 W is 480 Wh; panels of 600 W in
// 4.5 kWh/m² with 0.8592, 0.97 and 0.98 bring 2001 Wh with cells at 50 °C and
// 0.37 % a kelvin, which is 2205.2 Wh without the warmth.
func TestDaysWorkedNumbers(t *testing.T) {
	_, d := daysOf(t, daysJob+equatorial+"loads: [{id: fridge, part: L1, duty: 35 %}, {id: shaver, power: 5 W, through: I1, hours: 0 h}]\nsun: [{id: roof, part: C2, peak: 600 W, loss: 18.32445 %, coefficient: 0 %}]\n")
	for m := range d.Months {
		k := &d.Months[m].Typical
		within(t, "fridge", k.ByLoad[0]/3600, 504, 1e-9)
		within(t, "idle", k.Idle/3600, 480, 1e-9)
		within(t, "loads", k.Loads/3600, 504, 1e-9)
		if k.Inverters != 0 {
			t.Errorf("%g J lost in an inverter that gives nothing", k.Inverters)
		}
		// The wires of the controller lose, I²·R of some 5 mΩ at up to 40 A, under
		// one percent of it.
		within(t, "panels", k.Offered[0]/3600, 2205.2*0.995, 2205.2*0.005)
		within(t, "capacity", d.Months[m].Factor, 1, 1e-3)
		// A bad day has a fifth of it, and loses a fifth squared of a fifth.
		within(t, "panels on a bad day", d.Months[m].Bad.Offered[0]/3600, 2205.2/5, 1)
	}
	within(t, "capacity", d.Capacity/3600, 200, 1e-9)
}

// E of the reference: 2500 Wh a day of a.c. at 0.9 for two days out of 80 % of a
// bank at 12.8 V ask 543 Ah: so a bank of 542.5 Ah (2500·2/(0.9·12.8·0.8)) lasts
// two days to the hour.
func TestDaysBankOfReference(t *testing.T) {
	text := strings.Replace(daysJob, "capacity: 100 Ah", "capacity: 271.267361 Ah", 1)
	text = strings.Replace(text, "idle: 20 W", "idle: 0.001 W", 1)
	for n := 1; n <= 16; n++ { // cables without loss
		i := strings.Index(text, fmt.Sprintf("{id: W%d,", n))
		line, _, _ := strings.Cut(text[i:], "\n")
		cut, _, _ := strings.Cut(line, ", size")
		text = strings.Replace(text, line, cut+", resistance: 0.001 µΩ}", 1)
	}
	text = strings.ReplaceAll(text, "resistance: 0.05 mΩ", "resistance: 0.001 µΩ")
	_, d := daysOf(t, text+"loads: [{id: house, power: 104.1666667 W, through: I1}]\ndays: {floor: 20 %, start: 100 %}\n")
	within(t, "a day", d.Months[0].Typical.Asked()/3600, 2500/0.9, 0.01)
	within(t, "lasts, h", d.Months[0].Alone/3600, 48, 1e-3)
	within(t, "bad days", d.Months[5].Bad.Reaches, d.Months[5].Alone, 1e-6)
}

// Charge in closed form: T17 of the reference has 400 Ah at 100 A and a tail of
// 0.25 h. From 20 % the bulk goes until 25 Ah are missing, 2.95 h; the tail from
// there until half a percent, 2 Ah, is missing takes 0.25·ln 12.5 h. All is put
// in over what is kept of it.
func TestDaysFull(t *testing.T) {
	text := strings.Replace(daysJob, "capacity: 100 Ah", "capacity: 200 Ah", 1)
	text = strings.Replace(text, "id: C1, kind: charger, current: 50 A", "id: C1, kind: charger, current: 100 A", 1)
	for _, kept := range []float64{1, 0.9} {
		_, d := daysOf(t, text+fmt.Sprintf("loads: [{id: a, power: 1 W}]\nmains: {}\ndays: {floor: 20 %%, kept: %g %%, tail: 15 min}\n", 100*kept))
		f := d.Full[0]
		if f.Source != "C1" || !(f.Amps < 100 && f.Amps > 94) {
			t.Fatalf("%+v", f)
		}
		bulk := (320 - float64(f.Amps*0.25)) / kept / f.Amps
		tail := 0.25 / kept * math.Log(float64(f.Amps*0.25)/2)
		within(t, "whole", f.Whole/3600, bulk+tail, 1e-9)
		within(t, "tail", f.Tail/3600, tail, 1e-9)
	}
}

// The cable loss of loads that run independently of one another is the mean over
// every way in which they can be on, each solved as a network of its own.
func TestDayWiresAgainstEveryState(t *testing.T) {
	j, d := daysOf(t, daysJob+"loads: [{id: a, part: L1}, {id: b, part: L2}, {id: c, power: 400 W, through: I1}]\n")
	table := &dayTable{j: j, ask: &j.Bank.Days, out: d}
	table.wiring()
	b := table.level()
	random := rand.New(rand.NewPCG(12, 8))
	ids := []string{"L1", "L2", "I1"}
	for range 30 {
		var flows []dayFlow
		for _, id := range ids {
			flows = append(flows, dayFlow{id, random.Float64(), 60 * random.Float64()})
		}
		want := 0.0
		for state := range 8 {
			chance := 1.0
			var draws []sharing.Draw
			for n, f := range flows {
				if state>>n&1 == 0 {
					chance *= 1 - f.part
					continue
				}
				chance *= f.part
				p := table.part(f.id)
				draws = append(draws, sharing.Draw{Positive: end(p, 0), Negative: end(p, 1), Current: f.amps})
			}
			s, _, err := sharing.SolveDraws(b, assemble.Rest(j.cat).CableTemperature.V, draws)
			if err != nil {
				t.Fatal(err)
			}
			want += float64(chance * s.WiringLoss)
		}
		within(t, "loss", table.wires.loss(flows), want, 1e-9*(1+want))
	}
}

// What is asked is served or missed, what is offered is given or not, and the
// bank's charge holds what went in and out: random jobs, every month and kind.
func TestDaysConserve(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 43))
	for range 12 {
		kept := 80 + random.IntN(21)
		text := daysJob + equatorial + fmt.Sprintf(`loads:
  - {id: a, part: L1, duty: %d %%}
  - {id: b, part: L2, from: %02d:00, to: %02d:30, bad_duty: %d %%}
  - {id: c, power: %d W, through: I1, at: [07:00, 12:30], for: %d min, months: [jan, feb, jun]}
sun: [{id: roof, part: C2, peak: %d W}]
mains: {from: 20:00, to: 07:15, days: %d}
drive: {part: A1, hours: %d min, days: 2}
days: {floor: 20 %%, start: %d %%, kept: %d %%}
`, random.IntN(101), random.IntN(24), random.IntN(24), random.IntN(101), 200+random.IntN(1500), 1+random.IntN(90), random.IntN(900)+1, 1+random.IntN(7), random.IntN(240)+1, 20+random.IntN(81), kept)
		_, d := daysOf(t, text)
		for m := range d.Months {
			for name, k := range map[string]*report.DayKind{"typical": &d.Months[m].Typical, "bad": &d.Months[m].Bad} {
				conserves(t, fmt.Sprintf("%s %s", report.MonthWords[m], name), d, &d.Months[m], k)
			}
			if d.Months[m].Alone > d.Months[m].NoSun || d.Months[m].NoSun > d.Months[m].Bad.Reaches {
				t.Errorf("%s: nothing %g, no sun %g, bad days %g", report.MonthWords[m], d.Months[m].Alone, d.Months[m].NoSun, d.Months[m].Bad.Reaches)
			}
		}
	}
}

func conserves(t *testing.T, what string, d *report.Days, m *report.DayMonth, k *report.DayKind) {
	t.Helper()
	hours := 0.0
	for _, w := range k.Hours {
		hours += w * 3600
	}
	within(t, what+": hours", hours, k.Asked(), 1e-6*(1+hours))
	byLoad, given := 0.0, 0.0
	for _, v := range k.ByLoad {
		byLoad += v
	}
	within(t, what+": by load", byLoad, k.Loads, 1e-6*(1+byLoad))
	for n := range k.Given {
		given += 7 * k.Given[n]
		if k.Given[n] > k.Offered[n]*(1+1e-9) || k.Given[n] < 0 {
			t.Errorf("%s: %s gave %g of %g", what, d.Sources[n].ID, k.Given[n], k.Offered[n])
		}
	}
	served := 7*k.Asked() - k.Missed
	change := (k.Charge[168] - k.Charge[0]) * m.Capacity * d.Nominal
	// Of what the sources gave, what went into the bank lost 1 − kept on the way:
	// between none of it and all.
	lost := given - served - change
	if lost < -1e-3 || lost > (1-d.Kept)*given+1e-3 {
		t.Errorf("%s: %g J lost of %g", what, lost, given)
	}
	least := math.Inf(1)
	for _, c := range k.Charge {
		least = math.Min(least, c)
	}
	if least != k.Least || k.Least < d.Floor-1e-9 || len(k.Charge) != 169 {
		t.Errorf("%s: least %g over %d hours, floor %g", what, k.Least, len(k.Charge), d.Floor)
	}
	if (k.Missed > 1e-6) != (k.Reaches <= 7*86400) {
		t.Errorf("%s: %g J missed, floor after %g s", what, k.Missed, k.Reaches)
	}
}

// An inverter's hour against every state of its two loads.
func TestInverterHour(t *testing.T) {
	j, d := daysOf(t, daysJob+"loads: [{id: a, power: 300 W, through: I1}]\n")
	table := &dayTable{j: j, ask: &j.Bank.Days, out: d}
	p := table.part("I1")
	for _, f := range [][2]float64{{0, 0}, {1, 0}, {0.5, 0.5}, {0.2, 0.9}, {1, 1}} {
		one := table.inverter(p, f[:], []float64{100, 300})
		within(t, "gives", one.gives, 100*f[0]+300*f[1], 1e-12)
		within(t, "busy", one.busy, 1-(1-f[0])*(1-f[1]), 1e-12)
		within(t, "idles", one.idles, 20*(1-f[0])*(1-f[1]), 1e-12)
		// Never less than what it takes without load, while something runs.
		within(t, "loses", one.loses, math.Max(20*one.busy, one.gives/0.9-one.gives), 1e-9)
	}
	j.Bank.Days.InvertersOff = true
	if one := table.inverter(p, []float64{0}, []float64{100}); one.idles != 0 {
		t.Errorf("switched off it takes %g W", one.idles)
	}
}

// The losses of an inverter with a curve: at the points those of the points,
// straight between them, at no load what it takes then.
func TestInverterLoss(t *testing.T) {
	d := &bank.Device{Power: 2000, EfficiencyCurve: []bank.EfficiencyPoint{{Load: 0, Efficiency: 0}, {Load: 0.1, Efficiency: 0.8}, {Load: 0.5, Efficiency: 0.9}}}
	for _, c := range [][2]float64{{0, 12}, {100, 31}, {200, 50}, {600, (50 + 1000/9.0) / 2}, {1000, 1000 / 9.0}, {2000, 2000 / 9.0}} {
		within(t, fmt.Sprintf("at %g W", c[0]), inverterLoss(d, 12, c[0]), c[1], 1e-9)
	}
}

// Row 3 of what practitioners ask, 12 V or 24 V: twice the voltage is half the current, a quarter of the loss over the same
// cables, half the volts lost, and a smaller cable.
func TestDaySides(t *testing.T) {
	j, d := daysOf(t, daysJob+"loads: [{id: a, power: 2 kW, through: I1, hours: 1 h}, {id: b, part: L1}]\n")
	if len(d.Sides) != 2 || d.Sides[0].ID != "I1" || d.Voltages[0] != 12.8 || d.Voltages[1] != 25.6 {
		t.Fatalf("%+v at %v", d.Sides, d.Voltages)
	}
	row := d.Sides[0]
	a, b := row.Each[0], row.Each[1]
	// 2 kW over 90 % at the cut-out of 10.5 V: 211.64 A.
	within(t, "current", a.Amps, 2000/0.9/10.5, 1e-9)
	within(t, "half", b.Amps, a.Amps/2, 1e-9)
	within(t, "a quarter", b.Loss, a.Loss/4, 1e-9)
	within(t, "drop", b.Drop, a.Drop/2, 1e-9)
	within(t, "cut-out", b.Cutout, 21, 1e-12)
	// The way: 2 m of its own and two times half of 1 m, as two batteries share.
	within(t, "one way", row.Way, 3, 1e-9)
	if a.Cable == "" || b.Cable == "" || a.Cable == b.Cable || a.Fuse != 300 || b.Fuse != 150 {
		t.Errorf("cables %q and %q, fuses %g and %g", a.Cable, b.Cable, a.Fuse, b.Fuse)
	}
	ask, err := Size(SizeAsk{Current: a.Amps, Length: row.Way, Voltage: 12.8, Book: j.Bank.Practice.Book.V, Ambient: float64(j.Bank.Practice.Ambient.V)})
	if err != nil || ask.Smallest.Size.String() != a.Cable {
		t.Errorf("size says %v, %v; the answer %q", ask.Smallest, err, a.Cable)
	}
	if d, err = j.Days(DaysOptions{Volts: []float64{12.8, 51.2}}); err != nil || len(d.Sides[0].Each) != 2 {
		t.Fatalf("%v", err)
	}
	within(t, "four times", d.Sides[0].Each[1].Amps, a.Amps/4, 1e-9)
}

// A year without any source is dry on every day; one with much sun on none.
func TestDaysYear(t *testing.T) {
	_, d := daysOf(t, daysJob+"loads: [{id: a, part: L1}]\n")
	if report.DryDays(d) != 365 || len(d.Dry) != 1 {
		t.Errorf("%v", d.Dry)
	}
	_, d = daysOf(t, daysJob+equatorial+"loads: [{id: a, part: L1}]\nsun: [{id: roof, part: C2, peak: 700 W}]\n")
	if report.DryDays(d) != 0 {
		t.Errorf("%v", d.Dry)
	}
	// A load in February and March alone: dry within them, and on no other day
	// once the bank is empty.
	_, d = daysOf(t, daysJob+equatorial+"loads: [{id: a, power: 400 W, months: [feb, mar]}]\nsun: [{id: roof, part: C2, peak: 100 W}]\n")
	if len(d.Dry) != 1 || d.Dry[0].First < 32 || d.Dry[0].First > 35 || d.Dry[0].Last != 90 {
		t.Errorf("%v: %s", d.Dry, report.DryWords(d))
	}
}

// The cases printed go into the job, and the sequence draws a day's energy.
func TestDayCases(t *testing.T) {
	text := strings.Replace(daysJob, "cases: [{id: rest, draw: 0 A}]\n", "", 1) + "loads: [{id: a, part: L1}, {id: b, part: L2, from: 18:00, to: 22:00}]\nmains: {from: 23:00, to: 03:00}\n"
	j, d := daysOf(t, text)
	more, err := j.DayCases(d, 3)
	if err != nil {
		t.Fatal(err)
	}
	k, err := Load("job.yaml", []byte(text+more))
	if err != nil {
		t.Fatalf("%v\n%s", err, more)
	}
	steps, err := k.Steps("apr-typical")
	if err != nil {
		t.Fatal(err)
	}
	sum, hours := 0.0, 0.0
	for _, s := range steps {
		sum += float64(s.Power) * float64(s.For)
		hours += float64(s.For) / 3600
	}
	kind := &d.Months[3].Typical
	if hours != 7*24 {
		t.Errorf("%g h", hours)
	}
	// Powers are whole watts: half a watt an hour at most.
	within(t, "net of a week", sum/3600, 7*(kind.Asked()-kind.Offered[0])/3600, 7*24*0.5)
	if _, err := k.Run("apr-bad", RunOptions{}); err != nil {
		t.Error(err)
	}
}

// Every number has its working, and a wrong name lists those there are.
func TestDayWorkings(t *testing.T) {
	j, d := daysOf(t, daysJob+equatorial+"loads: [{id: fridge, part: L1, duty: 35 %}]\nsun: [{id: roof, part: C2, peak: 600 W}]\nmains: {days: 2}\n")
	all := j.dayWorkings(d)
	seen := map[string]bool{}
	for _, w := range all {
		if w.Result == "" || w.Formula == "" || w.What == "" || seen[w.ID] {
			t.Errorf("%+v", w)
		}
		seen[w.ID] = true
	}
	for _, id := range []string{"days.capacity", "days.jan.asked", "days.dec.bad_given", "days.jul.lasts", "days.fridge.jan", "days.roof.jun", "days.C1.full", "days.jan.factor"} {
		w, err := j.ExplainDays(id)
		if err != nil || w.ID != id {
			t.Errorf("%s: %v", id, err)
		}
		for _, in := range w.Inputs {
			if in.ID != "" && !seen[in.ID] {
				t.Errorf("%s points to %s, which is not there", id, in.ID)
			}
		}
	}
	if _, err := j.ExplainDays("days.jan.moon"); err == nil || !strings.Contains(err.Error(), "days.jan.asked") {
		t.Errorf("%v", err)
	}
}

// Cold takes from the capacity, and panels flat on a roof bring the month's sun.
func TestDaysByMonth(t *testing.T) {
	_, d := daysOf(t, strings.Replace(daysJob, ", resistance: 5 mΩ, emf: 13.2 V", "", 1)+"place: {climate: golden}\nloads: [{id: a, part: L1}]\nsun: [{id: roof, part: C2, peak: 100 W, loss: 0 %, coefficient: 0 %}]\n")
	// Golden, monthly means of the reference: 1.1 °C in January, 20.8 °C in July;
	// lithium iron phosphate has 0.80 at 0 °C and 1 at 25 °C.
	within(t, "January", d.Months[0].Factor, 0.80+0.2*1.1/25, 1e-3)
	within(t, "July", d.Months[6].Factor, 0.80+0.2*20.8/25, 1e-3)
	for m, wh := range []float64{2317, 3049, 4701, 5685, 6114, 6262, 6175, 5892, 4929, 3482, 2881, 1701} {
		within(t, string(bank.MonthNames[m]), d.Months[m].Typical.Offered[0]/3600, wh/10, 0.004*wh/10)
	}
}
