package life

import (
	"math"

	"bankwright/internal/base/source"
)

const (
	day     = 86400.0
	celsius = 273.15 // K at 0 °C

	// gas is the molar gas constant, J/(mol·K), in the digits that both laws
	// were fitted with (CODATA 2014); the value of 2018 differs in the seventh.
	gas = 8.3144598

	// reference is 25 °C, to which the law of the small cell refers.
	reference = 298.15
)

func temperature(c Conditions) float64 { return c.Temperature }
func meanSOC(c Conditions) float64     { return c.SOC }
func depth(c Conditions) float64       { return c.Depth }
func charge(c Conditions) float64      { return c.Charge }
func discharge(c Conditions) float64   { return c.Discharge }

// Small is the law fitted to a round lithium iron phosphate cell of 3 Ah: loss
// with the square roots of time and of cycles, resistance rise in proportion to
// both.
//
// The rise with cycles falls to nothing near 1.05C, where the fit ends; it is
// NaN from there on, extrapolating or not.
//
// Limits. Storage was tested at 0 to 60 °C and any charge for 885 days; its
// authors carry it on to 20 years. Cycling was tested at 25 and 40 °C, 0.2C to
// 1C, depths of 20 % to all, up to about 10 600 full cycles; 20 to 40 °C is the
// range that the open NREL life-model source states for these data. Cycling
// while cold, with lithium plating, is not in it, and the cycle part knows no
// temperature.
func Small() Law {
	return Law{
		ID: "lfp-small", Name: "small round cell",
		Cell: "round lithium iron phosphate cell with graphite, 3 Ah",
		Note: "the authors found the law within 2.2 points of loss and 6.9 points of resistance rise of stored cells; below 25 °C stored cells aged less than it says",
		Calendar: source.Ref{Title: "Naumann, Schimpe, Keil, Hesse, Jossen, J. Energy Storage 17, 153-169, as carried in open academic codes",
			At: "loss and resistance rise of stored cells, table 7; DOI 10.1016/j.est.2018.01.019", Edition: "2018", How: source.Read},
		Cycle: source.Ref{Title: "Naumann, Spingler, Jossen, J. Power Sources 451, 227666, as carried in open academic codes",
			At: "loss and resistance rise of cycled cells; DOI 10.1016/j.jpowsour.2019.227666", Edition: "2020", How: source.Read},
		calendar: part{name: "calendar", exponent: 0.5, unit: 1, rate: smallCalendar, rise: smallCalendarRise,
			limits: []limit{
				{what: "temperature", unit: " °C", of: temperature, shift: celsius, low: 0, high: 60},
				{what: "mean state of charge", of: meanSOC, low: 0, high: 1},
			},
			longest: 885 * day, span: "885 days"},
		cycle: part{name: "cycle", exponent: 0.5, unit: 1, rate: smallCycle, rise: smallCycleRise,
			limits: []limit{
				{what: "temperature", unit: " °C", of: temperature, shift: celsius, low: 20, high: 40},
				{what: "depth", of: depth, low: 0.2, high: 1, gentle: true},
				{what: "charge rate", unit: "C", of: charge, low: 0.2, high: 1, gentle: true},
				{what: "discharge rate", unit: "C", of: discharge, low: 0.2, high: 1, gentle: true},
			},
			longest: 10600, span: "about 10 600 full cycles"},
	}
}

// arrhenius is a rate at a temperature over the same at 25 °C, for an
// activation energy in J/mol.
func arrhenius(energy, temperature float64) float64 {
	return math.Exp(-energy / gas * (1/temperature - 1/reference))
}

// smallCalendar is a fraction per root second.
func smallCalendar(c Conditions) float64 {
	s := c.SOC - 0.5
	return 1.2571e-5 * arrhenius(17126, c.Temperature) * (float64(2.8575*s*s*s) + 0.60225)
}

// smallCalendarRise is a fraction per second. One open code has a cube in place
// of the square; the square is in the others, and the paper's greatest rise
// lies at half charge, which a cube cannot give.
func smallCalendarRise(c Conditions) float64 {
	s := c.SOC - 0.5
	return 3.4194e-10 * arrhenius(71827, c.Temperature) * (1.5604 - float64(3.3903*s*s))
}

// smallCycle is a fraction per root of a full cycle; the fit is in percent.
func smallCycle(c Conditions) float64 {
	d := c.Depth - 0.6
	return (float64(0.0630*c.rate()) + 0.0971) * (float64(4.0253*d*d*d) + 1.0923) / 100
}

// smallCycleRise is a fraction per full cycle; the fit is in percent.
func smallCycleRise(c Conditions) float64 {
	d := c.Depth - 0.5
	k := 0.0021 - float64(0.0020*c.rate())
	if k <= 0 {
		return math.NaN()
	}
	return k * (float64(6.8477*d*d*d) + 0.91882) / 100
}

