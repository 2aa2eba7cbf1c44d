package sky

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
)

// year is a climate's year; a refusal ends the test.
func year(t *testing.T, c Climate) Hours {
	t.Helper()
	y, err := c.Year()
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// kelvins gives a column of temperatures as numbers.
func kelvins(h Hours) []float64 {
	out := make([]float64, h.Len())
	for i, t := range h.Temperature {
		out[i] = float64(t)
	}
	return out
}

// extremes gives the means over each month of the days' lows and highs.
func extremes(h Hours) (low, high [12]float64) {
	for d := range DaysInYear {
		l, u := math.Inf(1), math.Inf(-1)
		for _, t := range h.Temperature[d*24 : d*24+24] {
			l, u = min(l, float64(t)), max(u, float64(t))
		}
		m := MonthOf(d + 1)
		low[m] += l / float64(lengths[m])
		high[m] += u / float64(lengths[m])
	}
	return low, high
}

// TestYearHoldsMonths: highs, lows and sun of every month come back from the
// hours, to 1e-9 of the figure.
func TestYearHoldsMonths(t *testing.T) {
	c := seattleClimate(false)
	y := year(t, c)
	if err := y.Check(); err != nil {
		t.Error(err)
	}
	low, high := extremes(y)
	sun, err := y.Months(y.Global)
	if err != nil {
		t.Fatal(err)
	}
	for m, month := range c.Months {
		near(t, names[m]+" low", low[m], float64(month.Low), 3e-7)
		near(t, names[m]+" high", high[m], float64(month.High), 3e-7)
		near(t, names[m]+" sun", sun[m]*86400, month.Sun, 1e-9*month.Sun)
	}
	// With the mean given it is held, and so is the range.
	c = seattleClimate(true)
	y = year(t, c)
	mean, _ := y.Months(kelvins(y))
	low, high = extremes(y)
	for m, month := range c.Months {
		near(t, names[m]+" mean", mean[m], float64(month.Mean), 3e-7)
		near(t, names[m]+" range", high[m]-low[m], float64(month.High-month.Low), 3e-7)
		near(t, names[m]+" low moves by tenths", low[m], float64(month.Low), 0.5)
	}
}

// TestYearHoldsAnything: the same for made-up months at every latitude, with
// polar nights, and diffuse given in some.
func TestYearHoldsAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for n := range 25 {
		c := Climate{Place: Sundial((r.Float64() - 0.5) * math.Pi)}
		if n < 2 { // the poles
			c.Place.Latitude = []float64{-math.Pi / 2, math.Pi / 2}[n]
		}
		outside := monthsOutside(c.Place.Latitude)
		for i := range c.Months {
			low := 230 + 60*r.Float64()
			m := Month{Low: quantity.Temperature(low), High: quantity.Temperature(low + 20*r.Float64()), Sun: outside[i] * 0.8 * r.Float64()}
			if i%3 == 0 {
				m.Diffuse = m.Sun * r.Float64()
			}
			c.Months[i] = m
		}
		y := year(t, c)
		global, _ := y.Months(y.Global)
		mean, _ := y.Months(kelvins(y))
		for i, m := range c.Months {
			near(t, "sun", global[i]*86400, m.Sun, 1e-9*(m.Sun+1))
			near(t, "mean", mean[i], float64(m.Low)+float64(m.High-m.Low)*meanDay.mean, 3e-7)
		}
		for i := range y.Global {
			if !(y.Global[i] >= 0 && y.Diffuse[i] >= 0 && y.Diffuse[i] <= y.Global[i]) {
				t.Fatalf("hour %d: diffuse %v of %v", i, y.Diffuse[i], y.Global[i])
			}
		}
	}
}

// TestNoSteps: a month's end is no place where more changes than elsewhere.
func TestNoSteps(t *testing.T) {
	days, err := seattleClimate(false).Days()
	if err != nil {
		t.Fatal(err)
	}
	ends := map[int]bool{}
	for _, e := range monthEdges() {
		ends[e%DaysInYear] = true
	}
	var inside, atEnd [2]float64
	for i := range days {
		last := days[(i+DaysInYear-1)%DaysInYear]
		k := func(d Day, day int) float64 { return d.Global / On(day).Outside(47.53*degree) }
		steps := [2]float64{
			math.Abs(float64(days[i].Mean - last.Mean)),
			math.Abs(k(days[i], i+1) - k(last, dayOf(i))),
		}
		for j, s := range steps {
			if ends[i] {
				atEnd[j] = max(atEnd[j], s)
			} else {
				inside[j] = max(inside[j], s)
			}
		}
	}
	if !(atEnd[0] <= 1.05*inside[0] && atEnd[0] < 0.25) {
		t.Errorf("temperature steps by %.3f K at a month's end, %.3f within months", atEnd[0], inside[0])
	}
	if !(atEnd[1] <= 1.05*inside[1]) {
		t.Errorf("clearness steps by %.5f at a month's end, %.5f within months", atEnd[1], inside[1])
	}
}

