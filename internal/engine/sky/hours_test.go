package sky

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

func TestSpell(t *testing.T) {
	c := seattleClimate(false)
	days, _ := c.Days()
	for _, s := range []Spell{
		Week(20, celsius(-15)), Week(205, celsius(40)), Week(1, celsius(-30)), Week(364, celsius(-5)),
		{Middle: 30, Days: 1, Hold: 1, Extreme: celsius(-10), Sun: 0.5},
		{Middle: 30, Days: 14, Hold: 0, Extreme: celsius(-10), Sun: 0},
		{Middle: 200, Days: 2, Hold: 2, Extreme: celsius(45), Sun: 1.1},
	} {
		h, err := c.Spell(s)
		if err != nil {
			t.Fatal(err)
		}
		if err := h.Check(); err != nil || h.Len() != s.Days*24 || h.Start%24 != 0 {
			t.Fatalf("%d hours from %d: %v", h.Len(), h.Start, err)
		}
		if first := s.Middle - s.Days/2; h.Start != (dayOf(first)-1)*24 {
			t.Errorf("begins at hour %d, want day %d", h.Start, first)
		}
		low, high, at := h.Temperature[0], h.Temperature[0], 0
		for i, v := range h.Temperature {
			if v < low && s.Extreme < 283 || v > high && s.Extreme > 300 {
				at = i
			}
			low, high = min(low, v), max(high, v)
		}
		if got := map[bool]quantity.Temperature{true: low, false: high}[s.Extreme < 283]; got != s.Extreme {
			t.Errorf("extreme %v, want %v exactly", got, s.Extreme)
		}
		if middle := float64(at)/24 - float64(s.Days)/2; math.Abs(middle) > float64(s.Hold)/2+1 {
			t.Errorf("extreme %.1f days from the middle", middle)
		}
		if s.Hold < s.Days && s.Days > 2 { // the ends meet the mean days
			day := days[h.Start/24]
			usual := float64(day.Low) + float64(day.High-day.Low)*designDay.part[0]
			near(t, "first hour", float64(h.Temperature[0]), usual, 0.2)
		}
		sum := 0.0
		for i := range h.Global {
			sum += h.Global[i] * hour
		}
		want := 0.0
		for i := range s.Days {
			want += s.Sun * days[(h.Start/24+i)%365].Global
		}
		near(t, "sun", sum, want, 1e-9*want+1e-9)
	}
	for name, s := range map[string]Spell{
		"mild": Week(20, celsius(5)), "no days": {Middle: 1, Extreme: celsius(-9)}, "too long": {Days: 61, Extreme: celsius(-9)},
		"hold": {Days: 3, Hold: 4, Extreme: celsius(-9)}, "extreme": Week(20, 0), "extreme no number": Week(20, quantity.Temperature(math.NaN())),
		"sun": {Middle: 20, Days: 3, Extreme: celsius(-9), Sun: 9},
	} {
		if _, err := c.Spell(s); err == nil {
			t.Errorf("%s: want an error", name)
		}
	}
}

func TestPart(t *testing.T) {
	y := year(t, seattleClimate(false))
	w, err := y.Week(363)
	if err != nil || w.Len() != 168 || w.Start != 362*24 {
		t.Fatalf("week of %d hours from %d: %v", w.Len(), w.Start, err)
	}
	if w.Temperature[5*24] != y.Temperature[2*24] || w.Global[3*24+12] != y.Global[12] {
		t.Error("a week over the year's end goes on at its beginning")
	}
	w.Temperature[0] = 1
	if y.Temperature[362*24] == 1 {
		t.Error("a part must be a copy")
	}
	part, _ := y.Stretch(100, 20)
	if again, err := part.Week(110); err != nil || again.Temperature[0] != y.Temperature[109*24] {
		t.Errorf("a week out of a part: %v", err)
	}
	for name, try := range map[string]func() error{
		"before the part": func() error { _, err := part.Week(95); return err },
		"over its end":    func() error { _, err := part.Week(115); return err },
		"nothing":         func() error { _, err := y.Part(0, 0); return err },
		"more than a year": func() error {
			_, err := y.Part(0, 8761)
			return err
		},
		"below": func() error { _, err := y.Part(-1, 5); return err },
	} {
		if try() == nil {
			t.Errorf("%s: want an error", name)
		}
	}
}