// Large is the law fitted to a flat lithium iron phosphate cell of more than
// 250 Ah, the published one nearest to the cells of a house bank. It has no
// resistance rise.
//
// Limits, as its source states them: 10 to 45 °C, charge at most 0.65C and at
// most 0.16C at 10 °C, discharge at most 1C, depths of 80 % to all, any charge.
// How long the tests ran is not stated there.
func Large() Law {
	ref := source.Ref{Title: "open NREL life-model source, flat LFP cell of more than 250 Ah; test data DOI 10.1016/j.est.2023.109042",
		Edition: "commit bae8c71", How: source.Read}
	calendar, cycle := ref, ref
	calendar.At, cycle.At = "parameters p1 to p3 and pcal", "parameters p4 to p8 and pcyc"
	warmth := limit{what: "temperature", unit: " °C", of: temperature, shift: celsius, low: 10, high: 45}
	return Law{
		ID: "lfp-large", Name: "large flat cell",
		Cell:     "flat lithium iron phosphate cell with graphite, more than 250 Ah",
		Note:     "its author warns that the temperature in the cycle part only balances the calendar part; the length of the tests is not at hand; no resistance rise",
		Calendar: calendar, Cycle: cycle,
		calendar: part{name: "calendar", exponent: 0.526, unit: day, rate: largeCalendar,
			limits: []limit{warmth, {what: "mean state of charge", of: meanSOC, low: 0, high: 1}}},
		cycle: part{name: "cycle", exponent: 0.828, unit: 1, rate: largeCycle,
			limits: []limit{warmth,
				{what: "depth", of: depth, low: 0.8, high: 1, gentle: true},
				{what: "charge rate", unit: "C", of: charge, low: 0, high: 0.65},
				{what: "charge rate at 10 °C or below", unit: "C", of: coldCharge, low: 0, high: 0.16},
				{what: "discharge rate", unit: "C", of: discharge, low: 0, high: 1},
			}},
	}
}

// coldCharge is the charge rate where the lower limit for the cold holds, and
// nothing elsewhere.
func coldCharge(c Conditions) float64 {
	if c.Temperature > celsius+10+slack*celsius {
		return 0
	}
	return c.Charge
}

// largeCalendar is a fraction per day to the power 0.526.
func largeCalendar(c Conditions) float64 {
	t := c.Temperature
	return 8.37e4 * math.Exp(-5210/t) * math.Exp(-3560*graphite(c.SOC)/t)
}

// largeCycle is a fraction per full cycle to the power 0.828.
func largeCycle(c Conditions) float64 {
	t := c.Temperature
	return (4.38e-8 + float64(1.55e-8*c.Depth) + float64(1.68e-7*c.rate())) * (math.Exp(2190/t) + math.Exp(-1.55e5/t))
}

// graphite is the potential of the graphite against lithium, V, at a state of
// charge of the cell.
//
// Reference: M. Safari, C. Delacourt, J. Electrochem. Soc. 158 (2011) A562, as
// carried in the open life-model source.
func graphite(soc float64) float64 {
	x := 0.0085 + float64(soc*0.7715)
	return 0.6379 + float64(0.5416*math.Exp(-305.5309*x)) +
		float64(0.044*math.Tanh(-(x-0.1958)/0.1088)) - float64(0.1978*math.Tanh((x-1.0571)/0.0854)) -
		float64(0.6875*math.Tanh((x+0.0117)/0.0529)) - float64(0.0175*math.Tanh((x-0.5692)/0.0875))
}

// Ageing is what age alone has made of a battery.
type Ageing struct {
	Capacity   float64    // over the capacity when new, 0 to 1; NaN outside the tests
	Resistance float64    // over the resistance when new, 1 or more; NaN outside the tests
	Outside    []string   // see Result
	Stretched  []string   // see Result
	Source     source.Ref // of the law used
}

// Aged gives what a battery's age in seconds at a cell temperature in kelvin
// and a mean state of charge leaves of it, by the calendar part of Small, the
// one law here that knows resistance. Use is left out, so that it is the least
// that is to be expected. Whoever calls it knows only the age and marks the
// factors assumed. Age zero: both factors are 1.
func Aged(age, temperature, soc float64) (Ageing, error) {
	law := Small()
	r, err := law.Loss(Conditions{Time: age, Temperature: temperature, SOC: soc})
	if err != nil {
		return Ageing{}, err
	}
	return Ageing{Capacity: 1 - r.Calendar, Resistance: 1 + r.CalendarRise,
		Outside: r.Outside, Stretched: r.Stretched, Source: law.Calendar}, nil
}
