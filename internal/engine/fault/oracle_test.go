package fault

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

	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// tiny is a bolted short as a cable, ohm: against 10 µΩ, the least anything
// here has, it takes away a millionth.
const tiny = 1e-11

// bridged lays a cable as good as none across two ends and gives the bank's
// snapshot at rest. The take-off is moved there, so that current always has a
// way.
func bridged(t *testing.T, b *bank.Bank, from, to bank.End) report.Sharing {
	t.Helper()
	c := clone(b)
	c.Cables = append(c.Cables, wire("BRIDGE", from.String(), to.String(), tiny))
	c.Takeoff = bank.Takeoff{Positive: from, Negative: to}
	rest := bank.Case{ID: "rest"}
	rest.CableTemperature.V = cool
	s, err := sharing.Solve(c, rest)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestAgainstSharing: every point and every battery of random banks against a
// snapshot with a cable of next to no resistance across the fault. Within 1e-5
// of the most, by the bridge's own resistance.
func TestAgainstSharing(t *testing.T) {
	eachRandom(t, 21, 80, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		r, c := mustSolve(t, b), mustNew(t, b)
		for _, p := range r.Points {
			s := bridged(t, b, p.Place, b.Takeoff.Negative)
			last := s.Cables[len(s.Cables)-1]
			near(t, "short at "+p.Place.String(), p.Most.Current, last.Current, 1e-5*math.Abs(last.Current)+1e-6)
			short, err := c.Short(p.Place, b.Takeoff.Negative)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range short.Flows {
				want := append(s.Cables[:len(s.Cables)-1:len(s.Cables)-1], s.Parts...)[i]
				if f.ID != want.ID || f.From != want.From {
					t.Fatalf("flow %d is of %s, want %s", i, f.ID, want.ID)
				}
				near(t, "through "+f.ID, f.Current, want.Current, 1e-5*(math.Abs(last.Current)+math.Abs(want.Current))+1e-6)
			}
		}
		for i, in := range r.Into {
			out := clone(b)
			out.Batteries[i].Off = true
			s := bridged(t, out, b.Batteries[i].Plus(), b.Batteries[i].Minus())
			last := s.Cables[len(s.Cables)-1]
			near(t, "into "+in.Battery, in.Most.Current, last.Current, 1e-5*math.Abs(last.Current)+1e-6)
		}
	})
}

// TestAgainstSimulator: dead shorts of random banks against a general circuit
// simulator, where a source of no volts is the short and measures it.
func TestAgainstSimulator(t *testing.T) {
	simulator, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice not found: install the Debian package ngspice")
	}
	var deck, prints strings.Builder
	var want []*Short
	fmt.Fprintln(&deck, "* dead shorts of random banks")
	for i := range 40 {
		rng := rand.New(rand.NewPCG(22, uint64(i)))
		b := randomBank(rng, false)
		c := mustNew(t, b)
		all := c.Places()
		if len(all) == 0 {
			continue
		}
		s, err := c.Short(all[rng.IntN(len(all))], b.Takeoff.Negative)
		if err != nil {
			t.Fatal(err)
		}
		if s.Joined() {
			writeShort(&deck, &prints, len(want), c, s)
			want = append(want, s)
		}
	}
	if len(want) < 25 {
		t.Fatalf("only %d banks had a short to simulate", len(want))
	}
	fmt.Fprintf(&deck, ".control\nset numdgt=12\nop\n%squit\n.endc\n.end\n", prints.String())
	path := filepath.Join(t.TempDir(), "shorts.cir")
	if err := os.WriteFile(path, []byte(deck.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(simulator, "-n", "-b", path).CombinedOutput()
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, out)
	}
	got := readPrints(t, string(out))
	for k, s := range want {
		seen := got[k]
		if len(seen) != 1+len(s.Flows) {
			t.Fatalf("deck %d: %d currents, want %d", k, len(seen), 1+len(s.Flows))
		}
		near(t, fmt.Sprintf("short %d", k), s.Current, seen[0], 1e-6*s.Current)
		for i, f := range s.Flows {
			near(t, fmt.Sprintf("short %d through %s", k, f.ID), f.Current, seen[1+i], 1e-6*math.Abs(s.Current)+1e-6*math.Abs(f.Current))
		}
	}
}

