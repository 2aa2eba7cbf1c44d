package assess

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"bankwright/internal/read/assemble"
)

// TestLeastCopper: where a lead's drop governs, no other set of sizes on offer
// that passes takes less copper than the one chosen, and a short lead is never
// thicker than all longer ones: every set with less that keeps to it is tried.
func TestLeastCopper(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 183))
	for n := range 6 {
		short, out, back := 0.1+0.3*rng.Float64(), 1+5*rng.Float64(), 1+5*rng.Float64()
		text := fmt.Sprintf(`bankwright: 1
show: {wire: AWG}
practice: {book: marine, ambient: 30 °C}
battery_types: {block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V}}
batteries: [{id: B1, type: block}]
parts:
  - {id: D1, kind: breaker, rating: %d A, interrupt: 5 kA, volts: 32 V, resistance: 0.1 mΩ}
  - {id: I1, kind: inverter, power: %.0f W, efficiency: 90 %%}
cables:
  - {id: W1, from: B1+, to: D1.a, length: %.0f mm, insulation: 105 °C}
  - {id: W2, from: D1.b, to: I1.a, length: %.0f mm, insulation: 105 °C}
  - {id: W3, from: I1.b, to: B1-, length: %.0f mm, insulation: 105 °C}
takeoff: {positive: B1+, negative: B1-}
`, []int{20, 40}[n%2], 80+120*rng.Float64(), 1000*short, 1000*out, 1000*back)
		j, err := load(assemble.ReadUnsized, "lead.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		c := newChooser(j)
		if err := c.settle(); err != nil {
			t.Fatal(err)
		}
		best, tried := c.copper(c.at), 0
		st, least := alone(t, c)
		if !c.even(st, c.at, least) || c.at[0] > least[0] && c.at[0] > max(c.at[1], c.at[2]) {
			t.Errorf("%d: the short lead is the thickest: %v", n, c.at)
		}
		for k := range len(c.sizes) * len(c.sizes) * len(c.sizes) {
			at := []int{k % len(c.sizes), k / len(c.sizes) % len(c.sizes), k / len(c.sizes) / len(c.sizes)}
			if c.copper(at) >= best/overSlack || !c.even(st, at, least) {
				continue
			}
			tried++
			if why := fails(t, c, at); why == "" {
				t.Errorf("%d: %v of %.3g m³ passes, chosen are %v of %.3g m³\n%s", n, at, c.copper(at), c.at, best, text)
			}
		}
		if why := fails(t, c, c.at); why != "" || tried == 0 {
			t.Errorf("%d: chosen are %v: %s; %d tried", n, c.at, why, tried)
		}
	}
}

// fails says what a set of sizes fails, "" nothing.
func fails(t *testing.T, c *chooser, at []int) string {
	t.Helper()
	st, err := c.state(at)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range st.overs() {
		if f.over > overSlack {
			return f.why
		}
	}
	for n := range c.open {
		if why := c.own(st, n, at[n]); why != "" {
			return why
		}
	}
	return ""
}

// alone gives what each open cable needs by itself, whatever is lost on the way.
func alone(t *testing.T, c *chooser) (*state, []int) {
	t.Helper()
	st, err := c.state(c.at)
	if err != nil {
		t.Fatal(err)
	}
	var least []int
	for n := range c.open {
		least = append(least, c.smallest(st, n))
	}
	return st, least
}