// TestSmoothSine: the means of a sine over unequal stretches give the sine
// back, to 0.3 % of its swing over twelve months; straight lines between
// mid-month values miss it by 3 %.
func TestSmoothSine(t *testing.T) {
	const n = 365.0
	edges, mean := []float64{0}, []float64(nil)
	sum := func(x float64) float64 { return -math.Cos(x/n*turn) * n / turn }
	months := monthEdges()
	for _, e := range months[1:] {
		last := edges[len(edges)-1]
		edges = append(edges, float64(e))
		mean = append(mean, (sum(float64(e))-sum(last))/(float64(e)-last))
	}
	r := smooth(edges, mean)
	for x := 0.0; x < n; x++ {
		near(t, "sine", r.over(x, x+1), math.Sin((x+0.5)/n*turn), 0.003)
	}
	one := smooth([]float64{0, 5}, []float64{3})
	near(t, "one stretch is flat", one.over(1, 2), 3, 1e-12)
	spike := smooth([]float64{0, 1, 2, 3}, []float64{0, 0, 9}).positive()
	for x := 0.0; x < 3; x += 0.1 {
		if v := spike.over(x, x+0.1); v < -1e-12 {
			t.Errorf("course falls to %v", v)
		}
	}
	near(t, "mean of the spike", spike.over(2, 3), 9, 1e-12)
}

// rms is how far a profile is from a mean day, given that day's low, high and
// mean, or only its high and range.
func rms(p profile, d day24, byMean bool) float64 {
	low, high, mean := d.hour[0], d.hour[0], 0.0
	for _, t := range d.hour {
		low, high, mean = min(low, t), max(high, t), mean+t/24
	}
	base := low
	if byMean {
		base = mean - (high-low)*p.mean
	}
	sum := 0.0
	for i, t := range d.hour {
		off := base + (high-low)*p.part[i] - t
		sum += off * off / 24
	}
	return math.Sqrt(sum)
}

// TestProfiles: fit to mean days of typical years and normals, rms in K. The
// rows of Phoenix and Duluth are the project's reference's figures (B4); the
// others state what was found here: in all, 6 to 17 % of the day's range. (The
// reference took the published curve unstretched, hence 0.03.)
func TestProfiles(t *testing.T) {
	for i, want := range []struct{ erbs, design float64 }{
		{0.88, 1.47}, {0.74, 1.36}, {0.82, 1.11}, {1.35, 1.2}, {1.1, 0.8}, {0.40, 0.45}, {0.85, 1.05},
	} {
		d := meanDays[i]
		if i < 3 {
			near(t, d.name+", mean day", rms(meanDay, d, true), want.erbs, 0.03)
			near(t, d.name+", design day", rms(designDay, d, false), want.design, 0.02)
			continue
		}
		if got := rms(meanDay, d, true); got > want.erbs {
			t.Errorf("%s: mean day off by %.2f K, want under %.2f", d.name, got, want.erbs)
		}
		if got := rms(designDay, d, false); got > want.design {
			t.Errorf("%s: design day off by %.2f K, want under %.2f", d.name, got, want.design)
		}
	}
	for _, p := range []profile{meanDay, designDay} {
		low, high := 2.0, -1.0
		for _, v := range p.part {
			low, high = min(low, v), max(high, v)
		}
		near(t, "low", low, 0, 0)
		near(t, "high", high, 1, 0)
	}
}

// TestDesignDay: the project's reference, T6: high 43.4 °C, range 12 K.
func TestDesignDay(t *testing.T) {
	h := newHours(0, 24)
	h.setTemperature(0, Day{High: celsius(43.4), Mean: celsius(31.4 + 12*designDay.mean)}.ranged(12), designDay)
	mean := 0.0
	for i, v := range h.Temperature {
		mean += float64(v) / 24
		if want, ok := map[int]float64{5: 31.4, 8: 34.52, 14: 43.4, 15: 43.4}[i+1]; ok {
			near(t, "hour", float64(v)-273.15, want, 1e-9)
		}
	}
	near(t, "mean", mean-273.15, 36.965, 1e-9)
}

// ranged sets the low a range below the high.
func (d Day) ranged(by float64) Day {
	d.Low = d.High - quantity.Temperature(by)
	return d
}

