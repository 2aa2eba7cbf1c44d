// Package precharge says how the input capacitor of an inverter is charged
// before the main switch closes: the resistor, the wait, the heat in the
// resistor, and the peak of current that the bank gives without it.
//
// The circuit is the bank as a voltage behind a resistance and the loop's
// inductance, the pre-charge resistor, and the capacitor, empty at first. While
// the resistor is in circuit the inductance does not count: R/L is then some
// millions a second, against a charge of seconds.
package precharge

import (
	"errors"
	"fmt"
	"math"

	"bankwright/internal/base/source"
)

// Input is one pre-charge. Capacitance, Voltage and Fraction are needed, and
// either Resistor or one or both of Peak and Wait; zero means not given. The
// source's resistance and the inductance may be zero; without both, the peak
// without a resistor is +Inf.
type Input struct {
	Capacitance float64 // F, of the inverter's input
	Voltage     float64 // V, of the bank
	Source      float64 // ohm, of bank, cables and joints together
	Inductance  float64 // H, of the loop out and back
	Fraction    float64 // of the bank's voltage wanted on the capacitor, above 0 and below 1; 0.95 or 0.99 are usual
	Resistor    float64 // ohm
	Peak        float64 // A that the pre-charge may draw at first
	Wait        float64 // s that it may take
}

// Resistor is a pre-charge resistor at work. Resistances in series share
// voltage and heat in proportion, so that Energy and powers are of the
// pre-charge resistor alone.
type Resistor struct {
	Ohm          float64
	Tau          float64 // s, time constant with the source's resistance
	Wait         float64 // s until the capacitor has the wanted fraction
	Peak         float64 // A, at the first instant
	Energy       float64 // J in the resistor until the capacitor is full; for a weak source ½CV²
	PeakPower    float64 // W in the resistor at the first instant
	MeanPower    float64 // W in the resistor over the wait
	Hold         float64 // W in the resistor for as long as a load draws the capacitor down to nothing: inverter on, or shorted
	Step         float64 // V between bank and capacitor when the main switch closes after the wait
	ClosingPeak  float64 // A that this step then drives without the resistor
	OverPractice bool    // Hold is above the largest customary rating
}

// Result is a pre-charge worked out.
type Result struct {
	Chosen       Resistor // the given resistor, or the suggested one
	Suggested    bool     // Chosen is a standard value picked here
	Least, Most  float64  // ohm, between which the resistor had to lie; 0 and +Inf where nothing asked
	Without      Surge    // with no resistor at all
	LeastRating  float64  // W, smallest customary rating of the resistor
	MostRating   float64  // W, largest
	RatingSource source.Ref
}

// Customary ratings of a pre-charge resistor, W.
const (
	leastRating = 10
	mostRating  = 50
)

var practice = source.Ref{Title: "wire-wound pre-charge resistors of 10 to 50 ohm, 10 to 50 W, for 1 to 10 s", How: source.Practice}

// Solve works a pre-charge out. Where no resistor is given it suggests one of
// the E12 series: the one nearest in ratio to the middle where both peak and
// wait bound it, the smallest (quickest) where only the peak does, the largest
// (gentlest) where only the wait does. The error names the input at fault, or
// says that no standard resistor meets both bounds, or that none is needed.
func Solve(in Input) (Result, error) {
	if err := in.check(); err != nil {
		return Result{}, err
	}
	r := Result{Most: math.Inf(1), LeastRating: leastRating, MostRating: mostRating, RatingSource: practice}
	ohm := in.Resistor
	if ohm == 0 {
		r.Least, r.Most = in.bounds()
		var err error
		if ohm, err = pick(r.Least, r.Most); err != nil {
			return Result{}, err
		}
		r.Suggested = true
	}
	var err error
	if r.Without, err = Closing(in.Voltage, in.Source, in.Inductance, in.Capacitance); err != nil {
		return Result{}, err
	}
	r.Chosen = in.with(ohm)
	r.Chosen.ClosingPeak = (1 - in.Fraction) * r.Without.Peak // the circuit is linear
	return r, nil
}

