package life

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// worked is the reference's example of uneven life: four 100 Ah batteries with
// both take-offs at one end, 100 A together (reference case 1), depth 0.8. The
// mean battery does one full cycle a day, the others in proportion to current.
func worked() []Use {
	var uses []Use
	for i, amps := range []float64{35.753, 26.116, 20.396, 17.736} {
		uses = append(uses, Use{ID: string(rune('A' + i)), PerDay: amps / 25, Depth: 0.8, Charge: amps / 100, Discharge: amps / 100,
			Temperature: 298.15, SOC: 0.5})
	}
	return uses
}

func TestUnevenAgainstReference(t *testing.T) {
	u, err := Compare(Small(), worked(), Question{Time: 1000 * day, CycleOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	first, last := u.Batteries[0], u.Batteries[3]
	for _, c := range []struct {
		what           string
		got, want, tol float64 // all from the reference, section 3.3, as printed
	}{
		{"mean loss, percent", 100 * u.Mean.Loss, 4.01, 0.005},
		{"near loss, percent", 100 * first.Loss, 5.09, 0.005},
		{"far loss, percent", 100 * last.Loss, 3.24, 0.005},
		{"near ratio", first.LossRatio, 1.27, 0.005},
		{"far ratio", last.LossRatio, 0.81, 0.005},
		{"near part of the time", first.TimeRatio, 0.62, 0.005},
		{"near cycles", worked()[0].PerDay * 1000, 1430, 0.5},
	} {
		near(t, c.what, c.got, c.want, c.tol)
	}
	if first.Outside != nil || first.Stretched != nil {
		t.Errorf("near battery: outside %q, stretched %q; want none", first.Outside, first.Stretched)
	}
	named(t, "far battery, stretched", last.Stretched, "charge rate 0.177C") // gentler than the 0.2C of the tests
}

// TestUnevenRoundTrip: looking when the mean has lost a fraction and looking
// after the time that this takes is the same; and after its own time each
// battery has lost what the mean has.
func TestUnevenRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 3))
	for _, law := range []Law{Small().Extrapolating(), Large().Extrapolating()} {
		for i := range 60 {
			q := Question{MeanLoss: 0.01 + rng.Float64()*0.15, CycleOnly: i%2 == 0}
			var uses []Use
			for _, id := range []string{"A", "B", "C"} {
				uses = append(uses, Use{ID: id, PerDay: 0.1 + rng.Float64(), Depth: 0.2 + rng.Float64()*0.8, Charge: 0.05 + rng.Float64()*0.5,
					Discharge: 0.05 + rng.Float64()*0.5, Temperature: 285 + rng.Float64()*20, SOC: rng.Float64()})
			}
			u, err := Compare(law, uses, q)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "loss of the mean battery", u.Mean.Loss, q.MeanLoss, 1e-12)
			again, err := Compare(law, uses, Question{Time: u.After, CycleOnly: q.CycleOnly})
			if err != nil {
				t.Fatal(err)
			}
			for k, b := range u.Batteries {
				near(t, "loss by time", again.Batteries[k].Loss, b.Loss, 1e-12)
				near(t, "loss at its own time", mustLoss(t, law, uses[k].over(b.Time, q.CycleOnly)).Loss, q.MeanLoss, 1e-12)
				if (b.TimeRatio < 1) != (b.Loss > u.Mean.Loss) {
					t.Errorf("battery %s loses %g against %g and takes %g of the time", b.ID, b.Loss, u.Mean.Loss, b.TimeRatio)
				}
			}
		}
	}
}

