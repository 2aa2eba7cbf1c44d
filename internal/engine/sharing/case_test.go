package sharing

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// alone is one battery taken off at its own posts.
func alone(emf, ohm float64) *bank.Bank {
	return &bank.Bank{Batteries: []bank.Battery{battery("B1", emf, ohm, 100)}, Takeoff: takeoff("B1+", "B1-")}
}

// TestConstantPower: P = V·I and V = E − R·I give R·I² − E·I + P = 0. Of its two
// roots the lower is the one that a load settles at.
func TestConstantPower(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	for range 500 {
		emf, ohm := 10+40*rng.Float64(), math.Pow(10, -4+3*rng.Float64())
		p := rng.Float64() * emf * emf / (4 * ohm)
		s := mustSolve(t, alone(emf, ohm), watts(p))
		root := math.Sqrt(emf*emf - 4*ohm*p)
		low, high := (emf-root)/(2*ohm), (emf+root)/(2*ohm)
		// The difference emf − root loses digits where the power is small.
		near(t, "current", s.Current, low, 1e-9*emf/ohm)
		near(t, "power", s.Voltage*s.Current, p, 1e-9*p)
		near(t, "product of the roots", s.Current*high, p/ohm, 1e-9*p/ohm)
		if !(s.Current <= emf/(2*ohm)) {
			t.Errorf("E %g V, R %g Ω, P %g W: current %g A is the upper root", emf, ohm, p, s.Current)
		}
	}
}

// TestSmallPower: a milliwatt on a strong bank, where the plain formula would
// lose all digits. By hand I = P/E·(1 + R·P/E²) to 1e-16.
func TestSmallPower(t *testing.T) {
	const emf, ohm, p = 12.8, 1e-4, 1e-3
	s := mustSolve(t, alone(emf, ohm), watts(p))
	want := p / emf * (1 + ohm*p/(emf*emf))
	near(t, "current", s.Current, want, 1e-15*want)
}

// TestMostPower: E²/4R is the most, at half the voltage. One part in a million
// more is refused and the error holds the most; one less is delivered.
func TestMostPower(t *testing.T) {
	for _, b := range []*bank.Bank{alone(12.8, 0.02), ladder(4, 13.2, 0.005, 0.0005), ladder(2, 51.2, 0.03, 0.001)} {
		rest := mustSolve(t, b, amps(0))
		most := rest.Voltage * rest.Voltage / (4 * rest.Resistance)
		_, err := Solve(b, watts(most*(1+1e-6)))
		var over *PowerError
		if !errors.As(err, &over) {
			t.Fatalf("more than the most gives %v", err)
		}
		near(t, "most in the error", float64(over.Most), most, 1e-9*most)
		if over.Case != "test" || over.Asked != quantity.Power(most*(1+1e-6)) {
			t.Errorf("error holds %+v", over)
		}
		for _, part := range []string{"case test", quantity.Format(over.Asked, 4), quantity.Format(over.Most, 4), "ask for less"} {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("%q does not say %q", err, part)
			}
		}
		s := mustSolve(t, b, watts(most*(1-1e-6)))
		near(t, "voltage near the most", s.Voltage, rest.Voltage/2, 1e-3*rest.Voltage/2+1e-9)
	}
}

// TestRest: no load and unequal EMFs. Two batteries: I = (E1 − E2)/(R1 + R2 +
// links). No group carries current, so no share has a meaning.
func TestRest(t *testing.T) {
	b := ladder(2, 13.1, 0.010, 0.001)
	b.Batteries[0].EMF.V = 13.4
	s := mustSolve(t, b, amps(0))
	near(t, "current of the higher", s.Batteries[0].Current, 0.3/0.022, 1e-10)
	near(t, "current of the lower", s.Batteries[1].Current, -0.3/0.022, 1e-10)
	for _, one := range s.Batteries {
		if !math.IsNaN(one.Share) || one.Group != 0 {
			t.Errorf("%s at rest: %+v", one.ID, one)
		}
	}
	if !math.IsNaN(s.Imbalance) {
		t.Errorf("imbalance at rest is %g", s.Imbalance)
	}
	still := mustSolve(t, ladder(3, 13.1, 0.010, 0.001), amps(0))
	if !math.IsNaN(still.Imbalance) || !(largest(currents(still)) < 1e-9) {
		t.Errorf("equal batteries at rest: %+v", still)
	}
	small := mustSolve(t, ladder(3, 13.1, 0.010, 0.001), amps(0.001))
	if !(small.Imbalance > 0.1) {
		t.Errorf("a milliampere has imbalance %g", small.Imbalance)
	}
}

