package assess

import (
	"context"
	"math"
	"strings"
	"testing"

	"bankwright/examples"
)

// Every wiring of the front, written as a job of its own, reads without fault
// and has the evenness and the copper that the search promised.
func TestBuildEveryWiring(t *testing.T) {
	for _, name := range []string{"library-trailer.yaml", "market-cart.yaml", "survey-boat.yaml"} {
		src, err := examples.Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		j, err := Load(name, src)
		if err != nil {
			t.Fatal(err)
		}
		w, err := j.Wirings(context.Background(), "", nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range w.Front {
			out, err := j.Build(w, &w.Front[i])
			if err != nil {
				t.Fatalf("%s %d: %v", name, i+1, err)
			}
			checkBuilt(t, name, out, w.Case.ID, w.Front[i].Imbalance, w.Front[i].Copper, w.Current)
			if n := strings.Count(string(src), "#"); strings.Count(string(out), "#") != n {
				t.Errorf("%s %d: %d comments of %d are left", name, i+1, strings.Count(string(out), "#"), n)
			}
		}
	}
}

func checkBuilt(t *testing.T, name string, src []byte, kase string, imbalance, copper, current float64) {
	t.Helper()
	built, err := Load(name, src)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	r, err := built.Currents(kase)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	// The search turns a power into amps at nominal volts, the snapshot at its
	// own; shares of equal batteries are the same at any current.
	if !r.Sharing.Case.ByPower && math.Abs(r.Sharing.Current-current) > 1e-9 {
		t.Errorf("%s: %v A, not %v", name, r.Sharing.Current, current)
	}
	if math.Abs(r.Sharing.Imbalance-imbalance) > 1e-9 {
		t.Errorf("%s: imbalance %v, the search said %v", name, r.Sharing.Imbalance, imbalance)
	}
	sum := 0.0
	for i := range built.Bank.Cables {
		c := &built.Bank.Cables[i]
		if onRails(built.Bank, c) && (c.From.Place == c.To.Place || !c.From.IsPost() || !c.To.IsPost()) { // not a series link
			sum += float64(c.Length.V)
		}
	}
	if math.Abs(sum-copper) > 1e-6 {
		t.Errorf("%s: %v m of cable, the search said %v", name, sum, copper)
	}
}
