package run

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// TestAgainstSimulator: banks with straight curves, with and without slow
// branches, against transients of a general circuit simulator. A straight curve
// of k volts over C coulombs is a capacitor of C/k farads.
func TestAgainstSimulator(t *testing.T) {
	simulator, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice not found: install the Debian package ngspice")
	}
	for _, tc := range []struct {
		name     string
		branches int
		amps     float64
	}{{"resistances", 0, 120}, {"one branch", 1, 120}, {"two branches", 2, 120}, {"two branches, charge", 2, -80}, {"two branches, rest", 2, 0}} {
		t.Run(tc.name, func(t *testing.T) {
			var all []bank.Battery
			for i, ohm := range []float64{4e-3, 5e-3, 4.4e-3, 7e-3} {
				b := exact(fmt.Sprintf("B%d", i+1), sloped(12.2, 1.1), ohm, 90+20*float64(i), 0.5+0.1*float64(i))
				for k := range tc.branches {
					b.Model.Branches = append(b.Model.Branches, bank.Branch{
						Resistance: source.Of(quantity.Resistance(ohm * (0.3 + float64(k)))), Time: source.Of(quantity.Duration([]float64{20, 640}[k] * (1 + 0.1*float64(i))))})
				}
				all = append(all, b)
			}
			bank := chain(0.4e-3, 2, all...)
			r := mustRun(t, bank, Options{Every: 60}, draw(tc.amps, 0.5))
			want := transient(t, simulator, bank, tc.amps, r.Time)
			for i := range r.Batteries {
				for n, at := range r.Time {
					if n == 0 {
						continue // the simulator's first point is its own start
					}
					near(t, fmt.Sprintf("B%d at %g s, A", i+1, at), r.Batteries[i].Current[n], want[i][n], 2e-3)
				}
			}
		})
	}
}

// transient runs a chain through a steady current and gives each battery's
// current at the times asked for.
func transient(t *testing.T, simulator string, b *bank.Bank, amps float64, times []float64) [][]float64 {
	t.Helper()
	var d strings.Builder
	fmt.Fprintln(&d, "* chain of batteries")
	for i := range b.Batteries {
		one := &b.Batteries[i]
		line := one.Model.Curve
		k := line[1].Y - line[0].Y
		// node nI is the negative post, pI the positive one.
		fmt.Fprintf(&d, "C%d c%d s%d %.15g IC=%.15g\nV%d s%d n%d 0\n", i, i, i, float64(one.Capacity.V)/k, line.At(float64(one.Start.V)), i, i, i)
		at := fmt.Sprintf("c%d", i)
		for j, br := range one.Model.Branches {
			next := fmt.Sprintf("b%d_%d", i, j)
			r := float64(br.Resistance.V)
			fmt.Fprintf(&d, "RB%d_%d %s %s %.15g\nCB%d_%d %s %s %.15g IC=0\n", i, j, at, next, r, i, j, at, next, float64(br.Time.V)/r)
			at = next
		}
		fmt.Fprintf(&d, "R%d %s p%d %.15g\n", i, at, i, float64(one.Model.Ohmic.V))
	}
	for n, c := range b.Cables {
		fmt.Fprintf(&d, "W%d %s %s %.15g\n", n, post(c.From), post(c.To), float64(c.Whole.V))
	}
	deck := strings.ReplaceAll(d.String(), "\nW", "\nRW")
	end := times[len(times)-1]
	deck += fmt.Sprintf("ILOAD %s %s %.15g\nRGND %s 0 1\n", post(b.Takeoff.Positive), post(b.Takeoff.Negative), amps, post(b.Takeoff.Negative))
	deck += fmt.Sprintf(".options reltol=1e-6 method=trap\n.control\nset numdgt=12\ntran 1 %.12g 0 1 uic\n", end)
	for i := range b.Batteries {
		for n, at := range times {
			if n > 0 {
				deck += fmt.Sprintf("meas tran x%d_%d FIND i(V%d) AT=%.12g\n", i, n, i, min(at, end*(1-1e-9)))
			}
		}
	}
	deck += "quit\n.endc\n.end\n"
	path := filepath.Join(t.TempDir(), "chain.cir")
	if err := os.WriteFile(path, []byte(deck), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(simulator, "-n", "-b", path).CombinedOutput() // -n: no start-up file of the user's
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, out)
	}
	got := make([][]float64, len(b.Batteries))
	for i := range got {
		got[i] = make([]float64, len(times))
	}
	found := 0
	for line := range strings.Lines(string(out)) {
		name, rest, ok := strings.Cut(strings.TrimSpace(line), "=")
		var i, n int
		if _, err := fmt.Sscanf(strings.TrimSpace(name), "x%d_%d", &i, &n); !ok || err != nil {
			continue
		}
		v, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
		if err != nil {
			t.Fatalf("ngspice: %q", line)
		}
		got[i][n] = -v // the source measures from its + end, where the cell's foot is
		found++
	}
	if found != len(b.Batteries)*(len(times)-1) {
		t.Fatalf("ngspice gave %d of %d numbers\n%s", found, len(b.Batteries)*(len(times)-1), out)
	}
	return got
}

func post(e bank.End) string {
	if e.Place == "+" {
		return "p" + strings.TrimPrefix(battery(e.ID), "B")
	}
	return "n" + strings.TrimPrefix(battery(e.ID), "B")
}

// battery turns B1 into B0: the deck counts from nought.
func battery(id string) string {
	n, err := strconv.Atoi(strings.TrimPrefix(id, "B"))
	if err != nil {
		panic("ngspice_test: " + id)
	}
	return fmt.Sprintf("B%d", n-1)
}
