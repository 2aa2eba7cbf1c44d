package precharge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

func mustClose(t *testing.T, v, r, l, c float64) Surge {
	t.Helper()
	s, err := Closing(v, r, l, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// rush is the textbook current of a series circuit at a time, in the form of
// its regime.
func rush(v, r, l, c, t float64) float64 {
	a, square := r/(2*l), 1/(l*c)-r*r/(4*l*l)
	if square > 0 {
		w := math.Sqrt(square)
		return v / (l * w) * math.Exp(-a*t) * math.Sin(w*t)
	}
	w := math.Sqrt(-square)
	return v / (l * w) / 2 * (math.Exp((w-a)*t) - math.Exp(-(w+a)*t))
}

// TestPeakIsThePeak: no instant near or far carries more than the peak told,
// and the instant told carries it, over the whole range of dampings.
func TestPeakIsThePeak(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2))
	for range 300 {
		// 0.1 to 100 µH, 1 to 100 mF, dampings of 0.01 to 100, log-uniform.
		l, c := math.Exp(math.Log(1e-7)+rng.Float64()*math.Log(1e3)), math.Exp(math.Log(1e-3)+rng.Float64()*math.Log(100))
		zeta := math.Exp((rng.Float64()*2 - 1) * math.Log(100))
		v, r := 10+rng.Float64()*50, 2*zeta*math.Sqrt(l/c)
		s := mustClose(t, v, r, l, c)
		near(t, "damping", s.Damping, zeta, 1e-12*zeta)
		near(t, "current at the peak", rush(v, r, l, c, s.At), s.Peak, 1e-9*s.Peak)
		for range 50 {
			at := s.At * math.Exp((rng.Float64()*2-1)*3)
			if i := rush(v, r, l, c, at); i > s.Peak*(1+1e-9) {
				t.Fatalf("damping %g: %g A at %g s, above the peak of %g A at %g s", zeta, i, at, s.Peak, s.At)
			}
		}
		if s.Peak > s.ByResistance || s.Peak > s.ByInductance {
			t.Errorf("damping %g: peak %g A above a bound, %g or %g", zeta, s.Peak, s.ByResistance, s.ByInductance)
		}
		if want := map[bool]Regime{true: UnderDamped, false: OverDamped}[zeta < 1]; s.Regime != want {
			t.Errorf("damping %g is told as %s", zeta, s.Regime)
		}
	}
}

func TestClosedForms(t *testing.T) {
	const v, l, c = 50.0, 1e-6, 0.01
	root := math.Sqrt(l / c) // 10 mΩ
	by := v / root           // 5 kA
	for _, k := range []struct {
		name           string
		r, peak, at    float64
		regime         Regime
		highest, tol   float64
		tolAt, tolHigh float64
	}{
		// Without resistance: a full swing to twice the voltage, peak at a quarter period.
		{"no resistance", 0, by, math.Pi / 2 * math.Sqrt(l*c), UnderDamped, 2 * v, 1e-9, 1e-15, 1e-9},
		// Critical: V/(e·√(L/C)) at √(LC).
		{"critical", 2 * root, by / math.E, math.Sqrt(l * c), Critical, v, 1e-8, 1e-12, 1e-9},
		// ζ = ½: exp(−π/(3√3)) of V·√(C/L) at 2π/(3√3) of √(LC); overshoot exp(−π/√3).
		{"half", root, by * math.Exp(-math.Pi/(3*math.Sqrt(3))), 2 * math.Pi / (3 * math.Sqrt(3)) * math.Sqrt(l*c), UnderDamped,
			v * (1 + math.Exp(-math.Pi/math.Sqrt(3))), 1e-8, 1e-12, 1e-9},
		// ζ = 5/4: artanh(3/5) = ln 2, x = ¾, so that the exponent is 5/3·ln 2.
		{"five quarters", 2.5 * root, by * math.Pow(2, -5.0/3), 4.0 / 3 * math.Ln2 * math.Sqrt(l*c), OverDamped, v, 1e-8, 1e-12, 1e-9},
		// Far over-damped: V/R, less what the slow rise costs: ln(4ζ²)/(4ζ²) of it.
		{"heavy", 2e6 * root, v / (2e6 * root), 0, OverDamped, v, 1e-10, 1e-6, 1e-9},
	} {
		t.Run(k.name, func(t *testing.T) {
			s := mustClose(t, v, k.r, l, c)
			near(t, "peak", s.Peak, k.peak, k.tol)
			near(t, "time", s.At, k.at, k.tolAt)
			near(t, "highest voltage", s.PeakVoltage, k.highest, k.tolHigh)
			if s.Regime != k.regime {
				t.Errorf("told as %s, want %s", s.Regime, k.regime)
			}
		})
	}
}

// TestAcrossCritical: near the critical damping, where the formulas go to 0/0,
// no digits are lost.
func TestAcrossCritical(t *testing.T) {
	for _, e := range []float64{0, 1e-15, 1e-12, 1e-9, 1e-6, 1e-4, 4.9e-4, 5.1e-4, 1e-3} {
		for _, zeta := range []float64{1 - e, 1 + e} {
			// With u = 1/ζ² − 1 the angle is (1 − u/3 + u²/5 − …)/ζ, in d = ζ − 1 to the
			// second order 1 − d/3 + 2/15·d²; the next term is below d³.
			d := zeta - 1
			near(t, fmt.Sprintf("angle at 1%+g", d), angle(zeta), 1-d/3+2*d*d/15, math.Abs(d*d*d)+4e-16)
		}
	}
}

