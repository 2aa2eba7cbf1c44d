package sky

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
)

// Month is what is known of a month.
type Month struct {
	High, Low quantity.Temperature // means of the days' highest and lowest
	Mean      quantity.Temperature // of the month; 0 where it is not given
	Sun       float64              // mean of the days' sums on level ground, J/m²
	Diffuse   float64              // of it; 0 where it is not given (then by MonthDiffuse)
}

// Climate is a place and its twelve months.
//
// Where a month's mean is not given it follows from high and low by the course
// of a mean day, 0.48 of the way up. Where it is given, it is held, and so is
// the range between low and high; both then move by the same few tenths.
type Climate struct {
	Place  Place
	Months [12]Month
}

var (
	lengths = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	names   = [12]string{"January", "February", "March", "April", "May", "June", "July",
		"August", "September", "October", "November", "December"}
)

// monthEdges are the days of the year, from 0, at which the months begin, and
// the end of the year.
func monthEdges() [13]int {
	var e [13]int
	for m, n := range lengths {
		e[m+1] = e[m] + n
	}
	return e
}

// MonthOf is the month, 0 for January, of a day of the year. Days beyond 1 to
// 365 count on into the next years.
func MonthOf(day int) int {
	day = dayOf(day)
	for m, e := range monthEdges() {
		if day <= e {
			return m - 1
		}
	}
	panic("sky: a day beyond the year")
}

// dayOf brings a day number into 1 to 365.
func dayOf(day int) int { return ((day-1)%DaysInYear+DaysInYear)%DaysInYear + 1 }

// clearest is the highest clearness that a month's mean can have: a month
// without a cloud in dry mountains reaches about 0.8 (from memory); half a
// tenth more is let pass.
const clearest = 0.85

// glow is what twilight and refraction can bring on a day on which, by
// geometry, the sun hardly rises or does not: 30 Wh/m², an allowance of ours.
const glow = 30 * WattHour

// Check returns an error for figures that cannot be: no number, a low over its
// high, a mean not between them, temperatures no place on earth has, more sun
// than a month without clouds gives.
func (c Climate) Check() error {
	if err := c.Place.Check(); err != nil {
		return err
	}
	outside := monthsOutside(c.Place.Latitude)
	for i, m := range c.Months {
		if err := m.check(outside[i]); err != nil {
			return fmt.Errorf("%s: %w", names[i], err)
		}
	}
	return nil
}

// The coldest and the hottest air on record are -89.2 °C and 56.7 °C (World
// Meteorological Organization, from memory).
const (
	coldestAir = 273.15 - 90
	hottestAir = 273.15 + 57
)

func (m Month) check(outside float64) error {
	const zero = 273.15
	for _, t := range [2]quantity.Temperature{m.High, m.Low} {
		if !(t >= coldestAir && t <= hottestAir) {
			return fmt.Errorf("%.4g °C: no air on earth has this; give degrees with their unit", float64(t)-zero)
		}
	}
	switch {
	case m.Low > m.High:
		return fmt.Errorf("mean low %.4g °C is over the mean high %.4g °C: are they swapped?", float64(m.Low)-zero, float64(m.High)-zero)
	case m.Mean != 0 && !(m.Mean >= m.Low && m.Mean <= m.High):
		return fmt.Errorf("mean %.4g °C is not between low %.4g °C and high %.4g °C", float64(m.Mean)-zero, float64(m.Low)-zero, float64(m.High)-zero)
	case !(m.Sun >= 0):
		return fmt.Errorf("sun on level ground: must be a number, 0 or more")
	case !(m.Diffuse >= 0 && m.Diffuse <= m.Sun):
		return fmt.Errorf("diffuse sun: must be from 0, not known, to the sun on level ground, %.3g kWh/m² a day", m.Sun/1000/WattHour)
	case m.Sun > float64(clearest*outside)+glow:
		return fmt.Errorf("%.3g kWh/m² of sun a day on level ground: not even a month without clouds gives over %.3g at this latitude",
			m.Sun/1000/WattHour, clearest*outside/1000/WattHour)
	}
	return nil
}

// monthsOutside is the mean of the days' sums outside the air, J/m².
func monthsOutside(latitude float64) [12]float64 {
	var mean [12]float64
	e := monthEdges()
	for m := range mean {
		for d := e[m] + 1; d <= e[m+1]; d++ {
			mean[m] += On(d).Outside(latitude) / float64(lengths[m])
		}
	}
	return mean
}

// Day is a mean day of the year.
type Day struct {
	Low, High quantity.Temperature
	Mean      quantity.Temperature
	Global    float64 // sum on level ground, J/m²
	Diffuse   float64
}

// Days gives the 365 mean days, or Check's error. Their means over each month
// are the month's, in temperature and sun. Sun given for a month in which, by
// geometry, the sun does not rise, which Check lets pass up to 30 Wh/m², is
// left out.
func (c Climate) Days() ([]Day, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	days := make([]Day, DaysInYear)
	c.fillTemperature(days)
	c.fillSun(days)
	return days, nil
}

