package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// step is a unit in which a kind is printed from the size named on, counted in
// that unit after rounding.
type step struct {
	unit *unit
	from float64
}

// steps holds the units of each kind, largest first; the last takes all that
// is smaller. Which unit a fitter expects is common practice, no source:
// meters and shunts read amperes, milliohm meters read down to 0.01 mΩ.
var steps = [...][]step{
	KindCurrent:             {{lookup("kA"), 10}, {lookup("A"), 0}},
	KindVoltage:             {{lookup("kV"), 10}, {lookup("V"), 1}, {lookup("mV"), 0.01}, {lookup("µV"), 0}},
	KindResistance:          {{lookup("MΩ"), 1}, {lookup("kΩ"), 1}, {lookup("Ω"), 1}, {lookup("mΩ"), 0.01}, {lookup("µΩ"), 0}},
	KindLength:              {{lookup("m"), 1}, {lookup("mm"), 0.01}, {lookup("µm"), 0}},
	KindArea:                {{lookup("m²"), 0.01}, {lookup("mm²"), 0}},
	KindTemperature:         {{lookup("°C"), 0}},
	KindCharge:              {{lookup("Ah"), 0}},
	KindEnergy:              {{lookup("kWh"), 1}, {lookup("Wh"), 0.1}, {lookup("J"), 0}},
	KindPower:               {{lookup("kW"), 1}, {lookup("W"), 1}, {lookup("mW"), 0}},
	KindDuration:            {{lookup("d"), 3}, {lookup("h"), 2}, {lookup("min"), 2}, {lookup("s"), 1}, {lookup("ms"), 0}},
	KindMass:                {{lookup("kg"), 1}, {lookup("g"), 0}},
	KindTorque:              {{lookup("N·m"), 0}},
	KindRatio:               {{lookup("%"), 0}},
	KindCapacitance:         {{lookup("F"), 1}, {lookup("mF"), 1}, {lookup("µF"), 0}},
	KindJouleIntegral:       {{lookup("kA²s"), 10}, {lookup("A²s"), 0}},
	KindResistancePerLength: {{lookup("Ω/m"), 1}, {lookup("mΩ/m"), 0.01}, {lookup("µΩ/m"), 0}},
	KindAngle:               {{lookup("°"), 0}},
	KindExposure:            {{lookup("kWh/m²"), 0.1}, {lookup("Wh/m²"), 0}},
	KindFlow:                {{lookup("m³/h"), 0}},
	KindForce:               {{lookup("kN"), 10}, {lookup("N"), 0}},
	KindPressure:            {{lookup("MPa"), 1}, {lookup("kPa"), 1}, {lookup("Pa"), 0}},
}

// maxDigits identify every float64.
const maxDigits = 17

// noNumber is printed for NaN.
const noNumber = "–"

// Format prints q with the given number of significant digits, 1 to 17, in the
// unit a fitter expects: amperes always and kA from 10 kA, volts and mV below
// 1 V, mΩ from 0.01 mΩ to 1 Ω, Ah, N·m, degrees Celsius; "31.2 A", "0.35 mΩ",
// "1.80 kW". Digits outside that range count as the nearest in it. The unit is
// chosen after rounding, so 999.96 mV at 4 digits is "1.000 V". Zero is "0 A",
// never "-0"; NaN is "–", an infinity "∞" or "-∞". Below a millionth and from
// 10^12 of the unit an exponent is used. [Parse] reads every finite form back, but for
// a temperature that rounds to below absolute zero.
// A q whose kind is none of the constants prints without a unit.
func Format[Q Quantity](q Q, digits int) string {
	return formatKind(q.Kind(), float64(q), digits)
}

func formatKind(k Kind, v float64, digits int) string {
	if text, ok := formatSpecial(v); ok {
		return text
	}
	digits = min(max(digits, 1), maxDigits)
	if !k.known() {
		return toDecimal(v, digits).String()
	}
	if v == 0 && k != KindTemperature { // 0 K is -273.15 °C
		return "0 " + lookup(kinds[k].offer[0]).symbol
	}
	var d decimal
	var in *unit
	for _, s := range steps[k] {
		in, d = s.unit, inUnit(s.unit, v, digits)
		if d.reaches(s.from) {
			break
		}
	}
	return d.String() + " " + in.symbol
}

// formatSpecial prints what is no finite number.
func formatSpecial(v float64) (text string, ok bool) {
	switch {
	case math.IsNaN(v):
		return noNumber, true
	case math.IsInf(v, 1):
		return "∞", true
	case math.IsInf(v, -1):
		return "-∞", true
	}
	return "", false
}

// decimal is a number rounded to some significant digits: d.ddd × 10^exp.
type decimal struct {
	negative bool
	digits   string
	exp      int
}

// inUnit gives v, in SI, as a decimal of the unit. For the prefixes the point
// is only moved, so the digits are those of v itself; other units cost one
// division.
func inUnit(u *unit, v float64, digits int) decimal {
	if u.decimal && u.zero == "" {
		d := toDecimal(v, digits)
		d.exp -= u.shift
		return d
	}
	if u.zero == "" {
		return toDecimal(v/u.float, digits)
	}
	return toDecimal(fromKelvin(u, v), digits)
}

