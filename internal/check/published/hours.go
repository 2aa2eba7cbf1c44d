package published

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/model/report"
)

// middle is the open-circuit voltage of one LFP cell, the middle between slow
// discharge and charge at 25 °C, over the state of charge in percent: the curve
// that the runs below were worked out with.
var middle = [][2]float64{{0, 2.1540}, {1, 2.6300}, {2, 2.8133}, {5, 3.0190}, {10, 3.1724}, {15, 3.2129}, {20, 3.2394}, {25, 3.2594},
	{30, 3.2753}, {35, 3.2872}, {40, 3.2975}, {45, 3.3024}, {50, 3.3052}, {55, 3.3092}, {60, 3.3149}, {65, 3.3214}, {70, 3.3291},
	{75, 3.3401}, {80, 3.3447}, {85, 3.3478}, {90, 3.3522}, {95, 3.3696}, {97, 3.4015}, {98, 3.4409}, {99, 3.5176}, {100, 3.5907}}

// fourCells writes that curve, times four, as a job's own.
func fourCells() string {
	var points []string
	for _, p := range middle {
		points = append(points, fmt.Sprintf("[%g %%, %.4f V]", p[0], 4*p[1]))
	}
	return "curve: [" + strings.Join(points, ", ") + "]"
}

// exactly is a battery that is a curve behind a resistance and nothing else.
func exactly(curve, ohm, ah string) string {
	return "chemistry: lfp, nominal: 12.8 V, capacity: " + ah + ", resistance: " + ohm + ", " + curve
}

// wholeDischarge is four batteries of 100 Ah and 10 mΩ on links of 0.75 mΩ, 100 A
// from 95 % on; one counts as empty at 10 %.
func wholeDischarge(negative int) string {
	const own = "start: 95 %"
	return kindred{kind: exactly(fourCells(), "10 mΩ", "100 Ah") + ", limits: {floor: 10 %}", own: []string{own, own, own, own},
		link: "0.75 mΩ", negative: negative, cases: "cases: [{id: load, draw: 100 A}]"}.job()
}

// discharge is one wiring of the whole discharge as the reference has it, at
// its half hours; wiring that is its own mirror image has two batteries only.
type discharge struct {
	id, what    string
	negative    int
	amps, soc   [][]float64 // by half hour and battery
	end, ah     float64     // h and Ah when the first battery is empty
	lastA, last []float64   // A and % then
}

// dischargeRows: a whole discharge, currents and states of charge at the times
// the reference gives.
func dischargeRows() []Row {
	var rows []Row
	for _, d := range []discharge{
		{"ONE", "one end", 1,
			[][]float64{{35.75, 26.12, 20.40, 17.74}, {34.55, 26.12, 20.86, 18.47}, {31.23, 25.23, 22.57, 20.98}, {32.27, 25.28, 21.96, 20.49}, {28.21, 27.47, 23.13, 21.19}, {20.43, 26.61, 27.22, 25.74}},
			[][]float64{{95, 95, 95, 95}, {77.6, 82.0, 84.6, 85.8}, {61.4, 68.9, 73.7, 76.0}, {45.6, 56.3, 62.6, 65.6}, {30.1, 43.2, 51.5, 55.2}, {17.9, 29.5, 38.9, 43.7}},
			2.953, 295, []float64{15.15, 24.68, 29.47, 30.70}, []float64{10.0, 17.9, 26.0, 30.8}},
		{"ACROSS", "opposite ends", 4,
			[][]float64{{26.74, 23.26}, {26.56, 23.44}, {25.80, 24.20}, {25.97, 24.03}, {26.06, 23.94}, {24.54, 25.46}},
			[][]float64{{95, 95}, {81.7, 83.3}, {68.6, 71.4}, {55.7, 59.3}, {42.6, 47.4}, {30.0, 35.0}},
			3.353, 335, []float64{23.02, 26.98}, []float64{10.0, 12.4}},
	} {
		rows = append(rows, d.rows()...)
	}
	return rows
}

