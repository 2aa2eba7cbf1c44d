package protect

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

// SizeResult is what a rule lets a device have over a conductor.
type SizeResult struct {
	Outcome         // of the device that was asked about
	Largest float64 // A, largest standard rating allowed; NaN: none
	Bound   float64 // A that no rating may pass: the conductor's times the ratio, or times that up to which the next standard rating counts
}

// Allowed holds a device's rating, A, against a rule for a conductor's
// amperes. Those are the ones the rule is for: of 33 CFR 183.455 the plain
// amperes of Table 5, not lowered for an engine space.
//
// Two kinds of rule differ. With a ratio alone (33 CFR 183.455 under 50 V: 150
// %) any rating up to it goes. With a next step (from 50 V, and 46 CFR: the
// conductor's amperes, else the next larger standard rating up to 150 %) a
// rating above the conductor's amperes must be just that step.
//
// Not checked: a number or the standard ratings are not told. A device that is
// not told leaves Largest filled.
func Allowed(device, basis source.Value[float64], rule rating.ProtectionLimit, standard *rating.StandardRatings) SizeResult {
	r := SizeResult{Largest: math.NaN(), Bound: math.NaN()}
	r.ground(rule.Ref)
	r.use(basis, device)
	base, ok := positive(basis)
	if !ok || standard == nil || len(standard.List) == 0 {
		r.say(NotChecked, "the amperes of the conductor or the standard ratings are not told")
		return r
	}
	r.ground(standard.Ref)
	r.Bound = base * math.Max(float64(rule.Ratio), float64(rule.Next))
	if largest, ok := rule.Largest(quantity.Current(base), standard); ok {
		r.Largest = float64(largest)
	}
	d, ok := positive(device)
	switch {
	case !ok:
		r.say(NotChecked, "the rating of the device is not told")
	case atMost(d, base*float64(rule.Ratio)):
		r.say(Within, "%s is at most %.4g times the %s of the conductor", amps(d), float64(rule.Ratio), amps(base))
	case rule.Next > 0 && atMost(d, r.Largest) && atMost(r.Largest, d):
		r.say(Within, "%s is the next larger standard rating over the %s of the conductor and at most %.4g times that", amps(d), amps(base), float64(rule.Next))
	case rule.Next > 0 && atMost(d, r.Bound):
		r.say(Outside, "%s is not the next larger standard rating over the %s of the conductor; %s", amps(d), amps(base), r.largest())
	default:
		r.say(Outside, "%s is more than the %s allowed over the %s of the conductor; %s", amps(d), amps(r.Bound), amps(base), r.largest())
	}
	return r
}

func (r *SizeResult) largest() string {
	if math.IsNaN(r.Largest) {
		return "no standard rating is small enough"
	}
	return "the largest standard rating allowed is " + amps(r.Largest)
}
