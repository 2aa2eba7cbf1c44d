package rules

import (
	"strings"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// mend says what would be a barrier: of what may stand against the hazard that
// which the job does not have. Batteries without electronics are not asked for
// limits that nothing in them acts on.
func mend(r *report.Report, h *report.Hazard) string {
	own, other := false, false
	for _, b := range h.Stated() {
		own, other = own || b.Own, other || !b.Own
	}
	var ways []string
	add := func(missing bool, words string) {
		if missing && words != "" {
			ways = append(ways, words)
		}
	}
	add(!other, mendOther(r, h))
	add(!own && electronic(r, h), mendOwn(h))
	if h.What == report.Reversed {
		ways = append([]string{"measure polarity before the last connection is made"}, ways...)
	}
	if len(ways) == 0 {
		return "ask the maker of the batteries and of " + h.Place() + " what else stops it, and put a second part in"
	}
	return strings.Join(ways, ", or ")
}

// mendOwn is the limit of the batteries' own protection to give.
func mendOwn(h *report.Hazard) string {
	limit := map[report.HazardKind]string{report.TooHot: "hot_charge", report.Freezing: "cold_charge", report.OverVoltage: "high", report.OverCharge: "charge_trip",
		report.OverDischarge: "low", report.OverCurrent: "trip", report.DeadShort: "trip", report.Reversed: "trip", report.CoverOff: "trip"}[h.What]
	return "give " + limit + " of the battery from its sheet"
}

// mendOther is what a part beside the batteries can do.
func mendOther(r *report.Report, h *report.Hazard) string {
	p := r.Bank.Part(h.Through)
	if p == nil {
		p = &bank.Part{}
	}
	switch h.What {
	case report.TooHot:
		if p.Device.HotLockout > 0 {
			return "set hot_lockout of " + p.ID + " at or under the batteries' limit"
		}
		return "give " + p.ID + " a sensor on the batteries that stops it when they are hot (hot_lockout)"
	case report.Freezing:
		if p.Device.ColdLockout > 0 {
			return "set cold_lockout of " + p.ID + " at or above the batteries' limit"
		}
		return "give " + p.ID + " a sensor on the batteries that stops it in the cold (cold_lockout)"
	case report.OverVoltage:
		if p.Device.Voltage > 0 {
			return "set the voltage of " + p.ID + " at or under the batteries' limit"
		}
		return "give the voltage that " + p.ID + " holds"
	case report.OverCharge:
		if p.Device.Current > 0 {
			return "set the current of " + p.ID + " at or under the batteries' charge limits, and give those"
		}
		return "give the current of " + p.ID + ", at or under the batteries' charge limits"
	case report.OverDischarge:
		if p.Device.Cutout > 0 {
			return "set the cut-out of " + p.ID + " at or above the batteries' low limit"
		}
		return "give " + p.ID + " a cut-out, or a relay that has one"
	case report.OverCurrent:
		return "put in a fuse or breaker rated within the batteries' discharge limits"
	case report.DeadShort:
		return "put in a fuse that can break the short, close to the batteries"
	case report.Reversed:
		return "put a fuse at each battery, which limits the harm"
	}
	return "put covers on the posts (covered: true)"
}
