package sky

import (
	"fmt"
	"math"
	"slices"

	"bankwright/internal/base/quantity"
)

// Hours is a series of hours, made here or measured by a person: hour i is the
// mean from Start+i to Start+i+1 hours after the year's beginning, in standard
// time. A year is 8760 hours; a measured leap year leaves out 29 February.
type Hours struct {
	Start       int // hour of the year of the first, 0 to 8759
	Temperature []quantity.Temperature
	Global      []float64 // on level ground, W/m²; nil where no sun is given
	Diffuse     []float64 // of it; nil where it is not known
}

func newHours(start, n int) Hours {
	return Hours{Start: start, Temperature: make([]quantity.Temperature, n), Global: make([]float64, n), Diffuse: make([]float64, n)}
}

func (h Hours) setTemperature(at int, d Day, p profile) {
	low := float64(d.Mean) - float64(float64(d.High-d.Low)*p.mean)
	for i, part := range p.part {
		h.Temperature[at+i] = quantity.Temperature(low + float64(float64(d.High-d.Low)*part))
	}
}

func (h Hours) setLight(at int, l Light) {
	copy(h.Global[at:], l.Global[:])
	copy(h.Diffuse[at:], l.Diffuse[:])
}

// Check returns an error for a series that cannot be: no hours, columns of
// unlike length, no number, air or sun that the earth does not have (1500 W/m²
// is over any hour's mean, even at broken clouds; from memory), diffuse over
// global.
func (h Hours) Check() error {
	n := len(h.Temperature)
	switch {
	case n == 0:
		return fmt.Errorf("no hours: give one temperature for each hour")
	case h.Start < 0 || h.Start >= HoursInYear:
		return fmt.Errorf("first hour %d: must be from 0, midnight before 1 January, to %d", h.Start, HoursInYear-1)
	case n > HoursInYear:
		return fmt.Errorf("%d hours: a year has %d; leave out 29 February", n, HoursInYear)
	case h.Global != nil && len(h.Global) != n:
		return fmt.Errorf("%d hours of temperature but %d of sun", n, len(h.Global))
	case h.Diffuse != nil && len(h.Diffuse) != len(h.Global):
		return fmt.Errorf("%d hours of sun but %d of diffuse sun", len(h.Global), len(h.Diffuse))
	}
	for i := range n {
		if err := h.checkHour(i); err != nil {
			return fmt.Errorf("hour %d (%s): %w", i+1, clockOf(h.Start+i), err)
		}
	}
	return nil
}

func (h Hours) checkHour(i int) error {
	if t := h.Temperature[i]; !(t >= coldestAir && t <= hottestAir) {
		return fmt.Errorf("%.4g °C: no air on earth has this", float64(t)-273.15)
	}
	if h.Global == nil {
		return nil
	}
	if g := h.Global[i]; !(g >= 0 && g <= 1500) {
		return fmt.Errorf("sun of %v W/m²: must be from 0 to 1500; write a night as 0", g)
	}
	if h.Diffuse != nil && !(h.Diffuse[i] >= 0 && h.Diffuse[i] <= h.Global[i]) {
		return fmt.Errorf("diffuse sun of %v W/m²: must be from 0 to the global, %v", h.Diffuse[i], h.Global[i])
	}
	return nil
}

// clockOf names an hour of the year as a person would.
func clockOf(at int) string {
	at %= HoursInYear
	day := at/night + 1
	m := MonthOf(day)
	return fmt.Sprintf("%d %s, %02d:00", day-monthEdges()[m], names[m], at%night)
}

// Len is the number of hours.
func (h Hours) Len() int { return len(h.Temperature) }

// Part is n hours from index from on, a copy. A whole year goes on at its
// beginning where it ends, other series end: an error where they do not hold
// the part.
func (h Hours) Part(from, n int) (Hours, error) {
	have := h.Len()
	if n < 1 || n > have || from < 0 || from >= have || (have != HoursInYear && from+n > have) {
		return Hours{}, fmt.Errorf("%d hours from hour %d: the series holds %d", n, from+1, have)
	}
	out := Hours{Start: (h.Start + from) % HoursInYear}
	out.Temperature = round(h.Temperature, from, n)
	out.Global, out.Diffuse = round(h.Global, from, n), round(h.Diffuse, from, n)
	return out, nil
}

// round copies n of a column, going on at the beginning; nil stays nil.
func round[T any](column []T, from, n int) []T {
	if column == nil {
		return nil
	}
	out := make([]T, n)
	for i := range out {
		out[i] = column[(from+i)%len(column)]
	}
	return out
}

// Week is the seven days from a day of the year on.
func (h Hours) Week(day int) (Hours, error) { return h.Stretch(day, 7) }

// Stretch is some days from a day of the year on.
func (h Hours) Stretch(day, days int) (Hours, error) {
	from := (dayOf(day)-1)*night - h.Start
	if from < 0 {
		from += HoursInYear
	}
	return h.Part(from, days*night)
}

// Coldest is the day of the year with which the coldest run of whole days, by
// its mean, begins; of equals the first in the series. A whole year is looked
// through all round. An error where the series does not hold as many whole days.
func (h Hours) Coldest(days int) (int, error) {
	return h.least(days, func(i int) float64 { return float64(h.Temperature[i]) })
}

