package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sky"
	"bankwright/internal/read/series"
)

// Weather is the hours of a job's place: a year, and the two design weeks.
type Weather struct {
	Climate   sky.Climate
	Year      sky.Hours
	Cold, Hot sky.Hours // seven days
	Own       bool      // the year is a person's own hours
	HasSun    bool
}

// dullSpell is the share of a mean day's sun in the cold week.
const dullSpell = 0.2

var dullPractice = source.Ref{Title: "a cold snap under cloud, so that the sun on the walls does not help", How: source.Practice}

// Weather gives the hours of the job's place; own hours, where there are some,
// stand for those made from the months. The error says what the job has to
// give.
func (j *Job) Weather(own *series.Weather) (*Weather, error) {
	p := &j.Bank.Place
	if !p.Known {
		return nil, fmt.Errorf("%s: the job has no place; give latitude and climate, or months, as in place: {climate: golden}", j.Doc.File)
	}
	w := &Weather{HasSun: p.HasSun, Climate: j.climate()}
	if err := w.Climate.Check(); err != nil {
		return nil, j.at(j.Doc.Place.Pos, "place: %v", err)
	}
	var err error
	if own != nil {
		return w, w.own(j, own)
	}
	if w.Year, err = w.Climate.Year(); err != nil {
		return nil, j.at(j.Doc.Place.Pos, "place: %v", err)
	}
	cold, hot := w.seasons()
	if err := j.extremes(w); err != nil {
		return nil, err
	}
	snap := sky.Week(cold, p.Coldest.V)
	snap.Sun = dullSpell
	if w.Cold, err = w.Climate.Spell(snap); err != nil {
		return nil, j.at(j.Doc.Place.Pos, "coldest: %v", err)
	}
	if w.Hot, err = w.Climate.Spell(sky.Week(hot, p.Hottest.V)); err != nil {
		return nil, j.at(j.Doc.Place.Pos, "hottest: %v", err)
	}
	if !w.HasSun {
		for _, h := range []*sky.Hours{&w.Year, &w.Cold, &w.Hot} {
			h.Global, h.Diffuse = nil, nil
		}
	}
	return w, nil
}

// extremes refuses a coldest hour that is no colder than a usual night, and a
// hottest that is no hotter than a usual day.
func (j *Job) extremes(w *Weather) error {
	p, show := &j.Bank.Place, j.Bank.Show
	low, high := w.Climate.Months[0].Low, w.Climate.Months[0].High
	for _, m := range w.Climate.Months {
		low, high = min(low, m.Low), max(high, m.High)
	}
	switch {
	case !(p.Coldest.V < low):
		return j.at(j.Doc.Place.Pos, "coldest: %s is not below the coldest month's mean low, %s; give the coldest hour to reckon with", show.FormatTemperature(p.Coldest.V), show.FormatTemperature(low))
	case !(p.Hottest.V > high):
		return j.at(j.Doc.Place.Pos, "hottest: %s is not above the hottest month's mean high, %s; give the hottest hour to reckon with", show.FormatTemperature(p.Hottest.V), show.FormatTemperature(high))
	}
	return nil
}

// climate is the place as the engine takes it.
func (j *Job) climate() sky.Climate {
	p := &j.Bank.Place
	c := sky.Climate{Place: sky.Place{Latitude: p.Latitude, Longitude: p.Longitude, Zone: p.Zone}}
	if p.Sundial {
		c.Place = sky.Sundial(p.Latitude)
	}
	for i, m := range p.Months {
		c.Months[i] = sky.Month{High: m.High, Low: m.Low, Mean: m.Mean, Sun: float64(m.Sun), Diffuse: float64(m.Diffuse)}
	}
	return c
}

// seasons gives the middle days of the coldest and of the hottest month.
func (w *Weather) seasons() (cold, hot int) {
	coldest, hottest := 0, 0
	for i, m := range w.Climate.Months {
		if m.Low < w.Climate.Months[coldest].Low {
			coldest = i
		}
		if m.High > w.Climate.Months[hottest].High {
			hottest = i
		}
	}
	middle := func(month int) int { return int(math.Round(365.0/12*(float64(month)+0.5))) + 1 }
	return middle(coldest), middle(hottest)
}

// own takes a person's hours: the coldest and the hottest of its weeks stand
// for the design weeks.
func (w *Weather) own(j *Job, s *series.Weather) error {
	w.Own, w.HasSun = true, s.Sun != nil
	w.Year = sky.Hours{Global: s.Sun}
	for _, c := range s.Temperature {
		w.Year.Temperature = append(w.Year.Temperature, quantity.Temperature(c+273.15))
	}
	if err := w.Year.Check(); err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	if w.Year.Len() != sky.HoursInYear {
		return fmt.Errorf("%s: %d hours; give the %d of a year from midnight of 1 January, 29 February left out", s.Name, w.Year.Len(), sky.HoursInYear)
	}
	cold, err := w.Year.Coldest(7)
	if err == nil {
		w.Cold, err = w.Year.Week(cold)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	hot, err := w.Year.Hottest(7)
	if err == nil {
		w.Hot, err = w.Year.Week(hot)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	return nil
}
