package published

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	circuit "bankwright/internal/engine/cell"
	"bankwright/internal/engine/outage"
	"bankwright/internal/model/bank"
)

// smallCell is the open data that the model of an LFP battery was taken from.
func smallCell(at string) source.Ref {
	return source.Ref{Title: "open data of a 2.07 Ah LFP cell, esctoolbox-python", At: at, Edition: "commit e82af55", How: source.Derived}
}

// lfpCell is a job of one LFP cell with all the chemistry knows of it.
func lfpCell(own string) loaded {
	return load(single("chemistry: lfp, nominal: 3.2 V, capacity: 100 Ah", own, ""))
}

// batteryRows: what the program takes a battery of a chemistry to be.
func batteryRows() []Row {
	rows := append(crossRows(), gapRows()...)
	rows = append(rows, entropyRows()...)
	rows = append(rows, ohmicRows()...)
	rows = append(rows, warmCapacityRows()...)
	return append(append(rows, heatRows()...), guardRows()...)
}

// crossRows: the table of another maker's cell, ten points as printed. Only
// those above 8 % are asked: below them and at the very top a percent moves the
// curve by 20 to 90 mV, and no two cells agree on where nothing is left.
func crossRows() []Row {
	title := "table of an LFP 18650 cell at C/32, Sunil, Pattipati, Balasingam, IEEE Trans. Instrum. Meas., with open code"
	printed := source.Ref{Title: title, At: "ten points, as printed", Edition: "2025", How: source.Read}
	between := source.Ref{Title: title, At: "straight between the points of 8.85, 29.72 and 98.33 %", Edition: "2025", How: source.Derived}
	volts := func(percent float64) getter { return restVolts("lfp", "3.2 V", percent) }
	shape := within(0.010, "another cell; the shape of the plateau is good to 10 mV")
	// From 30 to 98 % the table is one straight piece, which hides the step at 70 %.
	step := within(0.015, "another cell; one straight piece from 30 to 98 % leaves out the step at 70 %")
	rows := []Row{
		{"CROSS-8.85", "one LFP cell at rest, 8.85 %", printed, Published, 3.1942, "V", within(0.060, "another cell, on the steep end, where a percent is worth 30 mV"), volts(8.85)},
		{"CROSS-29.72", "one LFP cell at rest, 29.72 %", printed, Published, 3.2772, "V", shape, volts(29.72)},
	}
	for _, p := range []struct {
		percent   float64
		tolerance Tolerance
	}{
		{10, within(0.027, "another cell, at the steep end: 26 mV apart")}, {20, shape}, {25, shape}, {40, shape}, {50, shape}, {60, shape},
		{70, step}, {75, step}, {80, step}, {90, step},
	} {
		want := 3.1942 + (p.percent-8.85)*(3.2772-3.1942)/(29.72-8.85)
		if p.percent > 29.72 {
			want = 3.2772 + (p.percent-29.72)*(3.3511-3.2772)/(98.33-29.72)
		}
		rows = append(rows, Row{fmt.Sprintf("CROSS-%g", p.percent), fmt.Sprintf("one LFP cell at rest, %g %%", p.percent), between, Computed, math.Round(want*1e4) / 1e4, "V", p.tolerance, volts(p.percent)})
	}
	return rows
}

// branchGap is the distance between the branches on charge and on discharge, V.
func branchGap(_ *bank.Battery, c *circuit.Cell, s circuit.State) float64 {
	low, high := s, s
	low.Lean, high.Lean = -1, 1
	return c.EMF(&high) - c.EMF(&low)
}

// gapRows: the distance between the branches.
func gapRows() []Row {
	gap := func(of string) getter {
		return lfpCell(of).battery(func(b *bank.Battery, c *circuit.Cell, s circuit.State) float64 { return 1e3 * branchGap(b, c, s) })
	}
	half := within(0.51, "half of the last digit given, and a little")
	var rows []Row
	for i, t := range []float64{-15, -5, 5, 25, 45} {
		rows = append(rows, Row{fmt.Sprintf("GAP-%gC", t), fmt.Sprintf("LFP cell, charge above discharge, 50 %%, %g °C", t), smallCell("slow branches, 50 % charge"), Computed, []float64{57, 35, 21, 12, 7}[i], "mV", half,
			gap(fmt.Sprintf("start: 50 %%, temperature: %g °C", t))})
	}
	for i, p := range []float64{5, 10, 15, 20, 30, 35, 45, 60, 70, 80, 90, 95} {
		rows = append(rows, Row{fmt.Sprintf("GAP-%g", p), fmt.Sprintf("LFP cell, charge above discharge, %g %%, 25 °C", p), smallCell("slow branches, 25 °C"), Computed,
			[]float64{39, 19, 9, 17, 31, 29, 10, 21, 26, 16, 17, 27}[i], "mV", half, gap(fmt.Sprintf("start: %g %%", p))})
	}
	blog := source.Ref{Title: "technical article of a battery-analytics firm", At: "hysteresis of an LFP cell after a long rest, 5 to 25 mV", Edition: "edition not stated", How: source.Read}
	return append(rows, Row{"GAP-PLATEAU", "LFP cell, charge above discharge, mean of 15 to 85 %", blog, Published, 15, "mV", within(10, "printed as 5 to 25 mV"),
		lfpCell("").battery(func(b *bank.Battery, c *circuit.Cell, s circuit.State) float64 {
			sum, n := 0.0, 0
			for s.Charge = 0.15; s.Charge < 0.851; s.Charge += 0.05 {
				sum, n = sum+1e3*branchGap(b, c, s), n+1
			}
			return sum / float64(n)
		})})
}

