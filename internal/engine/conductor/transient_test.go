package conductor

import (
	"math"
	"math/rand/v2"
	"testing"
)

func mustAfter(t *testing.T, cable Cable, p Place, current, start, time float64) float64 {
	t.Helper()
	k, err := After(cable, p, current, start, time)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func mustTime(t *testing.T, cable Cable, p Place, current, start, limit float64) float64 {
	t.Helper()
	s, err := TimeTo(cable, p, current, start, limit)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestAfterFine holds the walk against Runge–Kutta steps of half a second for a
// cable of copper alone, whose loss is looked up by bisection: another state
// (the conductor), another method, another search.
func TestAfterFine(t *testing.T) {
	cable, p := flexible(), Place{Ambient: c(30)}
	loss := func(conductor float64) float64 {
		low, high := p.Ambient, conductor
		for range 60 {
			x := (low + high) / 2
			q := math.Pi * cable.Outside * (filmOf(cable.Outside, x, p.Ambient, SeaLevel).coefficient*(x-p.Ambient) +
				0.9*5.670374e-8*(math.Pow(x, 4)-math.Pow(p.Ambient, 4)))
			if x+q*cable.InsulationResistance() < conductor {
				low = x
			} else {
				high = x
			}
		}
		return (conductor - low) / cable.InsulationResistance()
	}
	for _, row := range []struct{ current, start, seconds float64 }{
		{495, c(30), 600}, {330, c(60), 1500}, {0, c(105), 1500}, {150, c(105), 900},
	} {
		rate := func(k float64) float64 {
			return (row.current*row.current*cable.Resistance(k) - loss(k)) / cable.CopperHeat()
		}
		const h = 0.5
		k := row.start
		for range int(row.seconds / h) {
			a := rate(k)
			b := rate(k + h/2*a)
			d := rate(k + h/2*b)
			e := rate(k + h*d)
			k += h / 6 * (a + 2*b + 2*d + e)
		}
		near(t, "temperature", mustAfter(t, cable, p, row.current, row.start, row.seconds), k, 0.005)
	}
}

// radial is a cable as rings of insulation around an even conductor, in steps
// short enough for rings: nothing is lumped and no profile assumed.
func radial(cable Cable, p Place, current, start float64, seconds []float64) []float64 {
	const rings = 16
	inner, outer := cable.Conductor/2, cable.Outside/2
	thick := (outer - inner) / rings
	var heat, path [rings]float64 // heat capacity of a ring; resistance from its middle to the ring inside
	ring := [rings]float64{}
	for i := range rings {
		r := inner + thick*float64(i)
		heat[i] = cable.InsulationHeat * math.Pi * ((r+thick)*(r+thick) - r*r)
		from := math.Max(inner, r-thick/2)
		path[i] = cable.Resistivity / (2 * math.Pi) * math.Log((r+thick/2)/from)
		ring[i] = start
	}
	last := cable.Resistivity / (2 * math.Pi) * math.Log(outer/(outer-thick/2))
	copper, surface, now := start, start, 0.0
	var out []float64
	h := 0.2 * thick * thick * cable.Resistivity * cable.InsulationHeat
	for _, until := range seconds {
		for ; now < until; now += h {
			flow := (copper - ring[0]) / path[0]
			copper += h * (current*current*cable.Resistance(copper) - flow) / cable.CopperHeat()
			for i := range rings {
				next := (ring[i] - surface) / last
				if i < rings-1 {
					next = (ring[i] - ring[i+1]) / path[i+1]
				}
				ring[i] += h * (flow - next) / heat[i]
				flow = next
			}
			for range 3 { // the surface has no heat of its own
				film := filmOf(cable.Outside, surface, p.Ambient, SeaLevel).coefficient
				grey := cable.Emissivity * boltzmann * (surface + p.Ambient) * (surface*surface + p.Ambient*p.Ambient)
				g := math.Pi * cable.Outside * (film + grey)
				surface = (ring[rings-1]/last + g*p.Ambient) / (1/last + g)
			}
		}
		out = append(out, copper)
	}
	return out
}

// TestAfterRadial says how good the lump is, for a heating from the ambient to
// rest at some 1.5 times the rated current. While it warms, true insulation lags
// its profile at rest and takes less heat: the lump is up to 2 K too cool, never
// too hot, and takes 2 to 5 % longer to the limit (found: 2.4, 4.0, 2.8 %).
func TestAfterRadial(t *testing.T) {
	p := Place{Ambient: c(30)}
	two := flexible()
	two.InsulationHeat = HeatPVC
	for _, row := range []struct {
		name  string
		cable Cable
		amps  float64
	}{{"2/0", two, 495}, {"8 AWG", gauges[2].cable(), 120}, {"4/0", gauges[8].cable(), 670}} {
		var seconds []float64
		for s := 5.0; s <= 1500; s += 5 {
			seconds = append(seconds, s)
		}
		passed, limit, last := math.NaN(), c(105), p.Ambient
		worst := 0.0
		for i, want := range radial(row.cable, p, row.amps, c(30), seconds) {
			if math.IsNaN(passed) && want >= limit {
				passed = seconds[i] - 5*(want-limit)/(want-last)
			}
			last = want
			if i%12 > 0 { // each minute
				continue
			}
			off := mustAfter(t, row.cable, p, row.amps, c(30), seconds[i]) - want
			worst = math.Min(worst, off)
			if !(off >= -2.1 && off <= 0.01) {
				t.Errorf("%s after %g s: lump is %+.2f K off", row.name, seconds[i], off)
			}
		}
		late := mustTime(t, row.cable, p, row.amps, c(30), limit)/passed - 1
		t.Logf("%s: lump %+.2f K at the worst, %+.1f %% of the %.0f s to 105 °C", row.name, worst, 100*late, passed)
		if !(late >= 0.02 && late <= 0.05) {
			t.Errorf("%s: %.1f s to 105 °C, lump %+.1f %%", row.name, passed, 100*late)
		}
	}
}

// TestTimeQuadrature: as the lump's rate depends on nothing but its
// temperature, the time is also an integral over the temperature.
func TestTimeQuadrature(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	for range 20 {
		cable := someCable(rng)
		p := somePlace(rng, cable)
		start := p.Ambient + 20*rng.Float64()
		limit := start + 10 + 60*rng.Float64()
		amps := mustAmps(t, cable, p, limit) * (1.05 + rng.Float64())
		l, err := newLine(cable, p)
		if err != nil {
			t.Fatal(err)
		}
		low, high := l.outermost(start), l.outermost(limit)
		const parts = 400
		sum := 0.0
		for i := range parts { // midpoints
			sum += (high - low) / parts / l.rate(low+(high-low)*(float64(i)+0.5)/parts, amps)
		}
		got := mustTime(t, cable, p, amps, start, limit)
		near(t, "time", got, sum, 1e-3*sum)
		near(t, "temperature then", mustAfter(t, cable, p, amps, start, got), limit, 2e-3)
	}
}

// TestAfterProperties: no time changes nothing, endless time gives the rest,
// times add, and nothing overshoots.
func TestAfterProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 1))
	for range 20 {
		cable := someCable(rng)
		p := somePlace(rng, cable)
		amps := mustAmps(t, cable, p, p.Ambient+5+80*rng.Float64())
		rest := mustSteady(t, cable, p, amps)
		start := p.Ambient + 100*rng.Float64()
		near(t, "after no time", mustAfter(t, cable, p, amps, start, 0), start, 1e-6)
		near(t, "after a month", mustAfter(t, cable, p, amps, start, 30*86400), rest.Conductor, 2e-3)
		near(t, "without end", mustAfter(t, cable, p, amps, start, math.Inf(1)), rest.Conductor, 1e-9)
		first := rest.Tau * rng.Float64()
		middle := mustAfter(t, cable, p, amps, start, first)
		near(t, "in two parts", mustAfter(t, cable, p, amps, middle, rest.Tau), mustAfter(t, cable, p, amps, start, first+rest.Tau), 5e-3)
		if low, high := math.Min(start, rest.Conductor), math.Max(start, rest.Conductor); !(middle >= low-1e-6 && middle <= high+1e-6) {
			t.Errorf("from %g to %g K it passes %g K", start, rest.Conductor, middle)
		}
	}
}

