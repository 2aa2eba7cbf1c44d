package network

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestAgainstSimulator: random networks against a general circuit simulator,
// within 1e-6 of the largest current of each. All 500 with BANKWRIGHT_LONG set,
// else 100.
func TestAgainstSimulator(t *testing.T) {
	simulator, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice not found: install the Debian package ngspice")
	}
	const perDeck = 25
	decks := 4
	if os.Getenv("BANKWRIGHT_LONG") != "" {
		decks = 20
	}
	for d := range decks {
		t.Run(fmt.Sprintf("deck %d", d), func(t *testing.T) {
			var networks []Network
			var injected [][]float64
			for i := range perDeck {
				n, j := randomNetwork(rand.New(rand.NewPCG(5, uint64(d*perDeck+i))), 40, 1e-5, 10)
				networks, injected = append(networks, n), append(injected, j)
			}
			simulated := simulate(t, simulator, networks, injected)
			for i, n := range networks {
				s := mustSolve(t, n, injected[i])
				wantClose(t, fmt.Sprintf("network %d, current", i), s.Current, simulated[i], 1e-6*largest(simulated[i]))
			}
		})
	}
}

// simulate runs one deck with many networks, each with nodes of its own but for
// node 0, the deck's ground: its return. It gives the branch currents of each.
func simulate(t *testing.T, simulator string, networks []Network, injected [][]float64) [][]float64 {
	t.Helper()
	path := filepath.Join(t.TempDir(), "networks.cir")
	if err := os.WriteFile(path, []byte(deck(networks, injected)), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(simulator, "-n", "-b", path).CombinedOutput() // -n: no start-up file of the user's
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, out)
	}
	currents := make([][]float64, len(networks))
	for line := range strings.Lines(string(out)) {
		name, value, _ := strings.Cut(strings.TrimSpace(line), " = ")
		number, ok := strings.CutPrefix(name, "i(v")
		if !ok {
			continue
		}
		k, i, _ := strings.Cut(strings.TrimSuffix(number, ")"), "_")
		net, err1 := strconv.Atoi(k)
		branch, err2 := strconv.Atoi(i)
		amps, err3 := strconv.ParseFloat(value, 64)
		if err1 != nil || err2 != nil || err3 != nil || net >= len(currents) || branch != len(currents[net]) {
			t.Fatalf("ngspice: cannot read %q", line)
		}
		currents[net] = append(currents[net], -amps) // it counts current into a source's + terminal
	}
	return currents
}

// deck writes each branch as a voltage source, which also measures, from its
// From end to a point of its own, and a resistor on to its To end.
func deck(networks []Network, injected [][]float64) string {
	var b, prints strings.Builder
	fmt.Fprintln(&b, "* random networks")
	for k, n := range networks {
		node := func(v int) string {
			if v == 0 {
				return "0"
			}
			return fmt.Sprintf("n%d_%d", k, v)
		}
		for i, br := range n.Branches {
			fmt.Fprintf(&b, "V%d_%d m%d_%d %s %.17g\n", k, i, k, i, node(br.From), br.EMF)
			fmt.Fprintf(&b, "R%d_%d m%d_%d %s %.17g\n", k, i, k, i, node(br.To), br.Resistance)
			fmt.Fprintf(&prints, "print i(v%d_%d)\n", k, i)
		}
		for v := 1; v < n.Nodes; v++ {
			fmt.Fprintf(&b, "I%d_%d 0 %s %.17g\n", k, v, node(v), injected[k][v])
		}
	}
	fmt.Fprintf(&b, ".control\nset numdgt=12\nop\n%squit\n.endc\n.end\n", prints.String())
	return b.String()
}