// entropyRows: what temperature does to the open-circuit voltage, and the heat
// that comes with it.
func entropyRows() []Row {
	volts := func(own string) getter {
		return lfpCell(own).battery(func(_ *bank.Battery, c *circuit.Cell, s circuit.State) float64 { return c.EMF(&s) })
	}
	ends := within(0.0011, "the coefficient is the line through five temperatures, the ends lie a little off it")
	cold, hot := volts("start: 45 %, temperature: 5 °C"), volts("start: 45 %, temperature: 45 °C")
	rows := []Row{
		{"ENTROPY-COLD", "LFP cell at rest, 45 %, 5 °C", smallCell("middle of the branches, 5 °C"), Computed, 3.2976, "V", ends, cold},
		{"ENTROPY-HOT", "LFP cell at rest, 45 %, 45 °C", smallCell("middle of the branches, 45 °C"), Computed, 3.3062, "V", ends, hot},
	}
	// Half of what current the one way takes and the other way gives.
	example := source.Ref{Title: "reversible heat of four LFP cells at 100 A, 45 %, 298 K", At: "I·T·dU/dT", Edition: "computed, not published", How: source.Derived}
	four := load(single("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ", "start: 45 %", ""))
	given := load(single("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V", "", ""))
	return append(rows,
		Row{"REVERSIBLE", "heat that four LFP cells take up, 100 A, 45 %, 25 °C", example, Computed, 25.9, "W", within(0.4, "the reference's 0.217 mV/K is kept as 0.22"),
			four.battery(func(_ *bank.Battery, c *circuit.Cell, s circuit.State) float64 {
				return (c.Heat(&s, -100) - c.Heat(&s, 100)) / 2
			})},
		Row{"JOULE", "heat of 100 A in 5 mΩ", example, Computed, 50, "W", part(1e-12, "exact but for rounding"),
			given.battery(func(_ *bank.Battery, c *circuit.Cell, s circuit.State) float64 { return c.Heat(&s, 100) })})
}