// TestSmallRise: near the rest the approach is exp(−t·slope/heat capacity).
func TestSmallRise(t *testing.T) {
	cable, p := flexible(), Place{Ambient: c(40)}
	s := mustSteady(t, cable, p, 200)
	for _, seconds := range []float64{50, 200, 800} {
		want := s.Conductor + 0.5*math.Exp(-seconds*s.Slope/cable.CopperHeat())
		near(t, "temperature", mustAfter(t, cable, p, 200, s.Conductor+0.5, seconds), want, 1.5e-3) // of 0.5 K; the slope bends
	}
}

// TestFirstSecond: in a short the lump and the adiabatic law of the standards
// agree while no heat to speak of has left.
func TestFirstSecond(t *testing.T) {
	cable := flexible()
	cable.R20 = Resistivity20 / cable.Section
	for _, amps := range []float64{3000, 6000} {
		got := mustAfter(t, cable, Place{Ambient: c(30)}, amps, c(30), 1)
		want := CopperComputed.Final(cable.Section, amps, 1, c(30))
		near(t, "temperature", got, want, 0.01*(want-c(30)))
	}
}

// TestFuseRule answers what the 150 % rule of 33 CFR 183.455(c) allows: 2/0 of
// 105 °C insulation has 330 A in table 5, so that 495 A may flow without end. By
// physics it then comes to rest at 155 °C and passes 105 °C within 9 minutes.
func TestFuseRule(t *testing.T) {
	cable, p := flexible(), Place{Ambient: c(30)}
	cable.InsulationHeat = HeatPVC
	near(t, "rest", mustSteady(t, cable, p, 495).Conductor, c(155), 0.5)
	cold := mustTime(t, cable, p, 495, c(30), c(105))
	near(t, "time from cold", cold, 509, 1) // own value, kept; the integral and radial tests stand behind it
	if warm := mustTime(t, cable, p, 495, mustSteady(t, cable, p, 250).Conductor, c(105)); !(warm < cold) {
		t.Errorf("a warm cable takes %g s, a cold one %g s", warm, cold)
	}
	if s := mustTime(t, cable, p, 330, c(30), c(105)); !math.IsInf(s, 1) {
		t.Errorf("at its table current it passes its limit in %g s", s)
	}
}