// Hottest is the same for the hottest run.
func (h Hours) Hottest(days int) (int, error) {
	return h.least(days, func(i int) float64 { return -float64(h.Temperature[i]) })
}

// Darkest is the same for the run with the least sun on level ground.
func (h Hours) Darkest(days int) (int, error) {
	if h.Global == nil {
		return 0, fmt.Errorf("the series holds no sun")
	}
	return h.least(days, func(i int) float64 { return h.Global[i] })
}

// least is the first day of the run of days whose sum is the least. Sums that
// differ by less than rounding can make count as equal.
func (h Hours) least(days int, of func(int) float64) (int, error) {
	skip := (night - h.Start%night) % night // to the first midnight
	whole := (h.Len() - skip) / night
	if days < 1 || whole < days {
		return 0, fmt.Errorf("%d whole days: the series holds %d", days, max(whole, 0))
	}
	sums := make([]float64, whole)
	for d := range sums {
		for i := range night {
			sums[d] += of(skip + d*night + i)
		}
	}
	last := whole - days + 1
	if h.Len() == HoursInYear && skip == 0 {
		last = whole
	}
	best, at := math.Inf(1), 0
	for d := range last {
		sum, size := 0.0, 0.0
		for i := range days {
			sum += sums[(d+i)%whole]
			size += math.Abs(sums[(d+i)%whole])
		}
		if sum < best-float64(1e-12*size) {
			best, at = sum, d
		}
	}
	return dayOf((h.Start+skip)/night + at + 1), nil
}

// Split gives the diffuse part of each hour of a measured series from the
// hour's own clearness (HourDiffuse); all of it while the sun is down. nil
// where the series holds no sun.
func (h Hours) Split(p Place) []float64 {
	if h.Global == nil {
		return nil
	}
	out := make([]float64, len(h.Global))
	for i, g := range h.Global {
		at := (h.Start + i) % HoursInYear
		s := On(at/night + 1)
		outside := 0.0
		for _, in := range p.spans(s, at%night) {
			outside += s.OutsideBetween(p.Latitude, in.from, in.to) / hour
		}
		out[i] = g
		if outside > 0 {
			out[i] = float64(g * HourDiffuse(g/outside))
		}
	}
	return out
}

// On gives the sun on a plane for each hour, W/m² (see Place.On); the diffuse
// part by Split where the series has none. nil where it holds no sun.
func (h Hours) On(p Place, f Plane) []float64 {
	if h.Global == nil {
		return nil
	}
	diffuse := h.Diffuse
	if diffuse == nil {
		diffuse = h.Split(p)
	}
	out := make([]float64, len(h.Global))
	for i := 0; i < len(out); {
		at := (h.Start + i) % HoursInYear
		first := at % night
		n := min(night-first, len(out)-i)
		var l Light
		copy(l.Global[first:], h.Global[i:i+n])
		copy(l.Diffuse[first:], diffuse[i:i+n])
		on := p.On(at/night+1, l, f)
		copy(out[i:i+n], on[first:])
		i += n
	}
	return out
}

// Dim gives the series with a share of the sun on some days from a day of the
// year on, their hours spread as those of single days (see Climate.Light), the
// temperatures unchanged. An error where the series holds no sun or not those
// whole days.
func (h Hours) Dim(p Place, day, days int, share float64) (Hours, error) {
	if h.Global == nil {
		return Hours{}, fmt.Errorf("the series holds no sun")
	}
	if _, err := h.Stretch(day, days); err != nil {
		return Hours{}, err
	}
	out := Hours{Start: h.Start, Temperature: slices.Clone(h.Temperature), Global: slices.Clone(h.Global), Diffuse: slices.Clone(h.Diffuse)}
	if out.Diffuse == nil {
		out.Diffuse = h.Split(p)
	}
	first := (dayOf(day)-1)*night - h.Start + HoursInYear
	for d := range days {
		sum := 0.0
		for i := range night {
			sum += h.Global[(first+d*night+i)%HoursInYear] * hour
		}
		l, err := p.dull(dayOf(day+d), sum, share)
		if err != nil {
			return Hours{}, err
		}
		for i := range night {
			at := (first + d*night + i) % HoursInYear
			out.Global[at], out.Diffuse[at] = l.Global[i], l.Diffuse[i]
		}
	}
	return out, nil
}

// Months is the mean of an hourly column of a whole year over each month: of
// temperatures, or of W/m², of which 86 400 s make a mean day's J/m². An error
// where the series is not a whole year from 1 January.
func (h Hours) Months(column []float64) ([12]float64, error) {
	var mean [12]float64
	if h.Start != 0 || len(column) != HoursInYear {
		return mean, fmt.Errorf("%d hours from hour %d: a whole year from 1 January is needed", len(column), h.Start)
	}
	e := monthEdges()
	for m := range mean {
		for _, v := range column[e[m]*night : e[m+1]*night] {
			mean[m] += v
		}
		mean[m] /= float64(lengths[m] * night)
	}
	return mean, nil
}