// TestColdest compares with a search over every run of days, and its answer
// with where a cold snap was put.
func TestColdest(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	y := year(t, seattleClimate(false))
	for i := range y.Temperature {
		y.Temperature[i] += quantity.Temperature(r.NormFloat64() * 3)
	}
	for _, n := range []int{1, 3, 7} {
		best, want := math.Inf(1), 0
		for d := range 365 {
			sum := 0.0
			for i := range n * 24 {
				sum += float64(y.Temperature[(d*24+i)%8760])
			}
			if sum < best {
				best, want = sum, d+1
			}
		}
		if got, err := y.Coldest(n); err != nil || got != want {
			t.Errorf("coldest %d days from day %d, want %d (%v)", n, got, want, err)
		}
	}
	for i := range 3 * 24 {
		y.Temperature[(364*24+i)%8760] = 200
		y.Temperature[180*24+i] = 320
	}
	if got, _ := y.Coldest(3); got != 365 {
		t.Errorf("coldest from day %d, want 365: it runs over the year's end", got)
	}
	if got, _ := y.Hottest(3); got != 181 {
		t.Errorf("hottest from day %d, want 181", got)
	}
	dark, err := y.Darkest(7)
	if err != nil || !(dark >= 340 && dark <= 360) {
		t.Errorf("darkest week from day %d: %v", dark, err)
	}
	dim, _ := y.Dim(seattleClimate(false).Place, 100, 7, 0.05)
	if got, _ := dim.Darkest(7); got != 100 {
		t.Errorf("darkest week from day %d, want the dimmed one at 100", got)
	}
	// A part from noon on: only its whole days count.
	part, _ := y.Part(9*24+12, 5*24)
	if got, err := part.Coldest(4); err != nil || got != 11 {
		t.Errorf("four whole days from day %d: %v", got, err)
	}
	if _, err := part.Coldest(5); err == nil {
		t.Error("five whole days are not in it")
	}
	if _, err := (Hours{Temperature: y.Temperature}).Darkest(1); err == nil {
		t.Error("no sun: want an error")
	}
}