func TestTransientEdges(t *testing.T) {
	cable, p := flexible(), Place{Ambient: c(30)}
	if s := mustTime(t, cable, p, 495, c(105), c(105)); s != 0 {
		t.Errorf("%g s from the limit to the limit", s)
	}
	if s := mustTime(t, cable, p, 0, c(30), c(105)); !math.IsInf(s, 1) {
		t.Errorf("%g s without current", s)
	}
	exact := mustAmps(t, cable, p, c(105))
	if s := mustTime(t, cable, p, exact*(1-1e-9), c(30), c(105)); !math.IsInf(s, 1) {
		t.Errorf("%g s at the current that the limit allows", s)
	}
	if k := mustAfter(t, cable, p, 9000, c(30), 3600); !math.IsInf(k, 1) {
		t.Errorf("9 kA for an hour: %g K", k)
	}
	if k := mustAfter(t, cable, p, 0, c(30), 1e9); k != c(30) {
		t.Errorf("at the ambient without current: %g K", k)
	}
	for _, bad := range []struct{ current, start, time float64 }{
		{math.NaN(), c(30), 1}, {1, c(29), 1}, {1, math.NaN(), 1}, {1, c(30), -1}, {1, c(30), math.NaN()}, {math.Inf(1), c(30), 1}, {1, 2000, 1},
	} {
		if k, err := After(cable, p, bad.current, bad.start, bad.time); err == nil {
			t.Errorf("%+v: no error, but %g K", bad, k)
		}
	}
	for _, limit := range []float64{math.NaN(), 0, 1400} {
		if s, err := TimeTo(cable, p, 1, c(30), limit); err == nil {
			t.Errorf("limit %g K: no error, but %g s", limit, s)
		}
	}
	if _, err := After(Cable{}, p, 1, c(30), 1); err == nil {
		t.Error("no error for no cable")
	}
	if _, err := TimeTo(Cable{}, p, 1, c(30), c(100)); err == nil {
		t.Error("no error for no cable")
	}
}

// TestInner sums the mean of the logarithmic profile over the insulation.
func TestInner(t *testing.T) {
	for _, ratio := range []float64{1.0005, 1.01, 1.27, 2, 5} {
		const rings = 20000
		sum := 0.0
		for i := range rings {
			r := 1 + (ratio-1)*(float64(i)+0.5)/rings
			sum += math.Log(ratio/r) / math.Log(ratio) * 2 * r * (ratio - 1) / rings
		}
		near(t, "mean", Cable{Conductor: 1, Outside: ratio}.inner(), sum/(ratio*ratio-1), 1e-4)
	}
}