func (d discharge) rows() []Row {
	ref := source.Ref{Title: "whole discharge, stepped by Euler every 10 s", At: "four batteries of 100 Ah and 10 mΩ on links of 0.75 mΩ, 100 A from 95 %, LFP curve straight between its points", Edition: "computed, not published", How: source.Derived}
	const why = "the reference stepped by Euler, to first order, every 10 s, and allows three times this"
	toAmps, toPercent := within(0.05, why), within(0.1, why)
	text := wholeDischarge(d.negative)
	r, end := through(text, 1800), justBefore(text)
	var rows []Row
	add := func(when string, r ran, seconds float64, current, charge []float64) {
		for i := range current {
			rows = append(rows, Row{fmt.Sprintf("HOURS-%s-%s-B%d", d.id, when, i+1), fmt.Sprintf("four at %s, current %s, B%d", d.what, atWords(when), i+1), ref, Computed, current[i], "A", toAmps, r.at(i, seconds, amps)})
			if seconds > 0 {
				rows = append(rows, Row{fmt.Sprintf("HOURS-%s-%s-B%d-SOC", d.id, when, i+1), fmt.Sprintf("four at %s, charge %s, B%d", d.what, atWords(when), i+1), ref, Computed, charge[i], "%", toPercent, r.at(i, seconds, percent)})
			}
		}
	}
	for n := range d.amps {
		add(fmt.Sprintf("%.1f", float64(n)/2), r, float64(n)*1800, d.amps[n], d.soc[n])
	}
	add("END", end, math.Inf(1), d.lastA, d.last)
	half := part(0.005, "the reference stepped by Euler; half a percent as it states")
	return append(rows,
		Row{"HOURS-" + d.id + "-FIRST", "four at " + d.what + ", the first one empty", ref, Computed, d.end, "h", half, r.first(report.Empty, hoursOf)},
		Row{"HOURS-" + d.id + "-AH", "four at " + d.what + ", given until the first one is empty", ref, Computed, d.ah, "Ah", half,
			r.get(func(r *report.Run) (float64, error) { return r.FirstOut / 3600, nil })},
		Row{"HOURS-" + d.id + "-BANK", "four at " + d.what + ", given until the last one is empty", ref, Computed, 340, "Ah", part(1e-6, "85 % of four times 100 Ah, whoever was first"),
			r.get(func(r *report.Run) (float64, error) { return r.BankOut / 3600, nil })})
}

func atWords(when string) string {
	if when == "END" {
		return "just before the first one is empty"
	}
	return "at " + when + " h"
}

// closedRows: what has a closed form: two batteries of straight curves, and a
// charge to a voltage and a tail.
func closedRows() []Row {
	form := source.Ref{Title: "two batteries of straight curves side by side", At: "I1 = I1(∞) + (I1(0) − I1(∞))·exp(−t/τ), τ = (R1 + R2)/(k·(1/C1 + 1/C2))", Edition: "derived, not published", How: source.Derived}
	both := form
	both.At += "; with a circuit simulator too"
	rows := []Row{}
	// The reference's 100 Ah would be empty before its last time; ten times the
	// capacity and the slope keep every current.
	slow := through(kindred{kind: exactly("curve: [[0 %, 12 V], [100 %, 14.7 V]]", "10 mΩ", "1000 Ah"), own: []string{"start: 90 %", "start: 90 %, resistance: 15 mΩ"},
		link: "0.001 uohm", negative: 1, cases: "cases: [{id: load, draw: 50 A, for: 4 h}]"}.job(), 10)
	for i, t := range []float64{0, 3600, 7200, 14390} {
		rows = append(rows, Row{fmt.Sprintf("TWO-UNEQUAL-%g", t), fmt.Sprintf("10 and 15 mΩ, equal capacity, 50 A, first one at %g s", t), both, Computed, []float64{30, 29.029, 28.246, 27.109}[i], "A",
			within(0.0006, "half of the last digit given, and a little"), slow.at(0, t, amps)})
	}
	// τ = 25 mΩ / (5 V·(1/360 000 C + 1/720 000 C)) = 1200 s; a third of 50 A at last.
	fast := through(kindred{kind: exactly("curve: [[0 %, 10 V], [100 %, 15 V]]", "10 mΩ", "100 Ah"), own: []string{"start: 90 %", "start: 90 %, resistance: 15 mΩ, capacity: 200 Ah"},
		link: "0.001 uohm", negative: 1, cases: "cases: [{id: load, draw: 50 A, for: 200 min}]"}.job(), 1200)
	for _, t := range []float64{0, 1200, 3600, 12000} {
		rows = append(rows, Row{fmt.Sprintf("TWO-CAPACITIES-%g", t), fmt.Sprintf("10 mΩ 100 Ah and 15 mΩ 200 Ah, 50 A, first one at %g s", t), form, Computed, 50.0/3 + 40.0/3*math.Exp(-t/1200), "A",
			within(6e-5, "steps of 10 s of second order: a sixth of (10 s/τ)² for each τ"), fast.at(0, t, amps)})
	}
	return append(append(rows, chargeRows()...), idealRow())
}

// chargeRows: 50 A into 100 Ah of 12 to 13 V behind 10 mΩ from 20 % on, held at
// 13 V, until 5 A. The voltage is reached at 12.5 V open, 50 %, after 2160 s;
// from there the current decays with R·C/k = 3600 s.
func chargeRows() []Row {
	ref := source.Ref{Title: "a charge at steady current and then at steady voltage, straight curve", At: "I = I0·exp(−t·k/(R·C)) from the voltage on", Edition: "derived, not published", How: source.Derived}
	r := through(single(exactly("curve: [[0 %, 12 V], [100 %, 13 V]]", "10 mΩ", "100 Ah"), "start: 20 %", "cases: [{id: shore, charge: 50 A, voltage: 13 V, tail: 5 A}]\n"), 0)
	last := within(0.011, "steps of 10 s of second order: a sixth of (10 s/τ)² for each τ")
	return []Row{
		{"TAIL-TIME", "50 A held at 13 V until 5 A", ref, Computed, 2160 + 3600*math.Ln10, "s", last,
			r.get(func(r *report.Run) (float64, error) { return r.Steps[0].End, nil })},
		{"TAIL-SOC", "charge then", ref, Computed, 95, "%", within(1e-4, "steps of 10 s"), r.at(0, math.Inf(1), percent)},
		{"TAIL-TAKEN", "put in by then", ref, Computed, 75, "Ah", within(1e-4, "steps of 10 s"),
			r.get(func(r *report.Run) (float64, error) { return r.Taken / 3600, nil })},
	}
}

