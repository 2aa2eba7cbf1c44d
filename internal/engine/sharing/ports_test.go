package sharing

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/model/bank"
)

// TestPortsAgree compares the response with whole snapshots of random banks,
// with random batteries out.
func TestPortsAgree(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 1))
	eachRandom(t, 7, false, func(t *testing.T, _ *rand.Rand, b *bank.Bank) {
		n := len(b.Batteries)
		resistance, in := make([]float64, n), make([]bool, n)
		for i := range n {
			b.Batteries[i].Off = rnd.IntN(4) == 0
			in[i] = !b.Batteries[i].Off
			resistance[i] = float64(b.Batteries[i].Resistance.V)
		}
		ports, err := NewPorts(b, 293.15)
		if err != nil {
			t.Fatal(err)
		}
		r, err := ports.Solve(resistance, in)
		if err != nil {
			t.Fatal(err)
		}
		draw := -200 + 400*rnd.Float64()
		c := amps(draw)
		c.CableTemperature.V = 293.15
		s, err := Solve(b, c)
		if r.Carries != (err == nil) {
			t.Fatalf("carries %v, the snapshot says %v", r.Carries, err)
		}
		if !r.Carries {
			return
		}
		volts := -r.Resistance * draw
		scale := 1 + largest(r.Current)*20
		for i := range n {
			current, posts := r.PerDraw[i]*draw, r.PostsPerDraw[i]*draw
			for j := range n {
				current += r.Current[i*n+j] * float64(b.Batteries[j].EMF.V)
				posts += r.Posts[i*n+j] * float64(b.Batteries[j].EMF.V)
				if d := r.Current[i*n+j] - r.Current[j*n+i]; math.Abs(d) > 1e-9*math.Abs(r.Current[i*n+i])+1e-9 {
					t.Fatalf("not reciprocal, %g", d)
				}
			}
			volts += r.Voltage[i] * float64(b.Batteries[i].EMF.V)
			if math.Abs(current-s.Batteries[i].Current) > 1e-9*scale || math.Abs(posts-s.Batteries[i].Voltage) > 1e-9*scale || math.IsNaN(posts) != math.IsNaN(s.Batteries[i].Voltage) {
				t.Fatalf("battery %d: %g A %g V, not %g A %g V", i, current, posts, s.Batteries[i].Current, s.Batteries[i].Voltage)
			}
			if in[i] && math.Abs(r.PerDraw[i]-r.Voltage[i]) > 1e-12 {
				t.Fatalf("per draw %g, voltage %g: not reciprocal", r.PerDraw[i], r.Voltage[i])
			}
		}
		if math.Abs(volts-s.Voltage) > 1e-8 {
			t.Fatalf("take-off %g V, not %g", volts, s.Voltage)
		}
	})
}
