package job

import (
	"bankwright/internal/model/bank"
)

// checkZeros notes keys of a part that say nought where nought means "not
// given" further on: the number would be dropped in silence. An idle power of
// nought is one, so it may stand; keys that are not named here cannot be nought.
func (k *checker) checkZeros(p *Part) {
	const unknown, none = "where it is not known", "where there is none"
	rating := unknown
	if kind := p.Kind.V; kind == bank.Fuse || kind == bank.Breaker {
		rating = "to have one proposed"
	}
	zero(k, p.Rating, "rating", "A", rating)
	zero(k, p.Interrupt, "interrupt", "A", unknown)
	zero(k, p.Volts, "volts", "V", unknown)
	zero(k, p.StudLength, "stud_length", "mm", unknown)
	zero(k, p.Power, "power", "W", unknown)
	zero(k, p.Surge, "surge", "W", none)
	zero(k, p.Cutout, "cutout", "V", none)
	zero(k, p.Capacitance, "capacitance", "F", unknown)
	zero(k, p.Current, "current", "A", unknown)
	zero(k, p.Voltage, "voltage", "V", unknown)
	zero(k, p.Float, "float", "V", none)
	zero(k, p.Input, "input", "A", unknown)
}

// zero notes a key of nought.
func zero[Q ~float64](k *checker, f Field[Q], name, unit, out string) {
	if f.Set && !(f.V > 0) {
		k.Add(f.Pos, "%s must be above 0 %s; leave it out %s", name, unit, out)
	}
}
