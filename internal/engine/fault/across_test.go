package fault

import (
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// oneBranch is one battery of 13 V behind 4 mΩ, a fuse of 1 mΩ, a lead of 2 mΩ out
// to a load and one of 5 mΩ back to the negative take-off.
func oneBranch(origin source.Origin) *bank.Bank {
	b := &bank.Bank{Batteries: []bank.Battery{battery("B1", 13, 0.004)},
		Parts:   []bank.Part{part("F1", bank.Fuse, 0, 0.001), part("A1", bank.Load, 0, 0)},
		Cables:  []bank.Cable{wire("W0", "B1+", "F1.a", 0.001), wire("W1", "F1.b", "A1.a", 0.002), wire("W2", "A1.b", "B1-", 0.005)},
		Takeoff: takeoff("B1+", "B1-")}
	b.Parts[0].Resistance = source.Value[quantity.Resistance]{V: 0.001, Origin: origin}
	return b
}

// TestAcross: a short across a load goes through its own leads out and back: 13
// V over 4 + 1 + 1 + 2 + 5 = 13 mΩ is 1000 A, by hand.
func TestAcross(t *testing.T) {
	b := oneBranch(source.Given)
	weak := as(b)
	weak.EMF[0] = 11.7 // V: 900 A
	r, err := Solve(b, Options{Most: as(b), Least: &weak})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Across) != 1 || r.Across[0].Device != "A1" {
		t.Fatalf("across %+v", r.Across)
	}
	near(t, "most across the load", r.Across[0].Most.Current, 1000, 1e-9)
	near(t, "least across the load", r.Across[0].Least.Current, 900, 1e-9)
	for _, th := range r.Through {
		switch th.ID {
		case "W2": // only a short across the load reaches it
			near(t, "most through the return", th.Current, 1000, 1e-9)
			if th.Place != end("A1.a") || th.Back != end("A1.b") {
				t.Errorf("the return carries its most from %s to %s", th.Place, th.Back)
			}
		case "W1": // 13 V over 8 mΩ, at the load against the take-off
			near(t, "most through the lead", th.Current, 1625, 1e-9)
			if th.Back != end("B1-") {
				t.Errorf("the lead carries its most back to %s", th.Back)
			}
		}
	}
}

// TestBare: an assumed resistance of the fuse counts as none in bare
// conditions, a given one only where it is bridged; by hand: 13 V behind 5 mΩ
// at F1.b is 2600 A, behind 6 mΩ 2166.7 A. Within what 1e-8 ohm make.
func TestBare(t *testing.T) {
	for _, row := range []struct {
		name    string
		origin  source.Origin
		bare    bool
		bridged string
		want    float64
	}{
		{"assumed, as it is", source.Assumed, false, "", 13 / 0.006},
		{"assumed, bare", source.Assumed, true, "", 13 / 0.005},
		{"given, bare", source.Given, true, "", 13 / 0.006},
		{"given, bridged", source.Given, true, "F1", 13 / 0.005},
		{"given, another bridged", source.Given, true, "A1", 13 / 0.006},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := oneBranch(row.origin)
			with := as(b)
			with.Bare, with.Bridged = row.bare, row.bridged
			r, err := Solve(b, Options{Most: with})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "behind the fuse", point(t, r, "F1.b").Current, row.want, 0.01)
		})
	}
}

// TestCentreTap: a fuse and a load at the joint of two batteries in series are
// places too; by hand: 12.8 V behind 10 mΩ and 2 mΩ of lead and fuse.
func TestCentreTap(t *testing.T) {
	b := &bank.Bank{Batteries: []bank.Battery{battery("B1", 12.8, 0.010), battery("B2", 12.8, 0.010)},
		Parts: []bank.Part{part("F9", bank.Fuse, 0, 0.001), part("M", bank.Load, 0, 0)},
		Cables: []bank.Cable{wire("L", "B1+", "B2-", 0.002), wire("T", "B1+", "F9.a", 0.0005), wire("U", "F9.b", "M.a", 0.0005),
			wire("V", "M.b", "B1-", 0.004)}, Takeoff: takeoff("B2+", "B1-")}
	r := mustSolve(t, b)
	if got, want := places(r), "B1+ B2+ F9.a F9.b M.a"; got != want {
		t.Errorf("points %s, want %s", got, want)
	}
	near(t, "at the load on the tap", point(t, r, "M.a").Current, 12.8/0.012, 1e-9)
	near(t, "across it", r.Across[0].Most.Current, 12.8/0.016, 1e-9)
}