// idealRow: the same four batteries on equal leads.
func idealRow() Row {
	kind := exactly(fourCells(), "10 mΩ", "100 Ah") + ", limits: {floor: 10 %}"
	text := strings.Replace(star("13 V", "10 mΩ", evenLeads(4), "draw: 100 A"), "unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: 13 V, resistance: 10 mΩ}", "unit: {"+kind+"}", 1)
	text = strings.ReplaceAll(text, "type: unit}", "type: unit, start: 95 %}")
	return Row{"HOURS-IDEAL", "four on equal leads, given until the first one is empty", source.Ref{Title: "charge of four equal batteries that share evenly", At: "4 · 100 Ah · (95 % − 10 %)", Edition: "computed, not published", How: source.Derived},
		Computed, 340, "Ah", part(1e-6, "arithmetic"), through(text, 0).get(func(r *report.Run) (float64, error) { return r.FirstOut / 3600, nil })}
}

// peukertRows: t = H·(C/(I·H))^k.
func peukertRows() []Row {
	ref := source.Ref{Title: "Peukert's law, 100 Ah rated over 20 h", At: "t = H·(C/(I·H))^k", Edition: "computed, not published", How: source.Derived}
	var rows []Row
	for _, p := range []struct{ k, amps, hours, ah float64 }{{1.25, 25, 2.6750, 66.87}, {1.12, 25, 3.2975, 82.44}, {1.25, 5, 20, 100}} {
		r := through(single(fmt.Sprintf("chemistry: agm, nominal: 12 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 12 V, peukert: %g, rated_for: 20 h", p.k), "",
			fmt.Sprintf("cases: [{id: load, draw: %g A}]\n", p.amps)), 0)
		id := fmt.Sprintf("PEUKERT-%g-%g", p.k, p.amps)
		what := fmt.Sprintf("100 Ah over 20 h, exponent %g, at %g A", p.k, p.amps)
		rows = append(rows,
			Row{id, what, ref, Computed, p.hours, "h", within(0.00006, "half of the last digit given, and a little"), r.first(report.Empty, hoursOf)},
			Row{id + "-AH", what + ", given", ref, Computed, p.ah, "Ah", within(0.006, "half of the last digit given, and a little"),
				r.get(func(r *report.Run) (float64, error) { return r.BankOut / 3600, nil })})
	}
	return rows
}

// keptRows: how much of a charge a lead-acid battery keeps, from 0 % on at 10 A.
func keptRows() []Row {
	title := "Stevens, Corey, A study of lead-acid battery efficiency near top-of-charge, 25th IEEE PVSC"
	seen := source.Ref{Title: title, At: "charge that is kept, in words", Edition: "1996", How: source.Read}
	memory := source.Ref{Title: title, At: "charge that is kept, measured", Edition: "1996", How: source.Memory}
	const step = 10.0 // s
	r := through(single("chemistry: agm, nominal: 12 V, capacity: 100 Ah", "start: 0 %", "cases: [{id: shore, charge: 10 A, for: 12 h}]\n"), step)
	kept := func(from, to float64) getter {
		return r.get(func(r *report.Run) (float64, error) {
			b, put := &r.Batteries[0], 0.0 // Ah between the two charges
			for n := 1; n < len(r.Time); n++ {
				if b.Charge[n] > from && b.Charge[n] <= to {
					put -= b.Current[n] * (r.Time[n] - r.Time[n-1]) / 3600
				}
			}
			return (to - from) * 100 / put * 100, nil
		})
	}
	few := "our line is straight between few points"
	return []Row{
		{"KEPT-LOW", "lead-acid, part of a charge kept from 0 to 50 %", seen, Published, 97.5, "%", within(2.5, "printed as above 95"), kept(0, 0.5)},
		{"KEPT-84", "lead-acid, part of a charge kept from 0 to 84 %", memory, Memory, 91, "%", within(1.5, few), kept(0, 0.84)},
		{"KEPT-79-84", "lead-acid, part of a charge kept from 79 to 84 %", memory, Memory, 55, "%", within(5, few), kept(0.79, 0.84)},
		{"KEPT-HIGH", "lead-acid, part of a charge kept from 90 to 95 %", memory, Memory, 50, "%", within(1, "said to be below 50; ours is 50, the gentle side"), kept(0.90, 0.95)},
	}
}
