package published

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

// barRows: copper bars at 20 °C, a foot from stud to stud.
func barRows() []Row {
	var rows []Row
	for _, b := range []struct {
		thick string
		wide  []string
		ohm   []float64 // µΩ per ft
	}{
		{"1/16", []string{"1/2", "3/4", "1", "1 1/2", "2"}, []float64{264.0, 175.0, 132.0, 87.7, 65.8}},
		{"1/8", []string{"1/2", "3/4", "1", "1 1/2", "2", "2 1/2", "3", "4"}, []float64{132.0, 87.7, 65.8, 43.8, 32.9, 26.4, 21.9, 16.5}},
		{"3/16", []string{"1/2", "3/4", "1", "1 1/2", "2", "3", "4"}, []float64{87.7, 58.4, 43.8, 29.3, 21.9, 14.6, 11.0}},
		{"1/4", []string{"1/2", "3/4", "1", "1 1/2", "2", "3"}, []float64{65.8, 43.8, 32.9, 21.9, 16.5, 11.0}},
	} {
		for i, wide := range b.wide {
			rows = append(rows, bar(b.thick, wide, b.ohm[i]))
		}
	}
	return rows
}

// bar is one row: a bar of two studs a foot apart between a battery and the
// take-off.
func bar(thick, wide string, ohm float64) Row {
	size := fmt.Sprintf("%s in × %s in", thick, wide)
	s := solve("bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: 13 V, resistance: 1 mΩ}\nbatteries: [{id: B1, type: unit}]\n" +
		fmt.Sprintf("parts: [{id: N, kind: bar, studs: 2, pitch: 12 in, section: [%s in, %s in]}]\n", wide, thick) +
		"cables: [{id: W1, from: B1+, to: N.1, resistance: 0.1 mΩ}]\ntakeoff: {positive: N.2, negative: B1-}\ncases: [{id: asked, draw: 100 A}]\n")
	return Row{"BAR-" + strings.NewReplacer("/", ".", " in", "", " × ", "x", " ", "-").Replace(size), "copper bar " + size + ", 20 °C",
		source.Ref{Title: "Copper Development Association, busbar table 1", At: "copper 110", Edition: "edition not stated", How: source.Read},
		Published, ohm, "µΩ/ft", part(0.013, "the table is of copper at 99 % IACS, ours of 100 %; three figures printed"),
		s.get(func(r *report.Report) (float64, error) { return r.Sharing.Parts[0].Resistance * 1e6, nil })}
}

// lugRows: from how many lugs on a stud on the program speaks.
func lugRows() []Row {
	return []Row{{"LUGS", "most lugs on one stud without a word",
		source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "paragraph 11-174 b", Edition: "2001", How: source.Read},
		Published, 4, "", within(0, "a count"), quietLugs}}
}

// quietLugs adds leads to two studs until a rule speaks of them.
func quietLugs() (float64, error) {
	for n := 1; n < 12; n++ {
		j, err := assess.Load("published.yaml", []byte(star("13 V", "5 mΩ", evenLeads(n), "draw: 10 A")))
		if err != nil {
			return 0, err
		}
		r, err := j.Currents("")
		if err != nil {
			return 0, err
		}
		for _, f := range r.Findings {
			if f.Rule == "LUG-01" {
				return float64(n - 1), nil
			}
		}
	}
	return 0, fmt.Errorf("no rule speaks of 11 lugs")
}

// evenLeads is n leads of 1 mΩ.
func evenLeads(n int) []float64 {
	leads := make([]float64, n)
	for i := range leads {
		leads[i] = 1
	}
	return leads
}

// restVolts assembles one battery of a chemistry at a state of charge and gives
// its open-circuit voltage.
func restVolts(chemistry, nominal string, percent float64) getter {
	text := fmt.Sprintf("bankwright: 1\nbattery_types:\n  unit: {chemistry: %s, nominal: %s, capacity: 100 Ah}\nbatteries: [{id: B1, type: unit, start: %g %%}]\ntakeoff: {positive: B1+, negative: B1-}\n", chemistry, nominal, percent)
	return func() (float64, error) {
		b, _, err := assemble.Read("published.yaml", []byte(text), catalog.Default())
		if err != nil {
			return 0, err
		}
		return float64(b.Batteries[0].EMF.V), nil
	}
}