// TestAgainstSimulator: peaks and times of inrush in all regimes, and wait and
// heat of a pre-charge with resistor, against a general circuit simulator.
func TestAgainstSimulator(t *testing.T) {
	simulator, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice not found: install the Debian package ngspice")
	}
	// 13.6 V behind 12 mΩ and a loop of a metre or so; 20 mF; both other regimes.
	for _, k := range []struct{ v, r, l, c float64 }{
		{13.6, 0.012, 1.1e-6, 0.020}, {54.4, 0.004, 1.5e-6, 0.010}, {27.2, 0.020, 1e-6, 0.010}, {13.6, 0.2, 1e-6, 0.005},
	} {
		s := mustClose(t, k.v, k.r, k.l, k.c)
		m := simulate(t, simulator, k.v, k.r, k.l, k.c, s.At/1000, 3*s.At,
			"meas tran peak MAX i(L1)\nmeas tran at MAX_AT i(L1)\nprint peak at\n")
		near(t, "peak", m["peak"], s.Peak, 2e-5*s.Peak) // the simulator's steps
		near(t, "time of the peak", m["at"], s.At, 0.002*s.At)
	}
	in := Input{Capacitance: 0.02, Voltage: 13.6, Source: 0.012, Fraction: 0.99, Resistor: 10}
	r := mustSolve(t, in).Chosen
	m := simulate(t, simulator, in.Voltage, in.Source+in.Resistor, 1e-6, in.Capacitance, r.Wait/2000, r.Wait*1.1, fmt.Sprintf(
		"meas tran wait WHEN v(c)=%.12g\nlet heat=i(L1)*i(L1)*%g\nmeas tran energy INTEG heat from=0 to=%.12g\nprint wait energy\n",
		in.Fraction*in.Voltage, in.Resistor, r.Wait))
	near(t, "wait", m["wait"], r.Wait, 1e-4*r.Wait)
	near(t, "heat over the wait", m["energy"], r.MeanPower*r.Wait, 2e-4*m["energy"])
}

// simulate closes a series circuit in the simulator and gives what the
// measurements print, by name.
func simulate(t *testing.T, simulator string, v, r, l, c, step, end float64, measure string) map[string]float64 {
	t.Helper()
	deck := fmt.Sprintf("* closing onto a capacitor\nV1 a 0 %.12g\nR1 a b %.12g\nL1 b c %.12g IC=0\nC1 c 0 %.12g IC=0\n"+
		".control\nset numdgt=12\noption reltol=1e-7\ntran %.12g %.12g 0 %.12g uic\n%squit\n.endc\n.end\n", v, r, l, c, step, end, step, measure)
	path := filepath.Join(t.TempDir(), "closing.cir")
	if err := os.WriteFile(path, []byte(deck), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(simulator, "-n", "-b", path).CombinedOutput() // -n: no start-up file of the user's
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, out)
	}
	got := map[string]float64{}
	for line := range strings.Lines(string(out)) {
		name, rest, ok := strings.Cut(strings.TrimSpace(line), "=")
		if fields := strings.Fields(rest); ok && len(fields) > 0 {
			if value, err := strconv.ParseFloat(fields[0], 64); err == nil {
				got[strings.TrimSpace(name)] = value
			}
		}
	}
	return got
}

func TestLoopInductance(t *testing.T) {
	// Worked example of the reference: 1.5 m, 30 mm apart, radius 6 mm.
	l, err := LoopInductance(1.5, 0.006, 0.030)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "loop", l.V, 1.116e-6, 0.0005e-6)
	near(t, "per metre", l.V/1.5, 0.7438e-6, 0.00005e-6)
	if l.Origin != source.Computed || l.Ref.Check() != nil || !strings.Contains(l.Note, "estimated") {
		t.Errorf("%+v: want an estimate with its source", l)
	}
	for _, bad := range [][3]float64{{0, 0.006, 0.03}, {1, 0, 0.03}, {1, 0.006, 0.011}, {1, 0.006, math.NaN()}, {math.Inf(1), 1, 3}} {
		if _, err := LoopInductance(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
	if _, err := LoopInductance(1, 0.0055, 0.011); err != nil {
		t.Errorf("cables that touch: %v", err)
	}
}

func TestGuessCapacitance(t *testing.T) {
	for _, c := range []struct{ watt, volt, low, high float64 }{ // practice, F
		{1000, 12.8, 0.002, 0.010}, {3000, 13.6, 0.006, 0.030}, {2000, 25.6, 0.001, 0.006}, {5000, 51.2, 0.0025, 0.015},
	} {
		g, err := GuessCapacitance(c.watt, c.volt)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "low", g.Low, c.low, 1e-12)
		near(t, "high", g.High, c.high, 1e-12)
		near(t, "middle", g.Mid.V*g.Mid.V, c.low*c.high, 1e-12)
		if g.Mid.Mark() != "assumed" || g.Mid.Ref.Check() != nil {
			t.Errorf("%+v is not marked as assumed", g.Mid)
		}
	}
	for _, bad := range [][2]float64{{0, 12}, {math.NaN(), 12}, {1000, 6}, {1000, 96}, {1000, math.NaN()}} {
		if _, err := GuessCapacitance(bad[0], bad[1]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}

func TestClosingErrors(t *testing.T) {
	for _, bad := range [][4]float64{{0, 1, 1, 1}, {1, -1, 1, 1}, {1, 1, math.NaN(), 1}, {1, 1, 1, 0}, {math.Inf(1), 1, 1, 1}} {
		if _, err := Closing(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}