func TestClimateCheck(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Climate)
		want   string
	}{
		"place":             {func(c *Climate) { c.Place.Latitude = 3 }, "latitude"},
		"swapped":           {func(c *Climate) { c.Months[1].Low, c.Months[1].High = 290, 280 }, "February: mean low"},
		"celsius as kelvin": {func(c *Climate) { c.Months[6].High = 24 }, "July: -249.1 °C"},
		"no number":         {func(c *Climate) { c.Months[0].Low = quantity.Temperature(math.NaN()) }, "no air on earth"},
		"mean outside":      {func(c *Climate) { c.Months[0].Mean = celsius(20) }, "not between"},
		"sun below 0":       {func(c *Climate) { c.Months[0].Sun = -1 }, "0 or more"},
		"sun too much":      {func(c *Climate) { c.Months[11].Sun = 5 * 1000 * WattHour }, "December: 5 kWh/m²"},
		"diffuse over it":   {func(c *Climate) { c.Months[5].Diffuse = 1e9 }, "diffuse"},
	} {
		t.Run(name, func(t *testing.T) {
			m := seattleClimate(false)
			c.change(&m)
			if _, err := m.Year(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error that says %q", err, c.want)
			}
			if _, err := m.Light(1, 1); err == nil {
				t.Error("a day of it must be refused too")
			}
			if _, err := m.Spell(Week(10, celsius(-20))); err == nil {
				t.Error("a spell of it must be refused too")
			}
		})
	}
}

// TestDullDay: a day's share of the sun, its hours and its diffuse part.
func TestDullDay(t *testing.T) {
	c := seattleClimate(false)
	days, _ := c.Days()
	for _, share := range []float64{0, 0.1, 0.5, 1, 1.2} {
		l, err := c.Light(172, share)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sum", Sum(l.Global), share*days[171].Global, 1e-6)
	}
	dull, _ := c.Light(355, 0.2)
	near(t, "a very dull day is all diffuse", Sum(dull.Diffuse)/Sum(dull.Global), 1, 0.02)
	fine, _ := c.Light(172, 1.5)
	if part := Sum(fine.Diffuse) / Sum(fine.Global); !(part < 0.4) {
		t.Errorf("a fine day is %.2f diffuse, want mostly beam", part)
	}
	same, _ := c.Light(172+365, 0.5)
	half, _ := c.Light(172, 0.5)
	if same != half {
		t.Error("the same day a year on must be the same")
	}
	for _, share := range []float64{-0.1, 3, math.NaN(), math.Inf(1)} {
		if _, err := c.Light(172, share); err == nil {
			t.Errorf("share %v: want an error", share)
		}
	}
}

// TestSeattleDays: what was laid through twelve monthly means against the daily
// normals that they are the means of: within 0.4 K on every tenth day, the
// normals' own wiggles, 0.16 K on the mean; monthly steps would be 2 K off.
func TestSeattleDays(t *testing.T) {
	days, err := seattleClimate(true).Days()
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i, want := range seattleDays {
		got := float64(days[5+10*i].Mean) - 273.15
		near(t, "day", got, want, 0.4)
		sum += math.Abs(got-want) / 36
	}
	near(t, "mean miss", sum, 0, 0.16)
}

func TestUnsure(t *testing.T) {
	for i, want := range [][]int{nil, nil, {0, 1, 9, 10, 11}} {
		c := stations[i].climate()
		got := c.Unsure()
		if !slices.Equal(got, want) {
			t.Errorf("%s: months %v, want %v", stations[i].name, got, want)
		}
		for _, m := range got {
			c.Months[m].Diffuse = stations[i].diffuse[m] * WattHour
		}
		if left := c.Unsure(); left != nil {
			t.Errorf("%s: months %v are still unsure with their diffuse given", stations[i].name, left)
		}
	}
	dull := stations[0].climate()
	dull.Months[5].Sun *= 0.5
	if got := dull.Unsure(); !slices.Equal(got, []int{5}) {
		t.Errorf("a clearness of 0.27: months %v, want June", got)
	}
}

// TestDiffuseGiven: a month's own diffuse figure is held.
func TestDiffuseGiven(t *testing.T) {
	for _, s := range stations {
		c := s.climate()
		for i := range c.Months {
			c.Months[i].Diffuse = s.diffuse[i] * WattHour
		}
		y := year(t, c)
		got, _ := y.Months(y.Diffuse)
		for m := range 12 {
			near(t, s.name+" "+names[m], got[m]*24, s.diffuse[m], 0.002*s.diffuse[m])
		}
	}
}
