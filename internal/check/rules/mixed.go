package rules

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// mixType is a second battery type for the examples.
func mixType(chemistry, nominal, capacity string) string {
	return dcWith("batteries:\n", "  other: {chemistry: "+chemistry+", nominal: "+nominal+", capacity: "+capacity+", resistance: 5 mΩ, emf: 13.2 V, limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, series: 4, parallel: 4}}\nbatteries:\n",
		"{id: B2, type: block", "{id: B2, type: other")
}

var mixChemistry = Rule{
	ID:       "MIX-01",
	Title:    "Batteries of unlike chemistry stand together",
	Text:     "Each chemistry has its own voltage over charge and its own charger settings. Together one is never full while the other is overcharged, and at rest one charges the other without limit. A switch that can join two banks counts as closed here.",
	Source:   source.Ref{Title: "no mixing of chemistries in one bank", How: source.Practice},
	Severity: finding.Fault,
	Failing:  mixType("agm", "12.8 V", "100 Ah"),
	Passing:  dcJob,
	check:    checkMixChemistry,
}

func checkMixChemistry(r *report.Report, say *speaker) {
	const mend = "part them: one chemistry to a bank, a charger made for it between the banks"
	l := climb(r.Bank)
	for n, rung := range l.rungs {
		for k, b := range rung {
			switch first := l.rungs[0]; {
			case k > 0 && b.Chemistry != rung[0].Chemistry:
				say.find(b.ID, fmt.Sprintf("%s is %s, %s in parallel with it is %s", b.ID, b.Chemistry, rung[0].ID, rung[0].Chemistry), mend)
			case k == 0 && n > 0 && len(first) > 0 && b.Chemistry != first[0].Chemistry:
				say.find(b.ID, fmt.Sprintf("%s is %s, %s in series with it is %s", b.ID, b.Chemistry, first[0].ID, first[0].Chemistry), mend)
			}
		}
	}
}

var mixVoltage = Rule{
	ID:       "MIX-02",
	Title:    "Batteries of unlike voltage stand in parallel",
	Text:     "Between any two points all batteries and strings must add up to the same nominal voltage. Where they do not, the higher drives into the lower all that their resistances let through.",
	Source:   source.Ref{Title: "Kirchhoff's voltage law over the nominal voltages of the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  mixType("lfp", "25.6 V", "100 Ah"),
	Passing:  dcJob,
	check:    checkMixVoltage,
}

func checkMixVoltage(r *report.Report, say *speaker) {
	l := climb(r.Bank)
	volts := map[int]float64{l.at[r.Bank.Takeoff.Negative]: 0}
	for _, b := range l.all() { // from below, so that the lower post is known
		low, known := volts[l.at[b.Minus()]]
		if !known {
			continue
		}
		high, known := volts[l.at[b.Plus()]]
		if !known {
			volts[l.at[b.Plus()]] = low + float64(b.Nominal)
			continue
		}
		if off := math.Abs(high - low - float64(b.Nominal)); off > 1e-6*float64(b.Nominal) {
			say.hold(finding.Fault, b.ID, fmt.Sprintf("%s has %s nominal, but others hold its posts %s apart", b.ID, volt(float64(b.Nominal)), volt(high-low)),
				"put only equal voltages in parallel", number{value: float64(b.Nominal), limit: high - low, unit: "V", unlike: true}, source.Ref{})
		}
	}
}

// How unlike batteries of one bank may be: common practice, no source.
const (
	agesApart     = 182.5 * 86400 // s, half a year
	capacityRatio = 0.9           // the smallest over the largest
)

var mixAge = Rule{
	ID:       "MIX-03",
	Title:    "Batteries of unlike age or capacity stand together",
	Text:     "An old battery has more resistance and less capacity: in parallel the new one carries more and ages faster, in series the old one is empty first and full first. Half a year and a tenth of the capacity are customary limits without a source; `currents` and `run` show what these batteries really do.",
	Source:   source.Ref{Title: "batteries of one bank are bought together and alike", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("{id: B2, type: block", "{id: B2, type: block, age: 730 d"),
	Passing:  dcJob,
	check:    checkMixAge,
}

func checkMixAge(r *report.Report, say *speaker) {
	all := climb(r.Bank).all()
	if len(all) < 2 {
		return
	}
	young, old, small, large := all[0], all[0], all[0], all[0]
	for _, b := range all[1:] {
		if b.Age < young.Age {
			young = b
		}
		if b.Age > old.Age {
			old = b
		}
		if b.Capacity.V < small.Capacity.V {
			small = b
		}
		if b.Capacity.V > large.Capacity.V {
			large = b
		}
	}
	if apart := float64(old.Age - young.Age); apart > agesApart*(1+1e-9) {
		say.hold(finding.Warning, old.ID, fmt.Sprintf("%s is %.0f days older than %s; the custom is half a year at most", old.ID, apart/86400, young.ID),
			"keep the old ones in a bank of their own, or measure resistance and capacity and look at the shares", number{value: apart, limit: agesApart, unit: "s"}, source.Ref{})
	}
	if ratio := float64(small.Capacity.V / large.Capacity.V); ratio < capacityRatio*(1-1e-9) {
		say.hold(finding.Warning, small.ID, fmt.Sprintf("%s has %s, %s has %s", small.ID, quantity.Format(small.Capacity.V, 3), large.ID, quantity.Format(large.Capacity.V, 3)),
			"in series take equal ones; in parallel look at the current of each", number{value: ratio, limit: capacityRatio, unit: "1", least: true}, source.Ref{})
	}
}

var oddNominal = Rule{
	ID:       "MIX-04",
	Title:    "A nominal voltage that is odd for its chemistry",
	Text:     "The nominal voltage tells how many cells a battery has, and from these come its charge limits and its voltage over charge. A lithium iron phosphate battery called 12 V has 12.8 V nominal.",
	Source:   source.Ref{Title: "nominal cell voltages: 3.2 V for lithium iron phosphate, 2 V for lead-acid", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("nominal: 12.8 V", "nominal: 12 V"),
	Passing:  dcJob,
	check:    checkOddNominal,
}

func checkOddNominal(r *report.Report, say *speaker) {
	said := map[string]bool{}
	for i := range r.Bank.Batteries {
		b := &r.Bank.Batteries[i]
		chem := catalog.Default().Chemistry(b.Chemistry)
		if said[b.Type] || chem == nil {
			continue
		}
		said[b.Type] = true
		likely := likelyNominal(b, float64(chem.Cell.V))
		if off := math.Abs(float64(b.Nominal)-likely) / likely; off > 0.01 { // a printed 12.8 V stands for 12.7 to 12.9
			say.find(b.ID, fmt.Sprintf("type %s is %s with %s nominal; is %s meant?", b.Type, b.Chemistry, volt(float64(b.Nominal)), volt(likely)), "write the nominal voltage of its label or sheet")
		}
	}
}

// likelyNominal is the nominal voltage near what a job says that a battery of
// the chemistry can have: cells in fours (lithium) or threes (lead) where that
// is near, else any number of cells.
func likelyNominal(b *bank.Battery, cell float64) float64 {
	group := 3 * cell
	if b.Chemistry == bank.LFP {
		group = 4 * cell
	}
	v := float64(b.Nominal)
	if n := math.Round(v / group); n >= 1 && math.Abs(v-n*group) < 0.08*n*group { // 12 V for 12.8 V is 6 % off
		return n * group
	}
	return math.Max(1, math.Round(v/cell)) * cell
}