// ohmicRows: resistance over temperature, charge and size.
func ohmicRows() []Row {
	ohm := func(_ *bank.Battery, c *circuit.Cell, s circuit.State) float64 { return c.Resistance(&s) * 1e3 }
	over := func(kind, one, other string) getter {
		a, b := load(single(kind, one, "")).battery(ohm), load(single(kind, other, "")).battery(ohm)
		return func() (float64, error) {
			x, err := a()
			if err != nil {
				return 0, err
			}
			y, err := b()
			return x / y, err
		}
	}
	const lfp = "chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah"
	var rows []Row
	for i, t := range []float64{-15, -5, 5, 15, 35, 45} {
		want := []float64{58.7, 28.9, 17.4, 12.2, 8.37, 7.50}[i] / 9.66
		rows = append(rows, Row{fmt.Sprintf("STEP-%gC", t), fmt.Sprintf("LFP resistance at %g °C over that at 25 °C", t), smallCell("resistance after 1 s, medians over 20 to 80 % charge"), Computed, math.Round(want*1e4) / 1e4, "",
			part(0.006, "ratios kept to a hundredth"), over(lfp, fmt.Sprintf("start: 50 %%, temperature: %g °C", t), "start: 50 %")})
	}
	frost := smallCell("resistance after 1 s, straight in its logarithm between -5 and 5 °C")
	branch := func(k int) getter {
		return load(single("chemistry: lfp, nominal: 3.2 V, capacity: 2.0726 Ah", "", "")).battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 {
			return float64(b.Model.Branches[k].Resistance.V) * 1e3
		})
	}
	fitted := smallCell("fit to a dynamic test at 25 °C, branches of 20 and 640 s")
	sheet := source.Ref{Title: "customary resistance of a new 12 V class battery of 100 Ah", How: source.Practice}
	memory := source.Ref{Title: "resistance of lead-acid batteries, roughly", Edition: "not at hand", How: source.Memory}
	vrla := source.Ref{Title: "data sheet of a 12 V 40 Ah valve-regulated battery", At: "internal resistance, fully charged, 25 °C", Edition: "edition not stated", How: source.Read}
	const agm, flooded = "chemistry: agm, nominal: 12 V, capacity: 100 Ah", "chemistry: flooded, nominal: 12 V, capacity: 100 Ah"
	whole := func(kind string) getter {
		return load(single(kind, "", "")).battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return float64(b.Resistance.V) * 1e3 })
	}
	return append(rows,
		Row{"STEP-0C", "LFP resistance at 0 °C over that at 25 °C", frost, Computed, 2.3213, "", part(0.005, "ratios kept to a hundredth"), over(lfp, "start: 50 %, temperature: 0 °C", "start: 50 %")},
		Row{"STEP-0C-OUTAGE", "the same, as a cold side is taken", frost, Computed, 2.3213, "", part(0.005, "kept to a hundredth"), func() (float64, error) { return outage.Defaults().ColdLFP, nil }},
		Row{"BRANCH-20", "quick branch of a 2.07 Ah LFP cell", fitted, Computed, 9.5, "mΩ", within(0.05, "half of the last digit given"), branch(0)},
		Row{"BRANCH-640", "slow branch of a 2.07 Ah LFP cell", fitted, Computed, 90.6, "mΩ", within(0.05, "half of the last digit given"), branch(1)},
		Row{"OHM-LFP", "12.8 V 100 Ah LFP battery, new and warm", sheet, Memory, 5, "mΩ", within(2, "said to be 3 to 7 mΩ"), whole(lfp)},
		Row{"OHM-AGM", "12 V 100 Ah AGM battery", memory, Memory, 4, "mΩ", within(1, "said to be 3 to 5 mΩ when full"), whole(agm)},
		Row{"OHM-FLOODED", "12 V 100 Ah flooded battery", memory, Memory, 7.5, "mΩ", within(2.5, "said to be 5 to 10 mΩ when full"), whole(flooded)},
		Row{"OHM-VRLA", "12 V 40 Ah AGM battery, full, 25 °C", vrla, Published, 4, "mΩ", within(4, "printed as below 8"), load(single("chemistry: agm, nominal: 12 V, capacity: 40 Ah", "start: 100 %", "")).battery(ohm)},
		Row{"OHM-EMPTY", "lead-acid resistance at 20 % over that when full", memory, Memory, 2, "", within(0.05, "said to be roughly two"), over(flooded, "start: 20 %", "start: 100 %")},
		Row{"OHM-COLD", "lead-acid resistance at -20 °C over that at 25 °C", memory, Memory, 2, "", within(0.05, "said to be roughly two"), over(flooded, "temperature: -20 °C", "temperature: 25 °C")})
}

// warmCapacityRows: capacity over temperature, and Peukert's exponents.
func warmCapacityRows() []Row {
	lfp := source.Ref{Title: "data sheet of an LFP battery", At: "capacity at a third of the capacity an hour, 0.33C; at least", Edition: "edition not stated", How: source.Read}
	agm := source.Ref{Title: "data sheet of a 12 V 40 Ah valve-regulated battery", At: "capacity over temperature", Edition: "edition not stated", How: source.Read}
	ratio := func(chemistry, nominal string, t float64) getter {
		return load(single("chemistry: "+chemistry+", nominal: "+nominal+", capacity: 100 Ah", fmt.Sprintf("temperature: %g °C", t), "")).battery(
			func(b *bank.Battery, c *circuit.Cell, s circuit.State) float64 {
				return c.Capacity(&s) / float64(b.Capacity.V) * 100
			})
	}
	same := within(1e-9, "the same figure, but for rounding")
	var rows []Row
	for i, t := range []float64{-20, 0, 25, 55} {
		rows = append(rows, Row{fmt.Sprintf("WARM-LFP-%gC", t), fmt.Sprintf("LFP capacity at %g °C", t), lfp, Published, []float64{70, 80, 100, 95}[i], "%", same, ratio("lfp", "12.8 V", t)})
	}
	for i, t := range []float64{-10, 10, 25, 30} {
		rows = append(rows, Row{fmt.Sprintf("WARM-AGM-%gC", t), fmt.Sprintf("AGM capacity at %g °C", t), agm, Published, []float64{74, 90, 100, 103}[i], "%", same, ratio("agm", "12 V", t)})
	}
	page := source.Ref{Title: "trade page on Peukert's exponent", At: "AGM 1.05 to 1.15, gel 1.1 to 1.25, flooded 1.2 to 1.6", Edition: "edition not stated", How: source.Read}
	for _, p := range []struct {
		chemistry string
		want, off float64
		why       string
	}{{"agm", 1.10, 0.05, "half of the printed span"}, {"gel", 1.175, 0.075, "half of the printed span"}, {"flooded", 1.4, 0.2, "half of the printed span; it rises with age, ours is of a new battery"}} {
		rows = append(rows, Row{"EXPONENT-" + strings.ToUpper(p.chemistry), "Peukert's exponent, " + p.chemistry, page, Published, p.want, "", within(p.off, p.why),
			load(single("chemistry: "+p.chemistry+", nominal: 12 V, capacity: 100 Ah", "", "")).battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return b.Model.Peukert.V })})
	}
	return rows
}

