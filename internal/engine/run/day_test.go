package run

import (
	"fmt"
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// star joins batteries by links so short that their resistance does not count.
func star(batteries ...bank.Battery) *bank.Bank { return chain(1e-12, 0, batteries...) }

// wanted is one event as worked out by hand.
type wanted struct {
	time          float64
	battery, what string
}

func checkEvents(t *testing.T, r *report.Run, want []wanted, tol float64) {
	t.Helper()
	for n := range max(len(want), len(r.Events)) {
		switch {
		case n >= len(r.Events):
			t.Errorf("no event %v", want[n])
		case n >= len(want):
			t.Errorf("event too many: %+v", r.Events[n])
		default:
			e, w := r.Events[n], want[n]
			if e.Battery != w.battery || e.What != w.what || math.Abs(e.Time-w.time) > tol {
				t.Errorf("event %d: %.6f s %s %s, not %.6f s %s %s", n, e.Time, e.Battery, e.What, w.time, w.battery, w.what)
			}
		}
	}
}

// TestWholeDay is a day worked out by hand: flat sources of 13 V behind 4, 6 and
// 12 mΩ share any current 6 : 3 : 2 parts… 3/6, 2/6, 1/6 of it, whatever their
// state of charge. 100 Ah each, half full at first.
//
//	shore, 60 A for 5 h: 30, 20, 10 A. B1 is full after 50 Ah/30 A = 6000 s. The
//	rest take 40 and 20 A: B2 has 83 1/3 Ah by then and is full at 7500 s. B3 has
//	75 Ah by then, takes 60 A and is full at 9000 s. Nothing takes the charge
//	then until 18 000 s.
//	rest, 1 h.
//	heavy, 120 A for 200 s, from 21 600 s: all three close again to give 60, 40,
//	20 A. B1 is over its 50 A and opens after 10 s; B2, then at 80 A, is over its
//	70 A and opens 20 s later; B3 gives 120 A.
//	light, 40 A for 1 h, from 21 800 s: B3 gives all until B1 closes by itself
//	300 s after it opened, at 21 910 s; then B1 gives 30 A and B3 10 A until
//	25 400 s.
func TestWholeDay(t *testing.T) {
	b1, b2, b3 := exact("B1", flat(13), 4e-3, 100, 0.5), exact("B2", flat(13), 6e-3, 100, 0.5), exact("B3", flat(13), 12e-3, 100, 0.5)
	seconds := func(s float64) source.Value[quantity.Duration] { return source.Of(quantity.Duration(s)) }
	b1.Model.Guard.Trip, b1.Model.Guard.TripDelay, b1.Model.Guard.ReconnectAfter = source.Of(quantity.Current(50)), seconds(10), seconds(300)
	b2.Model.Guard.Trip, b2.Model.Guard.TripDelay = source.Of(quantity.Current(70)), seconds(20)
	day := []bank.Case{
		{ID: "shore", Current: -60, For: 5 * 3600}, {ID: "rest", For: 3600},
		{ID: "heavy", Current: 120, For: 200}, {ID: "light", Current: 40, For: 3600},
	}
	r := mustRun(t, star(b1, b2, b3), Options{Every: 50}, day...)
	checkEvents(t, r, []wanted{
		{6000, "B1", report.Full}, {7500, "B2", report.Full}, {9000, "B3", report.Full},
		{21600, "B1", report.Reconnect}, {21600, "B2", report.Reconnect}, {21600, "B3", report.Reconnect},
		{21610, "B1", report.TripCurrent}, {21630, "B2", report.TripCurrent},
		{21910, "B1", report.Reconnect},
	}, 1e-4)
	ah := 1 / 3600.0
	b1End := 100 - (60*10+30*3490)*ah
	b2End := 100 - (40*10+80*20)*ah
	b3End := 100 - (20*10+40*20+120*170+40*110+10*3490)*ah
	for i, want := range []float64{b1End, b2End, b3End} {
		near(t, fmt.Sprintf("B%d at the end, %%", i+1), 100*last(r.Batteries[i].Charge), want, 1e-5)
	}
	near(t, "taken, Ah", r.Taken/3600, 150, 1e-5)
	near(t, "given, Ah", r.Delivered/3600, 120*200*ah+40, 1e-9)
	near(t, "until the first was out, Ah", r.FirstOut/3600, 120*10*ah, 1e-6)
	if !math.IsNaN(r.BankOut) {
		t.Errorf("the bank was out after %g Ah", r.BankOut/3600)
	}
	if len(r.Steps) != 4 || r.Steps[3].End != 25400 || r.Ended != "its time was over" {
		t.Errorf("%+v, ended %q", r.Steps, r.Ended)
	}
	near(t, "B3 just before 9000 s, A", r.Batteries[2].Current[9000/50], -60, 1e-6)
	near(t, "B3 in the charge that nothing takes, A", r.Batteries[2].Current[12000/50], 0, 0)
	near(t, "charge lost by the sums, C", r.ChargeError, 0, 1e-6)
}

func last(v []float64) float64 { return v[len(v)-1] }

// TestCascade is case 10 of battery.md through time: the near battery trips,
// and at the same instant the rest follow, the most loaded first.
func TestCascade(t *testing.T) {
	make4 := func(last int, off int) *bank.Bank {
		var all []bank.Battery
		for i := range 4 {
			b := exact(fmt.Sprintf("B%d", i+1), flat(13.2), 5e-3, 100, 1)
			b.Model.Guard.Trip = source.Of(quantity.Current(100))
			b.Off = i == off
			all = append(all, b)
		}
		return chain(0.5e-3, last, all...)
	}
	near1 := func(r *report.Run, want ...float64) {
		t.Helper()
		for i, w := range want {
			near(t, fmt.Sprintf("B%d at first, A", i+1), r.Batteries[i].Current[0], w, 0.01)
		}
	}
	r := mustRun(t, make4(0, -1), Options{}, draw(300, 1))
	near1(r, 115.62, 78.75, 57.62, 48.02)
	checkEvents(t, r, []wanted{{0, "B1", report.TripCurrent}, {0, "B2", report.TripCurrent}, {0, "B3", report.TripCurrent}, {0, "B4", report.TripCurrent}}, 0)
	near(t, "given", r.BankOut, 0, 0)

	r = mustRun(t, make4(3, -1), Options{}, draw(300, 0.1))
	near1(r, 81.82, 68.18, 68.18, 81.82)
	checkEvents(t, r, nil, 0)

	r = mustRun(t, make4(3, 0), Options{}, draw(300, 0.1))
	near1(r, 0, 103.13, 93.75, 103.13)
	if len(r.Events) != 3 || !math.IsNaN(r.Batteries[0].EmptyAt) {
		t.Errorf("without B1 the rest must all trip: %+v", r.Events)
	}
	r = mustRun(t, make4(3, 1), Options{}, draw(300, 0.1))
	near1(r, 107.94, 0, 91.12, 100.93)
}

// TestExactlyAtTheTrip: at the limit it holds, a hair over it goes.
func TestExactlyAtTheTrip(t *testing.T) {
	for amps, trips := range map[float64]int{200: 0, 200.001: 2, 199.999: 0} {
		b1, b2 := exact("B1", flat(13), 5e-3, 100, 1), exact("B2", flat(13), 5e-3, 100, 1)
		b1.Model.Guard.Trip, b2.Model.Guard.Trip = source.Of(quantity.Current(100)), source.Of(quantity.Current(100))
		r := mustRun(t, star(b1, b2), Options{}, draw(amps, 0.1))
		if len(r.Events) != trips {
			t.Errorf("%g A: %+v", amps, r.Events)
		}
	}
}

// TestVolts: under-voltage counts as empty, over-voltage opens charge, each
// after its delay; the times are those of a straight curve under a steady current.
func TestVolts(t *testing.T) {
	b := exact("B1", sloped(12, 1), 10e-3, 100, 1)
	g := &b.Model.Guard
	g.Low, g.High, g.VoltageDelay = source.Of(quantity.Voltage(11.7)), source.Of(quantity.Voltage(13.5)), source.Of(quantity.Duration(30))
	// 50 A: volts are 12 + s − 0.5; 11.7 at 20 % charge, 80 Ah, 5760 s.
	r := mustRun(t, star(b), Options{}, bank.Case{ID: "load", Current: 50})
	checkEvents(t, r, []wanted{{5790, "B1", report.Empty}}, 1e-3)
	if e := r.Events[0]; e.Because != "voltage" || e.Opens != "discharge" {
		t.Errorf("%+v", e)
	}
	// 80 A from 10 %: volts are 12.1 + t·80/360000 + 0.8; 13.5 at t = 2700 s.
	b.Start.V = 0.1
	r = mustRun(t, star(b), Options{}, bank.Case{ID: "shore", Current: -80})
	checkEvents(t, r, []wanted{{2730, "B1", report.TripVoltage}}, 1e-3)
	if r.Ended != "no battery takes the charge any more" {
		t.Error(r.Ended)
	}
}

// TestCurrentThenVoltageThenTail: a charge of a straight curve has a closed
// form. 40 A until 12 + s + 0.4 reaches 13 (s = 0.6), then the current falls
// with τ = R·C/k to its tail.
func TestCurrentThenVoltageThenTail(t *testing.T) {
	b := exact("B1", sloped(12, 1), 10e-3, 100, 0.2)
	c := bank.Case{ID: "shore", Current: -40, Voltage: 13, Tail: 4}
	r := mustRun(t, star(b), Options{Every: 60}, c)
	tau := 10e-3 * 360000 / 1
	held := 0.4 * 360000 / 40
	near(t, "end", r.Steps[0].End, held+tau*math.Log(10), 0.01)
	near(t, "taken, Ah", r.Taken/3600, 40+40*tau*0.9/3600, 1e-4)
	if r.Steps[0].Ended != "the charge current had fallen to its tail" {
		t.Error(r.Steps[0].Ended)
	}
	for n, at := range r.Time {
		want := 40.0
		if at > held {
			want = 40 * math.Exp(-(at-held)/tau)
		}
		near(t, fmt.Sprintf("A at %g s", at), -r.Current[n], want, 2e-4)
	}
}

// TestWarmth: no charge below the limit; too hot opens both sides, and 5 K less
// closes them.
func TestWarmth(t *testing.T) {
	cold := exact("B1", flat(13), 5e-3, 100, 0.5)
	cold.Model.Temperature = source.Of(quantity.Temperature(268.15))
	cold.Model.Guard.ColdCharge = source.Of(quantity.Temperature(273.15))
	warm := exact("B2", flat(13), 5e-3, 100, 0.5)
	warm.Model.Guard.ColdCharge = cold.Model.Guard.ColdCharge
	r := mustRun(t, star(cold, warm), Options{}, bank.Case{ID: "shore", Current: -20, For: 3600})
	checkEvents(t, r, []wanted{{0, "B1", report.TripTemperature}}, 0)
	near(t, "B2, %", 100*last(r.Batteries[1].Charge), 70, 1e-6)
	r = mustRun(t, star(cold, warm), Options{}, draw(20, 1))
	checkEvents(t, r, nil, 0)

	// I²R = 500 W into 10 kJ/K without cooling: 298.15 + t/20 K; 333.15 K at 700 s.
	hot := exact("B1", flat(13), 5e-2, 100, 1)
	hot.Model.HeatCapacity = source.Of(10e3)
	hot.Model.Guard.Hot, hot.Model.Guard.TemperatureRelease = source.Of(quantity.Temperature(333.15)), source.Of(quantity.Temperature(5))
	r = mustRun(t, star(hot), Options{}, draw(100, 0.5))
	checkEvents(t, r, []wanted{{700, "B1", report.TripTemperature}}, 1e-3)
	if e := r.Events[0]; e.Opens != "both" {
		t.Errorf("%+v", e)
	}
	// With cooling of 10 W/K it settles 50 K over its surroundings by τ = 1000 s.
	hot.Model.Cooling = source.Of(10.0)
	r = mustRun(t, star(hot), Options{}, draw(100, 1300/3600.0), bank.Case{ID: "rest", For: 7200})
	at := -1000 * math.Log(1-35.0/50)
	checkEvents(t, r, []wanted{{at, "B1", report.TripTemperature}, {at + 1000*math.Log(35.0/30), "B1", report.Reconnect}}, 1e-2)
}

// TestNothingToGive: a power beyond the bank ends the case and says why.
func TestNothingToGive(t *testing.T) {
	b := exact("B1", flat(12), 10e-3, 100, 1)
	r := mustRun(t, star(b), Options{}, bank.Case{ID: "kettle", Power: 3601, ByPower: true})
	if r.Ended != "the bank cannot give that power any more" || r.BankOut != 0 {
		t.Errorf("%s, %g", r.Ended, r.BankOut)
	}
	// 12 V behind 10 mΩ gives at most 3600 W, at 600 A.
	r = mustRun(t, star(b), Options{}, bank.Case{ID: "kettle", Power: 3599.9999, ByPower: true, For: 1})
	near(t, "A", r.Current[0], 600, 0.2)
}

// TestChargerThatIsDone: in a sequence a charge whose tail is reached leaves the
// rest of its time at rest; the next case begins on its hour.
func TestChargerThatIsDone(t *testing.T) {
	b := exact("B1", sloped(12, 1), 10e-3, 100, 0.2)
	cases := []bank.Case{{ID: "shore", Current: -40, Voltage: 13, Tail: 4, For: 10 * 3600}, draw(10, 1)}
	r := mustRun(t, star(b), Options{Every: 600}, cases...)
	held, tau := 0.4*360000/40, 10e-3*360000.0
	near(t, "taken, Ah", r.Taken/3600, 40+40*tau*0.9/3600, 1e-3)
	near(t, "at rest, A", r.Current[int((held+tau*3)/600)+1], 0, 0)
	if len(r.Steps) != 2 || r.Steps[0].End != 36000 || r.Steps[0].Ended != tailReached || r.Steps[1].End != 39600 {
		t.Errorf("%+v", r.Steps)
	}
	near(t, "given, Ah", r.Delivered/3600, 10, 1e-9)
}

// TestDrops: a battery taken out by hand is gone from that instant.
func TestDrops(t *testing.T) {
	b := star(exact("B1", flat(13), 5e-3, 100, 1), exact("B2", flat(13), 5e-3, 100, 1))
	r := mustRun(t, b, Options{Every: 100, Drops: []Drop{{0, 1000}}}, bank.Case{ID: "load", Current: 40})
	near(t, "before, A", r.Batteries[0].Current[10], 20, 1e-6) // what stood just before
	near(t, "after, A", r.Batteries[0].Current[11], 0, 0)
	near(t, "the other, A", r.Batteries[1].Current[11], 40, 1e-6)
	// B2 has 100 Ah less 20 A for 1000 s, and goes at 40 A.
	near(t, "out, s", r.Events[0].Time, 1000+(360000-20000)/40.0, 1e-3)
	if _, err := Solve(b, []bank.Case{draw(1, 1)}, Options{Drops: []Drop{{2, 0}}}); err == nil {
		t.Error("took out a battery that is not there")
	}
	if _, err := Solve(b, nil, Options{}); err == nil {
		t.Error("ran without a case")
	}
	stop := 0
	if r, err := Solve(b, []bank.Case{draw(1, 99)}, Options{MaxStep: 0.1, Stop: func() bool { stop++; return stop > 1 }}); err != ErrStopped || len(r.Time) < 2 {
		t.Errorf("%v, %d samples", err, len(r.Time))
	}
}

// TestWithoutElectronics: a lead-acid battery that is full goes on taking
// current, which turns into gas and is told; nothing opens, and it gives again
// without delay.
func TestWithoutElectronics(t *testing.T) {
	b := exact("B1", sloped(12, 1), 10e-3, 100, 0.9)
	b.Model.Guard = bank.Guard{}
	r := mustRun(t, star(b), Options{Every: 600}, bank.Case{ID: "shore", Current: -20, For: 3600}, draw(20, 0.5))
	checkEvents(t, r, []wanted{{1800, "B1", report.Full}}, 10) // found at the end of its step
	near(t, "gas, Ah", r.Batteries[0].Lost/3600, 10, 0.1)
	near(t, "at the end, %", 100*last(r.Batteries[0].Charge), 90, 0.01)
	if r.Events[0].Opens != "" {
		t.Errorf("%+v", r.Events[0])
	}
}
