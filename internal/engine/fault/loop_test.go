package fault

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"bankwright/internal/model/bank"
)

// TestShare: one ampere splits so that each place but the two keeps none of it,
// and by Ohm's law: what it drops along any cable is that of the places' own.
func TestShare(t *testing.T) {
	eachRandom(t, 41, 60, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		c := mustNew(t, b)
		to := b.Takeoff
		s, ok, err := c.Share(to.Positive, to.Negative)
		if err != nil {
			t.Fatal(err)
		}
		seen, err := c.Between(to.Positive, to.Negative)
		if err != nil || ok != seen.Joined() {
			t.Fatal(ok, err)
		}
		if !ok {
			return
		}
		lost, into := 0.0, map[bank.End]float64{}
		for n, br := range c.branches.Branches {
			a := currentOf(c, &s, n)
			lost += a * a * br.Resistance
			into[c.ends[br.From]] -= a
			into[c.ends[br.To]] += a
		}
		near(t, "I²R of one ampere", lost, seen.Resistance, 1e-9*seen.Resistance)
		for e, a := range into {
			want := 0.0
			switch e {
			case to.Positive:
				want = 1
			case to.Negative:
				want = -1
			}
			near(t, "kept at "+e.String(), a, want, 1e-9)
		}
	})
}

func currentOf(c *Circuit, s *Share, branch int) float64 {
	for i, n := range c.battery {
		if n == branch {
			return s.Batteries[i]
		}
	}
	for i, f := range c.flows {
		if f.branch == branch {
			return s.Flows[i].Current
		}
	}
	return math.NaN()
}

// TestIntoShort: what the others push is what flows to the battery's posts, and
// the same as Into says; by hand for two batteries on two links.
func TestIntoShort(t *testing.T) {
	b := ladder(2, 13.2, 0.005, 0.0005)
	c := mustNew(t, b)
	s, err := c.IntoShort(0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "13.2 V over 5 + 2·0.5 mΩ", s.Current, 2200, 1e-6)
	for _, f := range s.Flows {
		near(t, "through "+f.ID, math.Abs(f.Current), 2200, 1e-6)
	}
	near(t, "its own", s.Batteries[0], 0, 0)
	near(t, "the other's", s.Batteries[1], 2200, 1e-6)
	share, ok, err := c.IntoShare(0)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	near(t, "share", share.Batteries[1], 1, 1e-12)
	if _, err := c.IntoShort(2); err == nil {
		t.Error("a third battery of two")
	}
	if _, _, err := c.IntoShare(-1); err == nil {
		t.Error("a battery before the first")
	}
	eachRandom(t, 42, 40, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		c := mustNew(t, b)
		for k := range b.Batteries {
			want, err := c.Into(k)
			if err != nil {
				t.Fatal(err)
			}
			got, err := c.IntoShort(k)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "into "+b.Batteries[k].ID, got.Current, want.Current, 1e-12*math.Abs(want.Current))
			if !b.Batteries[k].Off {
				near(t, "its own", got.Batteries[k], 0, 0)
			}
		}
	})
}

// TestMeanLag: two ways side by side, each of resistance and inductance of its
// own, coupled, behind a common lead: a general circuit simulator runs the
// step, and ∫(1 − i/I)dt is the field's inductance over the resistance; 0.5 %,
// for steps and the end of the integral.
func TestMeanLag(t *testing.T) {
	simulator, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice not found: install the Debian package ngspice")
	}
	rng := rand.New(rand.NewPCG(43, 1))
	for n := range 4 {
		r := [3]float64{1e-3 * (1 + rng.Float64()), 1e-3 * (1 + 4*rng.Float64()), 1e-3 * (1 + 4*rng.Float64())}
		l := [3]float64{1e-6 * rng.Float64(), 1e-6 * (0.2 + rng.Float64()), 1e-6 * (0.2 + rng.Float64())}
		couple := 0.6*rng.Float64() - 0.3
		a := r[2] / (r[1] + r[2])
		total := r[0] + r[1]*r[2]/(r[1]+r[2])
		field := l[0] + a*a*l[1] + (1-a)*(1-a)*l[2] + 2*a*(1-a)*couple*math.Sqrt(l[1]*l[2])
		rise, err := NewRise(10, total, field)
		if err != nil {
			t.Fatal(err)
		}
		deck := fmt.Sprintf("* step\nVS s 0 PULSE(0 10 0 1n 1n 1 2)\nR0 s a %g\nL0 a b %g\nR1 b c %g\nL1 c 0 %g\nR2 b d %g\nL2 d 0 %g\nK1 L1 L2 %g\n.tran 2u 20m 0 2u\n.meas tran q INTEG i(VS) FROM=0 TO=20m\n.end\n",
			r[0], l[0], r[1], l[1], r[2], l[2], couple)
		path := filepath.Join(t.TempDir(), fmt.Sprintf("step%d.cir", n))
		if err := os.WriteFile(path, []byte(deck), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(simulator, "-n", "-b", path).CombinedOutput()
		if err != nil {
			t.Fatalf("ngspice: %v\n%s", err, out)
		}
		m := regexp.MustCompile(`(?m)^q\s*=\s*(\S+)`).FindSubmatch(out)
		if m == nil {
			t.Fatalf("ngspice tells no integral:\n%s", out)
		}
		q, err := strconv.ParseFloat(string(m[1]), 64)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mean lag", 20e-3+q/rise.Current, rise.Tau, 0.005*rise.Tau+2e-8)
	}
}