// TestUnevenEqual: equal batteries share the mean's fate.
func TestUnevenEqual(t *testing.T) {
	one := Use{PerDay: 1, Depth: 0.8, Charge: 0.3, Discharge: 0.3, Temperature: 300, SOC: 0.6}
	u, err := Compare(Large(), []Use{one, one, one, one}, Question{MeanLoss: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range u.Batteries {
		near(t, "loss", b.Loss, 0.2, 1e-12)
		near(t, "time", b.TimeRatio, 1, 1e-12)
	}
}

// TestUnevenHot: with equal currents the warmer battery goes first, though no
// cycle is in it.
func TestUnevenHot(t *testing.T) {
	uses := []Use{{ID: "cool", Temperature: 293.15, SOC: 0.5}, {ID: "warm", Temperature: 303.15, SOC: 0.5}}
	u, err := Compare(Small(), uses, Question{MeanLoss: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	// A root law: the time to a loss goes with the rate to the power −2.
	want := math.Exp(2 * 17126 / gas * (1/303.15 - 1/298.15))
	near(t, "warm battery's part of the time", u.Batteries[1].TimeRatio, want, 1e-12)
	if !(u.Batteries[0].TimeRatio > 1) {
		t.Errorf("cool battery takes %g of the time", u.Batteries[0].TimeRatio)
	}
}

func TestUnevenOutside(t *testing.T) {
	uses := worked()
	uses[3].Temperature = celsius + 15 // mean stays within 20 to 40 °C
	u, err := Compare(Small(), uses, Question{MeanLoss: 0.04, CycleOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	if b := u.Batteries[3]; !math.IsNaN(b.Loss) || !math.IsNaN(b.LossRatio) || !math.IsNaN(b.Time) || !math.IsNaN(b.TimeRatio) || len(b.Outside) != 1 {
		t.Errorf("cold battery: %+v, want NaN and one reason", b)
	}
	if b := u.Batteries[0]; !(b.TimeRatio < 1) {
		t.Errorf("the others must still be told: %+v", b)
	}
	for i := range uses {
		uses[i].Temperature = celsius + 5
	}
	if u, err = Compare(Small(), uses, Question{MeanLoss: 0.04}); err != nil {
		t.Fatal(err)
	}
	if !math.IsNaN(u.After) || !math.IsNaN(u.Mean.Loss) || !math.IsNaN(u.Mean.TimeRatio) || len(u.Mean.Outside) != 1 || !math.IsNaN(u.Batteries[0].TimeRatio) {
		t.Errorf("all cold: %+v, want NaN throughout and the reason", u)
	}
}

// TestUnevenUnused: a battery that is never cycled keeps all and never gets to
// the mean's loss.
func TestUnevenUnused(t *testing.T) {
	uses := worked()
	uses[1].PerDay = 0
	u, err := Compare(Small(), uses, Question{Time: 100 * day, CycleOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	if b := u.Batteries[1]; b.Loss != 0 || !math.IsInf(b.Time, 1) || !math.IsInf(b.TimeRatio, 1) {
		t.Errorf("unused battery: %+v, want no loss and no end", b)
	}
}

func TestUnevenErrors(t *testing.T) {
	idle := []Use{{ID: "A", Temperature: 300, SOC: 0.5}}
	bad := worked()
	bad[2].Depth = 2
	for _, c := range []struct {
		name, want string
		uses       []Use
		q          Question
	}{
		{"no batteries", "no batteries", nil, Question{MeanLoss: 0.2}},
		{"no question", "either", worked(), Question{}},
		{"two questions", "either", worked(), Question{MeanLoss: 0.1, Time: 1}},
		{"loss of all", "fraction", worked(), Question{MeanLoss: 1}},
		{"loss unknown", "fraction", worked(), Question{MeanLoss: math.NaN()}},
		{"negative time", "time", worked(), Question{Time: -1}},
		{"bad use", "battery C: depth", bad, Question{MeanLoss: 0.2}},
		{"never", "no battery is cycled", idle, Question{MeanLoss: 0.2, CycleOnly: true}},
		{"never, by time", "no battery is cycled", idle, Question{Time: day, CycleOnly: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Compare(Small(), c.uses, c.q); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
}