// writeShort writes one bank; the negative take-off of the first is ground, the
// others have a resistor to it so that nothing floats.
func writeShort(deck, prints *strings.Builder, k int, c *Circuit, s *Short) {
	node := func(e bank.End) string { return fmt.Sprintf("n%d_%d", k, c.node[e]) }
	for v := range c.ends {
		fmt.Fprintf(deck, "RG%d_%d n%d_%d 0 1e9\n", k, v, k, v)
	}
	for i, br := range c.branches.Branches {
		fmt.Fprintf(deck, "V%d_%d m%d_%d n%d_%d %.17g\n", k, i, k, i, k, br.From, br.EMF)
		fmt.Fprintf(deck, "R%d_%d m%d_%d n%d_%d %.17g\n", k, i, k, i, k, br.To, br.Resistance)
	}
	fmt.Fprintf(deck, "VS%d %s %s 0\n", k, node(s.From), node(s.To))
	fmt.Fprintf(prints, "print i(vs%d)\n", k)
	for _, f := range c.flows {
		fmt.Fprintf(prints, "print i(v%d_%d)\n", k, f.branch)
	}
}

// readPrints gives the currents of each bank, the short first. The simulator
// counts current into a source's first node; of a branch that is its far end.
func readPrints(t *testing.T, out string) map[int][]float64 {
	t.Helper()
	all := map[int][]float64{}
	for line := range strings.Lines(out) {
		name, value, _ := strings.Cut(strings.TrimSpace(line), " = ")
		number, ok := strings.CutPrefix(name, "i(v")
		if !ok {
			continue
		}
		number, short := strings.CutPrefix(strings.TrimSuffix(number, ")"), "s")
		bankNumber, _, _ := strings.Cut(number, "_")
		k, err1 := strconv.Atoi(bankNumber)
		amps, err2 := strconv.ParseFloat(value, 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("ngspice: cannot read %q", line)
		}
		if !short {
			amps = -amps
		}
		all[k] = append(all[k], amps)
	}
	return all
}

// TestLaws: at every short Kirchhoff's current law holds at every end, counted
// here from cables, parts and batteries, and all power given becomes heat, for
// a dead short takes none.
func TestLaws(t *testing.T) {
	eachRandom(t, 23, 60, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		c := mustNew(t, b)
		for _, place := range c.Places() {
			s, err := c.Short(place, b.Takeoff.Negative)
			if err != nil {
				t.Fatal(err)
			}
			left := map[bank.End]float64{s.From: -s.Current, s.To: s.Current}
			given, lost, most := 0.0, 0.0, math.Abs(s.Current)
			for i, amps := range s.Batteries {
				left[b.Batteries[i].Plus()] += amps
				left[b.Batteries[i].Minus()] -= amps
				given += amps * float64(b.Batteries[i].EMF.V)
				lost += amps * amps * float64(b.Batteries[i].Resistance.V)
				most = math.Max(most, math.Abs(amps))
			}
			for i, f := range s.Flows {
				left[f.From] -= f.Current
				left[f.To] += f.Current
				lost += f.Current * f.Current * c.branches.Branches[c.flows[i].branch].Resistance
				most = math.Max(most, math.Abs(f.Current))
			}
			for e, amps := range left {
				near(t, "left over at "+e.String(), amps, 0, 1e-9*most)
			}
			near(t, "power", given, lost, 1e-8*lost+1e-9)
			if s.Residual > 1e-9*most {
				t.Errorf("residual %g A of %g A", s.Residual, most)
			}
		}
	})
}