func TestDim(t *testing.T) {
	c := seattleClimate(false)
	y := year(t, c)
	d, err := y.Dim(c.Place, 364, 4, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	sum := func(h Hours, day int) (g, f float64) {
		for i := range 24 {
			g, f = g+h.Global[day*24+i], f+h.Diffuse[day*24+i]
		}
		return g, f
	}
	for day := range 365 {
		was, _ := sum(y, day)
		is, diffuse := sum(d, day)
		if day <= 1 || day >= 363 {
			near(t, "dimmed day", is, 0.2*was, 1e-9*was)
			near(t, "is nearly all diffuse", diffuse, is, 0.02*is)
		} else if is != was {
			t.Fatalf("day %d must stay as it was", day+1)
		}
	}
	for i := range y.Temperature {
		if y.Temperature[i] != d.Temperature[i] {
			t.Fatal("temperatures must stay")
		}
	}
	if _, err := (Hours{Temperature: y.Temperature}).Dim(c.Place, 1, 1, 0.5); err == nil {
		t.Error("no sun: want an error")
	}
	week, _ := y.Week(50)
	if _, err := week.Dim(c.Place, 55, 3, 0.5); err == nil {
		t.Error("days beyond the series: want an error")
	}
	if _, err := week.Dim(c.Place, 51, 1, -1); err == nil {
		t.Error("share below 0: want an error")
	}
	own := Hours{Start: week.Start, Temperature: week.Temperature, Global: week.Global}
	got, err := own.Dim(c.Place, 51, 2, 0.5)
	if err != nil || len(got.Diffuse) != 168 || got.Check() != nil {
		t.Errorf("a series without a diffuse column: %v", err)
	}
}

// TestOnYear: a series by hours, by parts of it and by days gives the same.
func TestOnYear(t *testing.T) {
	c := seattleClimate(false)
	y := year(t, c)
	level := y.On(c.Place, Level())
	for i := range level {
		near(t, "on level ground", level[i], y.Global[i], 1e-9*1000)
	}
	roof := Plane{Tilt: 50 * degree, Azimuth: 200 * degree, Reflectance: BareGround}
	all := y.On(c.Place, roof)
	part, _ := y.Part(50*24+7, 40)
	for i, v := range part.On(c.Place, roof) {
		near(t, "part", v, all[50*24+7+i], 1e-12)
	}
	days, _ := c.Days()
	one := c.Place.On(60, c.Place.Spread(60, days[59].Global, days[59].Diffuse), roof)
	for i, v := range one {
		near(t, "day", v, all[59*24+i], 1e-12)
	}
	own := Hours{Start: y.Start, Temperature: y.Temperature, Global: y.Global}
	split := own
	split.Diffuse = own.Split(c.Place)
	if got, want := own.On(c.Place, roof), split.On(c.Place, roof); !slices.Equal(got, want) {
		t.Error("without a diffuse column the split one counts")
	}
	sun, _ := y.Months(all)
	flat, _ := y.Months(y.Global)
	if !(sun[11] > 1.3*flat[11] && sun[5] < flat[5]) {
		t.Errorf("a steep roof to the south gets %.0f of %.0f W/m² in December, %.0f of %.0f in June", sun[11], flat[11], sun[5], flat[5])
	}
	if (Hours{Temperature: y.Temperature}).On(c.Place, roof) != nil {
		t.Error("no sun gives no sun")
	}
}

// TestSplit: a clear hour is mostly beam, a dull one diffuse, a night's odd
// reading all diffuse.
func TestSplit(t *testing.T) {
	c := seattleClimate(false)
	y := year(t, c)
	h := Hours{Start: 171 * 24, Temperature: y.Temperature[:24], Global: make([]float64, 24)}
	h.Global[12], h.Global[10], h.Global[1] = 950, 60, 3
	d := h.Split(c.Place)
	near(t, "clear hour", d[12]/950, 0.19, 0.05)
	near(t, "dull hour", d[10]/60, 0.99, 0.02)
	near(t, "night", d[1], 3, 0)
	near(t, "nothing", d[15], 0, 0)
	if (Hours{Temperature: y.Temperature}).Split(c.Place) != nil {
		t.Error("no sun gives no diffuse")
	}
	// Mean days, of one middling clearness all day, come out duller by it than
	// the month's mix of clear and dull days: why it is not used for them.
	split := Hours{Global: y.Split(c.Place)}
	a, _ := y.Months(split.Global)
	b, _ := y.Months(y.Diffuse)
	for m := range 12 {
		if ratio := a[m] / b[m]; !(ratio > 1.1 && ratio < 1.8) {
			t.Errorf("%s: %.2f times the diffuse", names[m], ratio)
		}
	}
}

func TestHoursCheck(t *testing.T) {
	good := func() Hours {
		return Hours{Start: 31*24 + 5, Temperature: []quantity.Temperature{280, 281}, Global: []float64{0, 400}, Diffuse: []float64{0, 100}}
	}
	if err := good().Check(); err != nil {
		t.Error(err)
	}
	for name, c := range map[string]struct {
		change func(*Hours)
		want   string
	}{
		"empty":        {func(h *Hours) { *h = Hours{} }, "no hours"},
		"start":        {func(h *Hours) { h.Start = 8760 }, "first hour"},
		"leap year":    {func(h *Hours) { *h = newHours(0, 8784) }, "29 February"},
		"sun short":    {func(h *Hours) { h.Global = h.Global[:1] }, "1 of sun"},
		"diffuse":      {func(h *Hours) { h.Diffuse = h.Diffuse[:1] }, "diffuse"},
		"diffuse only": {func(h *Hours) { h.Global = nil }, "0 hours of sun"},
		"celsius":      {func(h *Hours) { h.Temperature[1] = 20 }, "hour 2 (1 February, 06:00)"},
		"no number":    {func(h *Hours) { h.Temperature[0] = quantity.Temperature(math.NaN()) }, "no air"},
		"sun below":    {func(h *Hours) { h.Global[0] = -4 }, "write a night as 0"},
		"sun much":     {func(h *Hours) { h.Global[1] = 1600 }, "1500"},
		"over":         {func(h *Hours) { h.Diffuse[1] = 401 }, "diffuse sun"},
	} {
		t.Run(name, func(t *testing.T) {
			h := good()
			c.change(&h)
			if err := h.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error that says %q", err, c.want)
			}
		})
	}
	if _, err := good().Months([]float64{1}); err == nil {
		t.Error("months of two hours: want an error")
	}
	for day, month := range map[int]int{1: 0, 31: 0, 32: 1, 59: 1, 60: 2, 365: 11, 366: 0, 0: 11, -30: 11} {
		if got := MonthOf(day); got != month {
			t.Errorf("day %d is in month %d, want %d", day, got, month)
		}
	}
}

// TestRepeats: the same in, the same bits out.
func TestRepeats(t *testing.T) {
	a, b := year(t, seattleClimate(true)), year(t, seattleClimate(true))
	for i := range a.Temperature {
		if a.Temperature[i] != b.Temperature[i] || a.Global[i] != b.Global[i] || a.Diffuse[i] != b.Diffuse[i] {
			t.Fatalf("hour %d differs", i)
		}
	}
}

func TestSources(t *testing.T) {
	for _, s := range []source.Ref{SunSource, DiffuseSource, GlobalHoursSource, DiffuseHoursSource, PlaneSource,
		MeanDaySource, DesignDaySource, SmoothSource, SpellSource} {
		if err := s.Check(); err != nil {
			t.Error(err)
		}
	}
}