func (in Input) check() error {
	positive := func(v float64) bool { return v > 0 && !math.IsInf(v, 1) }
	given := func(v float64) bool { return v == 0 || positive(v) }
	switch {
	case !positive(in.Capacitance):
		return fmt.Errorf("pre-charge: capacitance %g F; give the inverter's input capacitance, above zero", in.Capacitance)
	case !positive(in.Voltage):
		return fmt.Errorf("pre-charge: voltage %g V; give the bank's voltage, above zero", in.Voltage)
	case !given(in.Source):
		return fmt.Errorf("pre-charge: source resistance %g ohm; give zero or more", in.Source)
	case !given(in.Inductance):
		return fmt.Errorf("pre-charge: loop inductance %g H; give zero or more", in.Inductance)
	case !(in.Fraction > 0 && in.Fraction < 1):
		return fmt.Errorf("pre-charge: wanted fraction %g; give more than 0 and less than 1, such as 0.95", in.Fraction)
	case !given(in.Resistor) || !given(in.Peak) || !given(in.Wait):
		return errors.New("pre-charge: resistor, peak current and wait must be above zero where they are given")
	case in.Resistor > 0 && (in.Peak > 0 || in.Wait > 0):
		return errors.New("pre-charge: a resistor and a bound on peak or wait are both given; leave one out")
	case in.Resistor == 0 && in.Peak == 0 && in.Wait == 0:
		return errors.New("pre-charge: nothing to choose the resistor by; give the resistor, the peak current allowed or the longest wait")
	}
	return nil
}

// constants is the wait in time constants: 3.0 for 95 %, 4.6 for 99 %.
func (in Input) constants() float64 { return -math.Log1p(-in.Fraction) }

// bounds gives the resistances that keep the peak and the wait.
func (in Input) bounds() (least, most float64) {
	most = math.Inf(1)
	if in.Peak > 0 {
		least = math.Max(0, in.Voltage/in.Peak-in.Source)
	}
	if in.Wait > 0 {
		most = in.Wait/in.constants()/in.Capacitance - in.Source
	}
	return least, most
}

// with gives a resistor at work.
func (in Input) with(ohm float64) Resistor {
	whole := ohm + in.Source
	part := ohm / whole
	r := Resistor{Ohm: ohm, Tau: whole * in.Capacitance, Peak: in.Voltage / whole, Step: (1 - in.Fraction) * in.Voltage}
	r.Wait = in.constants() * r.Tau
	r.Energy = part * in.Capacitance * in.Voltage * in.Voltage / 2
	r.PeakPower = r.Peak * r.Peak * ohm
	left := 1 - in.Fraction
	r.MeanPower = r.Energy * (1 - float64(left*left)) / r.Wait // the heat falls with twice the rate of the current
	r.Hold = r.PeakPower                                       // the same circuit, standing still
	r.OverPractice = r.Hold > mostRating
	return r
}

// e12 is the E12 series of one decade, in tenths.
//
// Source: IEC 60063, Preferred number series for resistors and capacitors, E12
// (from memory).
var e12 = [12]float64{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}

// The decades that are searched, ohm: what can be bought.
const (
	firstDecade = -2 // from 10 mΩ
	lastDecade  = 6  // to 8.2 MΩ
)

// slack lets 13.6 V over 1.36 A be met by 10 ohm.
const slack = 1e-9

// pick gives a standard value between two bounds, both allowed.
func pick(least, most float64) (float64, error) {
	if !(most > 0) {
		return 0, errors.New("pre-charge: the source's own resistance already takes longer than the wait allowed; allow a longer wait")
	}
	if least == 0 && math.IsInf(most, 1) {
		return 0, errors.New("pre-charge: the source's own resistance already keeps the peak current that is allowed, so that no resistor is needed; allow less to ask for one")
	}
	if least > float64(most*(1+slack)) {
		return 0, fmt.Errorf("pre-charge: the peak current asks for %.4g ohm or more, the wait for %.4g ohm or less; allow a longer wait or a higher peak", least, most)
	}
	best, away := 0.0, math.Inf(1)
	for decade := firstDecade; decade <= lastDecade; decade++ {
		for _, tenths := range e12 {
			value := inDecade(tenths, decade)
			if value < float64(least*(1-slack)) || value > float64(most*(1+slack)) {
				continue
			}
			if d := offCentre(value, least, most); d < away {
				best, away = value, d
			}
		}
	}
	if best == 0 {
		return 0, fmt.Errorf("pre-charge: no resistor of the E12 series lies between %.4g and %.4g ohm; allow a longer wait or a higher peak, or give a resistor made up of several", least, most)
	}
	return best, nil
}

// inDecade shifts tenths by decades so that the number nearest to 4.7 or 0.047
// comes out, not a product of roundings.
func inDecade(tenths float64, decade int) float64 {
	if decade < 1 {
		return tenths / math.Pow10(1-decade)
	}
	return tenths * math.Pow10(decade-1)
}

// offCentre is how far a value lies, in ratio, from the middle of two bounds,
// or from the one bound there is: at most one of them is missing.
func offCentre(value, least, most float64) float64 {
	switch {
	case math.IsInf(most, 1):
		return math.Log(value / least)
	case least == 0:
		return math.Log(most / value)
	}
	return math.Abs(math.Log(value / math.Sqrt(least*most)))
}