// lithiumRows: rest voltage of four lithium cells over the state of charge.
func lithiumRows() []Row {
	ref := source.Ref{Title: "slow discharge and charge of a 2.07 Ah LFP cell at 25 °C, four cells", At: "mid of both branches; open data, MIT licence, esctoolbox-python ocv_data", Edition: "commit e82af55", How: source.Derived}
	half := within(0.0051, "half of the last digit given, and a little")
	var rows []Row
	percent := []float64{0, 1, 2, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 97, 98, 99, 100}
	for i, v := range []float64{8.62, 10.52, 11.25, 12.08, 12.69, 12.85, 12.96, 13.04, 13.10, 13.15, 13.19, 13.21, 13.22, 13.24, 13.26, 13.29, 13.32, 13.36, 13.38, 13.39, 13.41, 13.48} { // above, the table is that of a cell just charged, ours of a rested one
		rows = append(rows, Row{fmt.Sprintf("LFP-%g", percent[i]), fmt.Sprintf("four LFP cells at rest, %g %%", percent[i]), ref, Computed, v, "V", half, restVolts("lfp", "12.8 V", percent[i])})
	}
	low, high := restVolts("lfp", "12.8 V", 30), restVolts("lfp", "12.8 V", 85)
	return append(rows, Row{"LFP-SPAN", "four LFP cells at rest, 85 % above 30 %", ref, Computed, 0.29, "V", half, func() (float64, error) {
		a, err := low()
		if err != nil {
			return 0, err
		}
		b, err := high()
		return b - a, err
	}})
}

// leadRows: rest voltage of 12 V lead-acid batteries.
func leadRows() []Row {
	guide := source.Ref{Title: "battery maker's measuring guide", At: "rested flooded 12 V battery at 26.7 °C", Edition: "edition not stated", How: source.Read}
	habit := source.Ref{Title: "customary rest voltages of a 12 V AGM battery", How: source.Practice}
	var rows []Row
	for i, percent := range []float64{100, 75, 50, 25, 0} {
		rows = append(rows,
			Row{fmt.Sprintf("FLOODED-%g", percent), fmt.Sprintf("flooded 12 V battery at rest, %g %%", percent), guide, Published, []float64{12.65, 12.45, 12.24, 12.06, 11.89}[i], "V",
				within(0.005, "half of the last digit printed"), restVolts("flooded", "12 V", percent)},
			Row{fmt.Sprintf("AGM-%g", percent), fmt.Sprintf("AGM 12 V battery at rest, %g %%", percent), habit, Memory, []float64{12.85, 12.575, 12.275, 12.00, 11.775}[i], "V",
				within([]float64{0.05, 0.025, 0.025, 0.05, 0.025}[i], "half of the customary span"), restVolts("agm", "12 V", percent)})
	}
	return rows
}