func (c Climate) fillTemperature(days []Day) {
	edges := make([]float64, 13)
	for i, e := range monthEdges() {
		edges[i] = float64(e)
	}
	mean, reach := make([]float64, 12), make([]float64, 12)
	for i, m := range c.Months {
		reach[i] = float64(m.High - m.Low)
		mean[i] = float64(m.Mean)
		if m.Mean == 0 {
			mean[i] = float64(m.Low) + float64(reach[i]*meanDay.mean)
		}
	}
	means, ranges := smooth(edges, mean), smooth(edges, reach).positive()
	for i := range days {
		from, to := float64(i), float64(i+1)
		m, r := means.over(from, to), max(ranges.over(from, to), 0)
		low := m - float64(r*meanDay.mean)
		days[i].Mean = quantity.Temperature(m)
		days[i].Low, days[i].High = quantity.Temperature(low), quantity.Temperature(low+r)
	}
}

// fillSun lays the clearness smoothly over the year, and the diffuse part of it
// likewise. Its measure is not the day but the sun outside the air, so that a
// month's sums are held exactly, and months without sun take no room.
func (c Climate) fillSun(days []Day) {
	ends := make([]float64, DaysInYear+1)
	for i := range days {
		ends[i+1] = ends[i] + On(i+1).Outside(c.Place.Latitude)
	}
	edges, clear, dull := []float64{0}, []float64(nil), []float64(nil)
	e := monthEdges()
	for m, month := range c.Months {
		room := ends[e[m+1]] - ends[e[m]]
		if !(room > 0) {
			continue
		}
		k := month.Sun * float64(lengths[m]) / room
		part := month.Diffuse / month.Sun
		if month.Diffuse == 0 {
			part = MonthDiffuse(k, On((e[m]+e[m+1]+1)/2).Sunset(c.Place.Latitude))
		}
		edges = append(edges, ends[e[m+1]])
		clear, dull = append(clear, k), append(dull, float64(k*part))
	}
	global, diffuse := smooth(edges, clear).positive(), smooth(edges, dull).positive()
	for i := range days {
		from, to := ends[i], ends[i+1]
		if !(to > from) {
			continue
		}
		days[i].Global = max(global.over(from, to), 0) * (to - from)
		days[i].Diffuse = min(max(diffuse.over(from, to), 0)*(to-from), days[i].Global)
	}
}

// Unsure gives the months, 0 for January, whose diffuse part is not given and
// cannot well be had from the rest, in order: with a noon sun under 20° in the
// middle of the month (a limit of ours, from the stations in the tests) or a
// clearness beyond 0.3 to 0.8, for which the correlation was made. In them the
// sun on a steep plane is doubtful and mostly too high; on level ground it is as
// given.
func (c Climate) Unsure() []int {
	var months []int
	e, outside := monthEdges(), monthsOutside(c.Place.Latitude)
	for i, m := range c.Months {
		if m.Sun == 0 || m.Diffuse > 0 {
			continue
		}
		noon := On((e[i]+e[i+1]+1)/2).Elevation(c.Place.Latitude, 0)
		if k := Clearness(m.Sun, outside[i]); noon < 20*degree || k < 0.3 || k > 0.8 {
			months = append(months, i)
		}
	}
	return months
}

// Year gives the 8760 hours of a year of mean days, or Check's error.
func (c Climate) Year() (Hours, error) {
	days, err := c.Days()
	if err != nil {
		return Hours{}, err
	}
	h := newHours(0, HoursInYear)
	for i, d := range days {
		h.setTemperature(i*night, d, meanDay)
		h.setLight(i*night, c.Place.Spread(i+1, d.Global, d.Diffuse))
	}
	return h, nil
}

// Light gives the hours of sun of one day with a share of a mean day's: 1 for a
// mean day, 0.2 for a bad one, 0 for none. The diffuse part is that of a single
// day of its clearness. An error for a share that is no number of 0 or more,
// or that would bring more than a clear day does.
func (c Climate) Light(day int, share float64) (Light, error) {
	days, err := c.Days()
	if err != nil {
		return Light{}, err
	}
	return c.Place.dull(dayOf(day), days[dayOf(day)-1].Global, share)
}

// dull spreads a share of a day's sun, as a single day.
func (p Place) dull(day int, global, share float64) (Light, error) {
	s := On(day)
	most := s.Outside(p.Latitude)
	want := float64(global * share)
	if !(share >= 0) || math.IsInf(share, 0) {
		return Light{}, fmt.Errorf("share of the sun %v: must be a number, 0 or more", share)
	}
	if share > 1 && want > float64(clearest*most) {
		return Light{}, fmt.Errorf("%.3g of the usual sun on day %d: a day without clouds has %.3g of it", share, day, clearest*most/global)
	}
	return p.Spread(day, want, want*DayDiffuse(Clearness(want, most), s.Sunset(p.Latitude))), nil
}