// fromKelvin gives a temperature on the unit's own scale. Float64 has a
// spacing of 6e-14 K at 300 K, which would show as digits of their own near the
// scale's zero; 1e-9 is below any thermometer and far above that.
func fromKelvin(u *unit, kelvin float64) float64 {
	const grain = 1e9
	zero, _ := u.off.Float64()
	t := float64(kelvin/u.float) - zero
	if math.Abs(t) > 1e6 {
		return t // rounding to the grain could overflow, and has no digits to mend
	}
	return math.Round(t*grain) / grain
}

func toDecimal(v float64, digits int) decimal {
	return splitDecimal(strconv.FormatFloat(v, 'e', digits-1, 64))
}

// splitDecimal takes "-1.234e-05" apart.
func splitDecimal(s string) decimal {
	var d decimal
	s, d.negative = strings.CutPrefix(s, "-")
	mantissa, exponent, _ := strings.Cut(s, "e")
	d.digits = strings.Replace(mantissa, ".", "", 1)
	d.exp, _ = strconv.Atoi(exponent) // FormatFloat always writes one
	return d
}

// reaches reports whether the magnitude of d is at least from.
func (d decimal) reaches(from float64) bool {
	v, _ := strconv.ParseFloat(d.scientific(), 64) // too large to parse is Inf, which reaches
	return v >= from
}

func (d decimal) scientific() string {
	text := d.digits[:1]
	if len(d.digits) > 1 {
		text += "." + d.digits[1:]
	}
	return text + "e" + strconv.Itoa(d.exp)
}

// String writes d out plainly where that stays readable. Zero has no sign.
func (d decimal) String() string {
	const least, most = -6, 12 // common practice, no source
	n := len(d.digits)
	if strings.Trim(d.digits, "0") == "" {
		return "0"
	}
	var text string
	switch {
	case d.exp < least || d.exp >= most:
		text = d.scientific()
	case d.exp < 0:
		text = "0." + strings.Repeat("0", -d.exp-1) + d.digits
	case d.exp >= n-1:
		text = d.digits + strings.Repeat("0", d.exp-n+1)
	default:
		text = d.digits[:d.exp+1] + "." + d.digits[d.exp+1:]
	}
	if d.negative {
		return "-" + text
	}
	return text
}

// FormatIn prints q in the unit named, with the unit spelled as given, so that
// a changed line keeps the person's own spelling: 0.00035 Ω in "mohm" is
// "0.35 mohm". Digits are significant digits, 1 to 17; below 1 the fewest that
// [Parse] reads back as q (temperatures from 0.2 mK on). At 17 all quantities
// read back as they were, but temperatures only from 64 K on. It fails for an unknown unit, a unit of another kind
// and a q that is not finite.
func FormatIn[Q Quantity](q Q, unit string, digits int) (string, error) {
	return formatIn(q.Kind(), float64(q), unit, digits)
}

func formatIn(k Kind, v float64, spelled string, digits int) (string, error) {
	u := lookup(spelled)
	if u == nil || u.kind != k {
		return "", fmt.Errorf("%s is no unit of %s; units that fit: %s", show(spelled), k.article(), k.offered())
	}
	if text, ok := formatSpecial(v); ok {
		return "", fmt.Errorf("%s cannot be written in %s; a finite number is needed", text, show(spelled))
	}
	exactly := new(big.Rat).SetFloat64(v)
	exactly.Quo(exactly, u.rat).Sub(exactly, u.off)
	if digits >= 1 {
		return ratDecimal(exactly, min(digits, maxDigits)).String() + " " + spelled, nil
	}
	return shortest(u, v, exactly) + " " + spelled, nil
}

// shortest adds digits until the number reads back as v. Significant digits
// are counted, of which 17 always do, being finer than half the spacing of
// float64 and converted exactly. On a scale with a zero of its own decimals are
// counted instead, as float64 is some 1e-14 off 0 °C and one significant digit
// of that would do; 20 decimals do from 0.2 mK on.
func shortest(u *unit, v float64, exactly *big.Rat) string {
	const most, hot = 20, 1e6 // K; above, decimals would be long and are not needed
	var text string
	for places := range most + 1 {
		if u.zero != "" && v < hot {
			text = unsignZero(exactly.FloatString(places))
		} else {
			text = ratDecimal(exactly, places+1).String()
		}
		if back, err := toSI(u, exact(text), text); err == nil && back == v {
			break
		}
	}
	return text
}

// unsignZero drops the sign of a text such as "-0.00".
func unsignZero(s string) string {
	if bare, ok := strings.CutPrefix(s, "-"); ok && strings.Trim(bare, "0.") == "" {
		return bare
	}
	return s
}

// ratDecimal rounds r to significant digits. 256 bits hold some 77 digits, so
// that rounding twice could matter only in a tie agreeing to that many.
func ratDecimal(r *big.Rat, digits int) decimal {
	return splitDecimal(new(big.Float).SetPrec(256).SetRat(r).Text('e', digits-1))
}