// TestSharesByCapacity: batteries of unlike capacity with resistances the other
// way round share evenly; by hand.
func TestSharesByCapacity(t *testing.T) {
	b := &bank.Bank{
		Batteries: []bank.Battery{battery("B1", 12.8, 0.010, 100), battery("B2", 12.8, 0.005, 200)},
		Parts:     []bank.Part{part("S", bank.Stud, 0, 0), part("T", bank.Stud, 0, 0)},
		Cables: []bank.Cable{wire("W1", "B1+", "S", 0.002), wire("W2", "B2+", "S", 0.001),
			wire("W3", "B1-", "T", 0.002), wire("W4", "B2-", "T", 0.001)},
		Takeoff: takeoff("S", "T"),
	}
	s := mustSolve(t, b, amps(90))
	nearAll(t, "current", currents(s), []float64{30, 60}, 1e-12)
	near(t, "imbalance", s.Imbalance, 0, 1e-12)
	b.Batteries[1].Capacity.V /= 2 // now both 100 Ah: shares 2/3 and 4/3
	s = mustSolve(t, b, amps(-90))
	near(t, "share of B1", s.Batteries[0].Share, 2.0/3, 1e-12)
	near(t, "share of B2", s.Batteries[1].Share, 4.0/3, 1e-12)
	near(t, "imbalance", s.Imbalance, 1.0/3, 1e-12)
}

// twoByTwo is two strings of two, 20 mΩ each but for the lower battery of the
// first with 40 mΩ, rail links of 1.5 mΩ, taken off at opposite ends; the
// series links are as good as nothing.
func twoByTwo(tie bool) *bank.Bank {
	b := &bank.Bank{Takeoff: takeoff("B2+", "B3-")}
	for i, ohm := range []float64{0.040, 0.020, 0.020, 0.020} {
		b.Batteries = append(b.Batteries, battery([]string{"B1", "B2", "B3", "B4"}[i], 12.8, ohm, 100))
	}
	b.Cables = []bank.Cable{wire("L1", "B1+", "B2-", 1e-9), wire("L2", "B3+", "B4-", 1e-9),
		wire("P", "B2+", "B4+", 0.0015), wire("N", "B1-", "B3-", 0.0015)}
	if tie {
		b.Cables = append(b.Cables, wire("T", "B1+", "B3+", 0.0015))
	}
	return b
}

// TestTwoByTwo: computed twice with other tools, not published; currents to
// 0.001 A, half of the last digit given and the 1 nΩ links.
func TestTwoByTwo(t *testing.T) {
	for _, row := range []struct {
		name   string
		tie    bool
		want   []float64
		share  []float64 // of its group, by hand from the currents
		tieVal float64   // mV
	}{
		{"without tie", false, []float64{40.291, 40.291, 59.709, 59.709}, []float64{0.80582, 0.80582, 1.19418, 1.19418}, 0},
		{"with tie", true, []float64{32.964, 51.150, 67.036, 48.850}, []float64{0.65928, 1.02300, 1.34072, 0.97700}, 27.28},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := twoByTwo(row.tie)
			s := mustSolve(t, b, amps(100))
			checkLaws(t, b, s)
			for i, one := range s.Batteries {
				near(t, one.ID, one.Current, row.want[i], 0.001)
				near(t, one.ID+" share", one.Share, row.share[i], 2e-5)
				if want := []int{0, 1, 0, 1}[i]; one.Group != want {
					t.Errorf("%s is in group %d, want %d", one.ID, one.Group, want)
				}
			}
			if row.tie {
				near(t, "tie, mV", math.Abs(s.Cables[4].Drop)*1e3, row.tieVal, 0.005)
			}
		})
	}
}

// TestOffInSeries: it opens its string, and its own posts show what the rest
// leaves there.
func TestOffInSeries(t *testing.T) {
	b := twoByTwo(false)
	b.Batteries[0].Off = true
	s := mustSolve(t, b, amps(100))
	checkLaws(t, b, s)
	nearAll(t, "current", currents(s), []float64{0, 0, 100, 100}, 1e-9)
	// By hand: string 2 alone gives the take-off 25.6 V − 100 A · (40 + 1.5) mΩ,
	// the second for P; the open battery sees that less the 12.8 V of B2.
	near(t, "take-off voltage", s.Voltage, 21.45, 1e-6)
	near(t, "voltage across it", s.Batteries[0].Voltage, 8.65, 1e-6)
}