// only gives the current of battery k in a short at a place when battery j
// alone has an EMF, of one volt.
func only(t *testing.T, b *bank.Bank, place bank.End, j, k int) float64 {
	t.Helper()
	with := as(b)
	with.EMF = make([]float64, len(with.EMF))
	with.EMF[j] = 1
	c, err := New(b, with)
	if err != nil {
		t.Fatal(err)
	}
	s, err := c.Short(place, b.Takeoff.Negative)
	if err != nil {
		t.Fatal(err)
	}
	return s.Batteries[k]
}

// TestReciprocity: in one and the same short, a volt in battery j drives as
// much through k as a volt in k through j; and a bank looks the same from both
// sides, with current and EMF turned round.
func TestReciprocity(t *testing.T) {
	eachRandom(t, 24, 60, false, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		c := mustNew(t, b)
		all := c.Places()
		if len(all) == 0 {
			t.Skip("no place") // every string is off or bridged
		}
		place := all[rng.IntN(len(all))]
		j, k := rng.IntN(len(b.Batteries)), rng.IntN(len(b.Batteries))
		there, back := only(t, b, place, j, k), only(t, b, place, k, j)
		near(t, "there and back", there, back, 1e-9*(math.Abs(there)+1))
		out, err1 := c.Between(place, b.Takeoff.Negative)
		in, err2 := c.Between(b.Takeoff.Negative, place)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if out.Joined() {
			near(t, "turned round", out.Current, -in.Current, 1e-12*math.Abs(out.Current))
			near(t, "resistance turned round", out.Resistance, in.Resistance, 1e-12*out.Resistance)
		}
	})
}

// TestMoreIsMore: with all EMFs equal a short can only grow when a battery is
// put on, a battery's or cable's resistance falls, or a cable is added
// (Rayleigh's law of monotonicity, textbook).
func TestMoreIsMore(t *testing.T) {
	eachRandom(t, 25, 80, true, func(t *testing.T, rng *rand.Rand, b *bank.Bank) {
		before := mustSolve(t, b)
		more := clone(b)
		switch rng.IntN(4) {
		case 0:
			more.Batteries[rng.IntN(len(b.Batteries))].Off = false
		case 1:
			more.Batteries[rng.IntN(len(b.Batteries))].FaultResistance.V /= 2
		case 2:
			if len(b.Cables) > 0 {
				more.Cables[rng.IntN(len(b.Cables))].Whole.V /= 2
			}
		case 3:
			if len(b.Cables) > 0 {
				twin := b.Cables[rng.IntN(len(b.Cables))]
				twin.ID = "TWIN"
				more.Cables = append(more.Cables, twin)
			}
		}
		after := mustSolve(t, more)
		for i, p := range before.Points {
			if q := after.Points[i].Most; !(q.Current >= p.Most.Current*(1-1e-12)) {
				t.Errorf("%s: %g A, before %g A", p.Place, q.Current, p.Most.Current)
			}
		}
	})
}

// TestThroughIsLargest: no short carries more through a cable or part than the
// result says, and the place it names carries just that.
func TestThroughIsLargest(t *testing.T) {
	eachRandom(t, 26, 40, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		r, c := mustSolve(t, b), mustNew(t, b)
		met := make([]bool, len(r.Through))
		for _, p := range r.Points {
			s, err := c.Short(p.Place, b.Takeoff.Negative)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range s.Flows {
				most := r.Through[i]
				if math.Abs(f.Current) > math.Abs(most.Current)*(1+2e-9) {
					t.Errorf("%s carries %g A at %s, more than %g A", f.ID, f.Current, p.Place, most.Current)
				}
				met[i] = met[i] || p.Place == most.Place && f.Current == most.Current
			}
		}
		for i, ok := range met {
			if !ok && r.Through[i].Current != 0 {
				t.Errorf("%+v was not met", r.Through[i])
			}
		}
	})
}
