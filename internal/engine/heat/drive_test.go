package heat

import (
	"math"
	"testing"
)

// steadyHours gives the same hour n times.
func steadyHours(n int, h Hour) func(int) (Hour, bool) {
	return func(k int) (Hour, bool) { return h, k < n }
}

// A heater on one body cycles as the closed form says: T10 of the reference, on
// 92.26 min of 188.31; the looks are 10 s apart, so each turn is late by half of
// that at most.
func TestThermostatCycles(t *testing.T) {
	p := Plant{Net: Net{Capacity: []float64{56.4e3}, Ties: []Tie{{0, 0, 1.2}}, Places: 1}, Step: 10,
		Heaters: []Heater{{On: 3 + zero, Off: 6 + zero, Watts: 60, Share: map[int]float64{0: 1}}}}
	given, least, most := 0.0, math.Inf(1), 0.0
	const hours = 400
	err := p.Run([]float64{4 + zero}, steadyHours(hours, Hour{[]float64{-20 + zero}, []float64{0}}), func(n int, past Past) bool {
		given += past.Heaters[0]
		least, most = math.Min(least, past.Least[0]), math.Max(most, past.Most[0])
		return true
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "part of the time on", given/(60*3600*hours), 0.4900, 4e-3)
	near(t, "least", least-zero, 3, 0.02)
	near(t, "most", most-zero, 6, 0.02)
}

// A fan holds a box of constant heat between its two temperatures; without it
// the box goes to its steady state.
func TestFanRuns(t *testing.T) {
	net := Net{Capacity: []float64{5e3}, Ties: []Tie{{0, 0, 1}}, Places: 1}
	in := Hour{[]float64{300}, []float64{30}}
	last := func(p *Plant) (end, ran float64) {
		if err := p.Run([]float64{300}, steadyHours(48, in), func(_ int, past Past) bool {
			end = past.End[0]
			if len(past.Fans) > 0 {
				ran += past.Fans[0]
			}
			return true
		}); err != nil {
			t.Fatal(err)
		}
		return end, ran
	}
	end, _ := last(&Plant{Net: net})
	near(t, "without", end, 330, 1e-3)
	end, ran := last(&Plant{Net: net, Fans: []Fan{{On: 315, Off: 310, G: 9}}})
	if end > 315.5 || end < 309.5 {
		t.Errorf("with the fan it ends at %g", end)
	}
	if !(ran > 0 && ran < 48*3600) {
		t.Errorf("the fan ran %g s", ran)
	}
}

// With a vent the box is cooler than without, and a larger vent cools more.
func TestVentCools(t *testing.T) {
	end := func(area float64) float64 {
		p := Plant{Net: Net{Capacity: []float64{5e3}, Ties: []Tie{{0, 0, 1}}, Places: 1}}
		if area > 0 {
			p.Vents = []Vent{{0, 0, []Opening{{area, 0.05}, {area, 0.4}}}}
		}
		last := 0.0
		if err := p.Run([]float64{300}, steadyHours(48, Hour{[]float64{300}, []float64{30}}), func(_ int, past Past) bool { last = past.End[0]; return true }); err != nil {
			t.Fatal(err)
		}
		return last
	}
	closed, small, large := end(0), end(10e-4), end(40e-4)
	if !(closed > small+1 && small > large+1 && large > 300) {
		t.Errorf("closed %g, small %g, large %g", closed, small, large)
	}
	// In balance what the wall and the draught carry is what goes in; the grades
	// of the draught are 5 % apart.
	carried := (small - 300) * (1 + Flow(Draught([]Opening{{10e-4, 0.05}, {10e-4, 0.4}}, small, 300)))
	near(t, "balance", carried, 30, 1)
}

func TestPlantRefuses(t *testing.T) {
	net := Net{Capacity: []float64{5e3}, Ties: []Tie{{0, 0, 1}}, Places: 1}
	for name, p := range map[string]Plant{
		"thermostat the wrong way round": {Net: net, Heaters: []Heater{{On: 280, Off: 279, Watts: 10, Share: map[int]float64{0: 1}}}},
		"heat that goes nowhere":         {Net: net, Heaters: []Heater{{On: 278, Off: 279, Watts: 10}}},
		"half of the heat lost":          {Net: net, Heaters: []Heater{{On: 278, Off: 279, Watts: 10, Share: map[int]float64{0: 0.5}}}},
		"fan the wrong way round":        {Net: net, Fans: []Fan{{On: 300, Off: 301, G: 1}}},
		"fan to nowhere":                 {Net: net, Fans: []Fan{{On: 300, Off: 299, Place: 3, G: 1}}},
		"vent to nowhere":                {Net: net, Vents: []Vent{{Place: 2}}},
	} {
		if err := p.Run([]float64{290}, steadyHours(1, Hour{[]float64{280}, []float64{0}}), func(int, Past) bool { return true }); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	p := Plant{Net: net}
	if err := p.Run(nil, steadyHours(1, Hour{}), func(int, Past) bool { return true }); err == nil {
		t.Error("no start passes")
	}
}

func BenchmarkYear(b *testing.B) {
	p := Plant{Net: row(), Heaters: []Heater{{Sense: 1, On: 276, Off: 279, Watts: 60, Share: map[int]float64{4: 1}}}}
	start := []float64{290, 290, 290, 290, 290}
	for range b.N {
		if err := p.Run(start, steadyHours(8760, Hour{[]float64{263}, []float64{0, 0, 0, 0, 0}}), func(int, Past) bool { return true }); err != nil {
			b.Fatal(err)
		}
	}
}
