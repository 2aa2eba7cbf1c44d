package assess

import (
	"math"

	"bankwright/internal/engine/energy"
	"bankwright/internal/engine/sky"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// month fills one month: what its days ask, what the sources give, and a week of
// each kind of day.
func (t *dayTable) month(m int) error {
	out := &t.out.Months[m]
	out.Kelvin, out.Battery = t.sun.kelvin[m], t.sun.kelvin[m]
	if t.warm != nil {
		out.Battery = t.warm.kelvin[m]
		for n := range 7 * 24 {
			if t.warm.at(midWeek[m] + n) {
				out.Cold++
			}
		}
	}
	out.Factor = t.factor(out.Battery)
	out.Capacity = t.out.Capacity * out.Factor
	t.asks(&out.Typical, m, false)
	t.asks(&out.Bad, m, true)
	store := t.bankAt(out.Factor)
	if err := t.week(store, m, &out.Typical, t.sunOf(t.sun.month, m)); err != nil {
		return err
	}
	if err := t.week(store, m, &out.Bad, t.sunOf(t.sun.bad, m)); err != nil {
		return err
	}
	var err error
	load := out.Bad.Hours
	if out.NoSun, err = t.lasts(store, m, load, func(day, h int) []float64 { return t.offer(day, h, dark) }); err != nil {
		return err
	}
	none := make([]float64, len(t.out.Sources))
	out.Alone, err = t.lasts(store, m, load, func(int, int) []float64 { return none })
	return err
}

// sunOf gives the power of each field at an hour of a month's mean day.
func (t *dayTable) sunOf(days [][12][24]float64, month int) func(h int) func(int) float64 {
	return func(h int) func(int) float64 {
		if !t.sun.hours {
			return dark
		}
		return func(field int) float64 { return days[field][month][h] }
	}
}

// week runs the bank through one kind of day: seven days of it in full, then on
// until the floor is reached.
func (t *dayTable) week(store energy.Store, month int, k *report.DayKind, sun func(h int) func(int) float64) error {
	const days = 7
	k.Offered, k.Given = make([]float64, len(t.out.Sources)), make([]float64, len(t.out.Sources))
	k.Charge, k.Least, k.Reaches = []float64{t.out.Start}, t.out.Start, math.Inf(1)
	var offers [days][24][]float64
	for d := range days {
		for h := range 24 {
			offers[d][h] = t.offer(d, h, sun(h))
			k.Power[d].Out[h] = k.Hours[h]
			for n, w := range offers[d][h] {
				k.Power[d].In[h] += w
				k.Offered[n] += w * hourSeconds / days
			}
		}
	}
	return store.Run(t.out.Start, func(n int) (energy.Hour, bool) {
		return energy.Hour{Load: k.Hours[n%24], Sources: offers[n/24%days][n%24], Blocked: t.warm.at(midWeek[month] + n%(24*days))}, n < farDays*24
	}, func(n int, p energy.Past) bool {
		if p.Empty && math.IsInf(k.Reaches, 1) {
			k.Reaches = reached(n, p)
		}
		if n >= days*24 {
			return math.IsInf(k.Reaches, 1)
		}
		k.Charge = append(k.Charge, p.Charge)
		k.Least = math.Min(k.Least, p.Charge)
		k.Missed += p.Missed
		for i, j := range p.Given {
			k.Given[i] += j / days
		}
		return true
	})
}

// reached is when within hour n the floor was reached, s: loads go without from
// then on.
func reached(n int, p energy.Past) float64 {
	part := 1.0
	if all := p.Served + p.Missed; all > 0 {
		part = p.Served / all
	}
	return (float64(n) + part) * hourSeconds
}

// lasts is how long the bank carries a day's load, s; +Inf where it does for as
// long as it is followed.
func (t *dayTable) lasts(store energy.Store, month int, load [24]float64, sources func(day, h int) []float64) (float64, error) {
	until := math.Inf(1)
	err := store.Run(t.out.Start, func(n int) (energy.Hour, bool) {
		return energy.Hour{Load: load[n%24], Sources: sources(n/24, n%24), Blocked: t.warm.at(midWeek[month] + n%(24*7))}, n < farDays*24
	}, func(n int, p energy.Past) bool {
		if p.Empty {
			until = reached(n, p)
		}
		return !p.Empty
	})
	return until, err
}

// year goes through a year of typical days, twice, so that its beginning is that
// of any year, and keeps the days of the second on which loads go without.
func (t *dayTable) year() error {
	charge := t.out.Start
	for round := range 2 {
		for day := 0; day < sky.DaysInYear; {
			m := sky.MonthOf(day + 1)
			n := 1
			for day+n < sky.DaysInYear && sky.MonthOf(day+n+1) == m {
				n++
			}
			err := t.stretch(m, day, n, &charge, func(missed int) {
				if round == 1 {
					t.dry(missed)
				}
			})
			if err != nil {
				return err
			}
			day += n
		}
	}
	return nil
}

// stretch runs n days of a month from a day of the year on, and tells those on
// which loads go without.
func (t *dayTable) stretch(month, first, n int, charge *float64, missed func(day int)) error {
	k := &t.out.Months[month]
	short := 0.0
	return t.bankAt(k.Factor).Run(*charge, func(i int) (energy.Hour, bool) {
		at := 24*first + i
		sun := dark
		if t.sun.hours {
			sun = func(field int) float64 { return t.sun.mean[field][at%sky.HoursInYear] }
		}
		return energy.Hour{Load: k.Typical.Hours[i%24], Sources: t.offer(at/24, i%24, sun), Blocked: t.warm.at(at)}, i < 24*n
	}, func(i int, p energy.Past) bool {
		short += p.Missed
		if i%24 == 23 {
			if short > 0 {
				missed(first + i/24 + 1)
			}
			short = 0
		}
		*charge = p.Charge
		return true
	})
}

// dry notes a day on which loads go without.
func (t *dayTable) dry(day int) {
	if n := len(t.out.Dry); n > 0 && t.out.Dry[n-1].Last == day-1 {
		t.out.Dry[n-1].Last = day
		return
	}
	t.out.Dry = append(t.out.Dry, report.DaySpan{First: day, Last: day})
}

// fullFrom is the part of the capacity from which the bank counts as full, as
// the engine has it.
const fullFrom = 0.995

// full gives how long each source alone takes from the floor to full.
func (t *dayTable) full() error {
	for n := range t.out.Sources {
		s := &t.out.Sources[n]
		if s.Kind == report.BySun {
			continue
		}
		amps := (s.Watts - s.Lost) / t.out.Nominal
		if t.out.Accept > 0 {
			amps = math.Min(amps, t.out.Accept)
		}
		if !(amps > 0) {
			continue
		}
		whole, tail, err := t.fills(amps)
		if err != nil {
			return err
		}
		t.out.Full = append(t.out.Full, report.DayFull{Source: s.ID, Amps: amps, Whole: whole, Tail: tail})
	}
	if !t.sun.hours || len(t.ask.Sun) == 0 {
		return nil
	}
	best, worst := 0, 0
	for m := range t.out.Months {
		if t.sunDay(m) > t.sunDay(best) {
			best = m
		}
		if t.sunDay(m) < t.sunDay(worst) {
			worst = m
		}
	}
	for _, m := range []int{best, worst} {
		whole, err := t.sunFills(m)
		if err != nil {
			return err
		}
		t.out.Full = append(t.out.Full, report.DayFull{Source: "sun", In: string(bank.MonthNames[m]), Amps: math.NaN(), Whole: whole, Tail: math.NaN()})
	}
	return nil
}

// fills is the closed form of a charge from the floor at 25 °C: a current until
// what is missing over the time constant is less, then that.
func (t *dayTable) fills(amps float64) (whole, tail float64, err error) {
	o := t.out
	one := energy.Charge{Current: amps, End: amps, Tau: o.Tail / o.Kept}
	if o.Tail > 0 {
		one.End = math.Min(amps, (1-fullFrom)*o.Capacity/o.Tail)
	}
	return one.Times(math.Max(0, fullFrom-o.Floor) * o.Capacity / o.Kept)
}

// sunDay is what all fields give on a month's mean day, J.
func (t *dayTable) sunDay(month int) float64 {
	sum := 0.0
	for n := range t.ask.Sun {
		sum += t.out.Months[month].Typical.Offered[n]
	}
	return sum
}

// sunFills is how long the sun of a month's mean days takes from the floor,
// beginning at midnight, s.
func (t *dayTable) sunFills(month int) (float64, error) {
	until := math.Inf(1)
	sun := t.sunOf(t.sun.month, month)
	err := t.bankAt(1).Run(t.out.Floor, func(n int) (energy.Hour, bool) {
		all := t.offer(0, n%24, sun(n%24))
		return energy.Hour{Sources: all[:len(t.ask.Sun)]}, n < farDays*24
	}, func(n int, p energy.Past) bool {
		if p.Full {
			until = float64(n+1) * hourSeconds
		}
		return !p.Full
	})
	return until, err
}