// heatRows: what a battery stores. One of 11 kg that gives 100 A through 5 mΩ
// for an hour makes 50 W; without cooling it is warmer by 16 K.
func heatRows() []Row {
	worked := source.Ref{Title: "12.8 V 100 Ah LFP battery of 11 kg", At: "about 11 kJ/K; 50 W for an hour, no cooling", Edition: "computed, not published", How: source.Derived}
	web := source.Ref{Title: "web engineering reference on lithium cells", At: "specific heat, 30 to 40 °C, half charged", Edition: "edition not stated", How: source.Read}
	bpx := source.Ref{Title: "open BPX parameter file of an LFP cell", At: "specific heat, thermal properties estimated", Edition: "edition not stated", How: source.Read}
	job := load(single("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, mass: 11 kg, size: {length: 304.8 mm, width: 171.5 mm, height: 228.6 mm}", "", ""))
	specific := job.battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return b.Model.HeatCapacity.V / 11 })
	return []Row{
		{"HEAT-STORE", "11 kg LFP battery", worked, Computed, 11, "kJ/K", within(0.6, "about, in round numbers: 11 kg at 1000 J/(kg K); ours has 1050"),
			job.battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return b.Model.HeatCapacity.V / 1e3 })},
		{"HEAT-RISE", "an hour at 100 A through 5 mΩ, no cooling", worked, Computed, 16, "K", within(0.5, "half of the last digit given"),
			job.battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 {
				closed := *b
				closed.Model.Cooling.V = 0
				c := circuit.New(&closed)
				s := c.Start(1)
				return c.Advance(s, 100, 3600).Kelvin - s.Kelvin
			})},
		{"HEAT-WEB", "specific heat of an LFP cell", web, Published, 1130, "J/(kg K)", part(0.08, "ours lies between this and the other printed value"), specific},
		{"HEAT-BPX", "specific heat of an LFP cell", bpx, Published, 999, "J/(kg K)", part(0.06, "ours lies between this and the other printed value"), specific},
	}
}

// guardRows: limits that the electronics of an LFP battery are taken to have.
func guardRows() []Row {
	sheets := source.Ref{Title: "makers' sheets of small 12.8 V LFP batteries", At: "charge from 0 °C; discharge -20 to 60 °C", Edition: "edition not stated", How: source.Read}
	chip := source.Ref{Title: "reference of a protection circuit", At: "charge over-temperature, default", Edition: "edition not stated", How: source.Read}
	boards := source.Ref{Title: "boards of LFP batteries", At: "delay of over-voltage, about 1 s", Edition: "edition not stated", How: source.Read}
	habit := source.Ref{Title: "customary settings of the electronics of LFP batteries", How: source.Practice}
	exact := within(1e-9, "the same figure")
	guard := func(of func(*bank.Guard) float64) getter {
		return lfpCell("").battery(func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return of(&b.Model.Guard) })
	}
	return []Row{
		{"GUARD-COLD-CHARGE", "no charge below", sheets, Published, 0, "°C", exact, guard(func(g *bank.Guard) float64 { return float64(g.ColdCharge.V) - 273.15 })},
		{"GUARD-COLD", "opens below", sheets, Published, -20, "°C", exact, guard(func(g *bank.Guard) float64 { return float64(g.Cold.V) - 273.15 })},
		{"GUARD-HOT", "opens above", sheets, Published, 60, "°C", exact, guard(func(g *bank.Guard) float64 { return float64(g.Hot.V) - 273.15 })},
		{"GUARD-HOT-CHARGE", "no charge above", chip, Published, 55, "°C", exact, guard(func(g *bank.Guard) float64 { return float64(g.HotCharge.V) - 273.15 })},
		{"GUARD-DELAY", "delay of a trip by voltage", boards, Published, 1, "s", exact, guard(func(g *bank.Guard) float64 { return float64(g.VoltageDelay.V) })},
		{"GUARD-LOW", "under-voltage of a cell", habit, Memory, 2.5, "V", exact, guard(func(g *bank.Guard) float64 { return float64(g.Low.V) })},
		{"GUARD-HIGH", "over-voltage of a cell", habit, Memory, 3.65, "V", exact, guard(func(g *bank.Guard) float64 { return float64(g.High.V) })},
	}
}