// unitRows: conversions printed elsewhere.
func unitRows() []Row {
	nist := source.Ref{Title: "NIST SP 811", At: "appendix B, read in reprints of seven digits", Edition: "2008", How: source.Read}
	memory := source.Ref{Title: "NIST SP 811", At: "appendix B", Edition: "2008", How: source.Memory}
	torque := source.Ref{Title: "power equipment manual", At: "table 11, bolts with spring washers", Edition: "edition not stated", How: source.Read}
	ambient := source.Ref{Title: "33 CFR 183.425", At: "ambient of table 5, as explained in a marine questions page", Edition: "edition not stated", How: source.Read}
	training := source.Ref{Title: "training article on NEC 310.15(B)(1)", At: "ambient of its example", Edition: "edition not stated", How: source.Read}
	supports := source.Ref{Title: "46 CFR 183.340", At: "supports of cable", Edition: "edition not stated", How: source.Read}
	bolts := source.Ref{Title: "bolt torque check with K = 0.20", At: "grade 2, 1/4-20, dry", Edition: "edition not stated", How: source.Read}
	rule := source.Ref{Title: "NIST SP 811", At: "1/0.3048, worked out here", Edition: "2008", How: source.Derived}
	again := source.Ref{Title: "power equipment manual", At: "table 11, worked out again", Edition: "edition not stated", How: source.Derived}
	exact, seven := part(1e-15, "exact by definition, but for rounding"), part(5e-7, "seven figures printed")
	nm := within(0.05, "half of the last digit printed")
	k, metres := within(0.005, "exact but for the zero of the scale"), within(0.005, "rounded to 10 mm")
	slip := unit("180 lbf·in", quantity.KindTorque, again, Computed, 20.34, "N·m", within(0.006, "half of the last digit given, and a little"))
	slip.What += "; the source prints 18.0 N·m, a slip"
	return []Row{
		unit("1 in", quantity.KindLength, nist, Published, 0.0254, "m", exact),
		unit("1 ft", quantity.KindLength, nist, Published, 0.3048, "m", exact),
		unit("1 lb", quantity.KindMass, nist, Published, 0.45359237, "kg", exact),
		unit("1 lbf·in", quantity.KindTorque, nist, Published, 0.1129848, "N·m", seven),
		unit("1 lbf·ft", quantity.KindTorque, nist, Published, 1.355818, "N·m", seven),
		unit("32 °F", quantity.KindTemperature, nist, Published, 273.15, "K", exact),
		unit("212 °F", quantity.KindTemperature, nist, Published, 373.15, "K", exact),
		unit("86 °F", quantity.KindTemperature, ambient, Published, 303.15, "K", k),
		unit("122 °F", quantity.KindTemperature, ambient, Published, 323.15, "K", k),
		unit("120 °F", quantity.KindTemperature, training, Published, 48.9+273.15, "K", nm),
		unit("24 in", quantity.KindLength, supports, Published, 0.610, "m", metres),
		unit("65 lbf·in", quantity.KindTorque, bolts, Published, 5.4*1.355818, "N·m", within(0.07, "5.4 lbf·ft printed, half of its last digit")),
		unit("40 lbf·in", quantity.KindTorque, torque, Published, 4.5, "N·m", nm),
		unit("80 lbf·in", quantity.KindTorque, torque, Published, 9.0, "N·m", nm),
		unit("120 lbf·in", quantity.KindTorque, torque, Published, 13.6, "N·m", nm),
		unit("240 lbf·in", quantity.KindTorque, torque, Published, 27.1, "N·m", nm),
		slip,
		unit("1 yd", quantity.KindLength, memory, Memory, 0.9144, "m", exact),
		unit("1 oz", quantity.KindMass, memory, Memory, 0.02834952, "kg", part(2e-7, "seven figures")),
		unit("1 in2", quantity.KindArea, memory, Memory, 6.4516e-4, "m²", exact),
		unit("1 kWh", quantity.KindEnergy, memory, Memory, 3.6e6, "J", exact),
		unit("1 Ah", quantity.KindCharge, memory, Memory, 3600, "C", exact),
		unit("-40 °F", quantity.KindTemperature, memory, Memory, 233.15, "K", exact),
		unit("1 ohm/1000 ft", quantity.KindResistancePerLength, rule, Computed, 3.28084e-3, "Ω/m", part(4e-7, "six figures")),
	}
}

// unit is one conversion: what a text reads as, in SI.
func unit(text string, kind quantity.Kind, ref source.Ref, how Kind, want float64, si string, t Tolerance) Row {
	return Row{"UNIT-" + strings.NewReplacer(" ", "-", "/", "-per-", "·", "-", "°", "deg").Replace(text), text, ref, how, want, si, t,
		func() (float64, error) { return quantity.ParseKind(kind, text) }}
}