func TestOpenSwitch(t *testing.T) {
	b := ladder(3, 12.8, 0.005, 0.0005)
	b.Parts = []bank.Part{part("Q", bank.Switch, 0, 0.0001)}
	b.Cables[0] = wire("P1", "B1+", "Q.a", 0.0003)
	b.Cables = append(b.Cables, wire("P1b", "Q.b", "B2+", 0.0002))
	closed := mustSolve(t, b, amps(60))
	if len(closed.Parts) != 1 || !(closed.Parts[0].Current < -10) {
		t.Errorf("the closed switch carries %+v", closed.Parts)
	}
	b.Parts[0].Open = true
	open := mustSolve(t, b, amps(60))
	checkLaws(t, b, open)
	nearAll(t, "current", currents(open), []float64{60, 0, 0}, 1e-9)
	if len(open.Parts) != 0 {
		t.Errorf("the open switch carries %+v", open.Parts)
	}
	for i, want := range []int{0, 0, 0} {
		if got := open.Batteries[i].Group; got != want {
			t.Errorf("%s is in group %d", open.Batteries[i].ID, got)
		}
	}
}

// TestErrors: what cannot be solved is told with the job's names.
func TestErrors(t *testing.T) {
	allOff := ladder(2, 12.8, 0.005, 0.0005)
	allOff.Batteries[0].Off, allOff.Batteries[1].Off = true, true
	open := alone(12.8, 0.005)
	open.Parts = []bank.Part{part("Q", bank.Switch, 0, 0.0001)}
	open.Parts[0].Open = true
	open.Cables = []bank.Cable{wire("W1", "B1+", "Q.a", 0.001)}
	open.Takeoff = takeoff("Q.b", "B1-")
	noLength := ladder(2, 12.8, 0.005, 0.0005)
	noLength.Cables[1].Whole = source.Value[quantity.Resistance]{}
	routeless := clone(noLength)
	routeless.Cables[1].RouteFailure = "a wall is in the way"
	badBattery := ladder(2, 12.8, 0.005, 0.0005)
	badBattery.Batteries[1].Resistance.V = 0
	badCable := ladder(2, 12.8, 0.005, 0.0005)
	badCable.Cables[0].Whole.V = quantity.Resistance(math.NaN())
	badPart := ladder(2, 12.8, 0.005, 0.0005)
	badPart.Parts = []bank.Part{part("F", bank.Fuse, 0, -1)}
	for _, row := range []struct {
		name string
		b    *bank.Bank
		c    bank.Case
		says []string
	}{
		{"all off", allOff, amps(10), []string{"current cannot come back", "B1", "off: B1, B2"}},
		{"all off at rest", allOff, amps(0), []string{"off: B1, B2"}},
		{"open switch", open, amps(10), []string{"current cannot come back: B1+, B1-, Q.a hang together"}},
		{"no length", noLength, amps(10), []string{"cable N1 has no length", "give length or resistance"}},
		{"no route", routeless, amps(10), []string{"cable N1 has no length: a wall is in the way"}},
		{"battery of no resistance", badBattery, amps(10), []string{"battery B2: resistance is 0 ohm"}},
		{"cable of no number", badCable, amps(10), []string{"cable P1: resistance is NaN ohm"}},
		{"part below nothing", badPart, amps(10), []string{"part F: resistance is -1 ohm"}},
		{"case of no number", ladder(2, 12.8, 0.005, 0.0005), amps(math.NaN()), []string{"NaN"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Solve(row.b, row.c)
			if err == nil {
				t.Fatal("solved")
			}
			for _, part := range row.says {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("%q does not say %q", err, part)
				}
			}
		})
	}
}

// TestCableTemperature: a cable by size and length goes with the case's
// temperature, one given whole does not.
func TestCableTemperature(t *testing.T) {
	b := ladder(2, 12.8, 0.005, 0.0005)
	b.Cables[0].Whole = source.Value[quantity.Resistance]{}
	b.Cables[0].Length = source.Of(quantity.Length(2))
	b.Cables[0].PerLength = source.Of(quantity.ResistancePerLength(0.25e-3))
	b.Cables[0].Coefficient = source.Of(0.00393)
	b.Cables[0].Joints = [2]source.Value[quantity.Resistance]{source.Of(quantity.Resistance(1e-5)), source.Of(quantity.Resistance(3e-5))}
	for celsius, want := range map[float64]float64{
		// By hand: 2 m · 0.25 mΩ/m · (1 + 0.00393·(T − 20)) + 0.01 mΩ + 0.03 mΩ.
		20: 0.54e-3, 75: 0.648075e-3, -10: 0.48105e-3,
	} {
		c := amps(100)
		c.CableTemperature = source.Of(quantity.Temperature(celsius + 273.15))
		s := mustSolve(t, b, c)
		near(t, "resistance by length", s.Cables[0].Resistance, want, 1e-15)
		near(t, "resistance given whole", s.Cables[1].Resistance, 0.0005, 0)
		checkLaws(t, b, s)
	}
}
