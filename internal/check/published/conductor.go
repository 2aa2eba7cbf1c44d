package published

import (
	"errors"
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

// metricRows: the highest resistance of a finished flexible conductor at 20 °C.
func metricRows() []Row {
	ref := source.Ref{Title: "IEC 60228 / DIN VDE 0295", At: "class 5, plain copper", Edition: "2004", How: source.Read}
	var rows []Row
	for _, r := range []struct{ mm2, ohmKM float64 }{
		{0.5, 39.0}, {0.75, 26.0}, {1, 19.5}, {1.5, 13.3}, {2.5, 7.98}, {4, 4.95}, {6, 3.30}, {10, 1.91},
		{16, 1.21}, {25, 0.780}, {35, 0.554}, {50, 0.386}, {70, 0.272}, {95, 0.206}, {120, 0.161},
	} {
		rows = append(rows, Row{fmt.Sprintf("METRIC-%g", r.mm2), fmt.Sprintf("%g mm² at 20 °C", r.mm2), ref, Published, r.ohmKM, "Ω/km", part(1e-12, "the same figure, but for rounding"),
			func() (float64, error) {
				v, err := catalog.Default().PerLength(quantity.SquareMM(r.mm2))
				return float64(v.V) * 1e3, err
			}})
	}
	return rows
}

// perThousandFeet is 1 Ω per 1000 ft in SI.
func perThousandFeet() float64 {
	v, err := quantity.Parse[quantity.ResistancePerLength]("1 ohm/1000 ft")
	if err != nil {
		panic("published: " + err.Error()) // a unit of ours
	}
	return float64(v)
}

// solid gives a gauge's row as solid copper, at a temperature, in Ω per 1000 ft.
func solid(gauge int, celsius float64) getter {
	return func() (float64, error) {
		row := catalog.Default().Conductor(quantity.AWG(gauge))
		if row == nil {
			return 0, fmt.Errorf("no gauge %d", gauge)
		}
		return metre(row.R20.V, celsius) / perThousandFeet(), nil
	}
}

// metre gives the resistance of a metre at a temperature, without joints.
func metre(per quantity.ResistancePerLength, celsius float64) float64 {
	c := bank.Cable{Length: source.Of(quantity.Length(1)), PerLength: source.Of(per),
		Coefficient: source.Of(catalog.Default().Constant("copper_coefficient").Value)}
	return float64(c.Resistance(quantity.Temperature(celsius + 273.15)))
}

func gaugeName(n int) string { return quantity.AWG(n).String() }

// gaugeRows: the gauge table in Ω per 1000 ft; the catalogue's rows are those
// in mΩ/m.
func gaugeRows() []Row {
	ref := source.Ref{Title: "ASTM B258 gauge rule with NBS Handbook 100 copper", At: "10 371 over the area in circular mil", Edition: "1966", How: source.Derived}
	var rows []Row
	for i, ohm := range []float64{0.04901, 0.06182, 0.07793, 0.09825, 0.1239, 0.1563, 0.1971, 0.2485, 0.3134, 0.3952, 0.4981, 0.6281,
		0.7924, 0.9988, 1.261, 1.588, 2.001, 2.524, 3.181, 4.019, 5.054, 6.386} {
		n := i - 3 // 4/0 first
		rows = append(rows, Row{"GAUGE-" + gaugeID(n), gaugeName(n) + ", solid, 20 °C", ref, Computed, ohm, "Ω/1000 ft",
			part(5e-4, "four figures here and four in mΩ/m"), solid(n, 20)})
	}
	return rows
}

func gaugeID(n int) string {
	if n <= 0 {
		return fmt.Sprintf("%d-0", 1-n)
	}
	return fmt.Sprint(n)
}

// necRows: the NEC's table at 75 °C, stranded through a job and solid from the
// catalogue, and its temperature coefficient.
func necRows() []Row {
	stranded := source.Ref{Title: "NFPA 70", At: "Chapter 9 Table 8, uncoated copper, read in a public copy of the tables", Edition: "2023", How: source.Read}
	var rows []Row
	for _, r := range []struct {
		gauge int
		ohm   float64
	}{{14, 3.14}, {12, 1.98}, {10, 1.24}, {8, 0.778}, {6, 0.491}, {4, 0.308}, {3, 0.245}, {2, 0.194}, {1, 0.154}, {0, 0.122}, {-1, 0.0967}, {-2, 0.0766}, {-3, 0.0608}} {
		rows = append(rows, Row{"NEC-" + gaugeID(r.gauge), gaugeName(r.gauge) + ", stranded, 75 °C", stranded, Published, r.ohm, "Ω/1000 ft",
			part(0.005, "three figures printed, and 1.020 to 1.023 for stranding where we take 1.02"), hundredFeet(r.gauge)})
	}
	for _, r := range []struct {
		gauge int
		ohm   float64
	}{{18, 7.77}, {16, 4.89}, {14, 3.07}, {12, 1.93}, {10, 1.21}} {
		rows = append(rows, Row{"NEC-SOLID-" + gaugeID(r.gauge), gaugeName(r.gauge) + ", solid, 75 °C", stranded, Published, r.ohm, "Ω/1000 ft",
			part(0.0045, "half of the last of three figures printed"), solid(r.gauge, 75)})
	}
	note := stranded
	note.At = "note on the temperature coefficient of copper, read in a public copy of the tables"
	return append(rows, Row{"NEC-COEFFICIENT", "temperature coefficient of copper", note, Published, 0.393, "%/K", within(0, "the same figure"),
		func() (float64, error) { return catalog.Default().Constant("copper_coefficient").Value * 100, nil }})
}

// hundredFeet lays 100 ft of a gauge in a job at 75 °C and gives Ω per 1000 ft.
func hundredFeet(gauge int) getter {
	s := solve(oneCable(fmt.Sprintf("size: %s, length: 100 ft", quantity.AWG(gauge).ASCII()), "draw: 1 A, cable_temperature: 75 °C"))
	return s.cable("W1", func(f report.Flow) float64 { return f.Resistance * 10 })
}

// oneCable is one battery with one cable, without joints, to the take-off.
func oneCable(keys, demand string) string {
	return "bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 25.6 V, capacity: 100 Ah, emf: 28 V, resistance: 1 mΩ}\n" +
		"batteries: [{id: B1, type: unit}]\nparts: [{id: S1, kind: stud}]\njoint: 0 mΩ\n" +
		"cables: [{id: W1, from: B1+, to: S1, " + keys + "}]\ntakeoff: {positive: S1, negative: B1-}\ncases: [{id: asked, " + demand + "}]\n"
}

// temperatureRows: how copper's resistance goes with temperature.
func temperatureRows() []Row {
	cable := source.Ref{Title: "IEC 60228 / DIN VDE 0295", At: "factors to 20 °C", Edition: "2004", How: source.Read}
	var rows []Row
	for _, r := range []struct{ celsius, factor float64 }{{50, 0.893}, {75, 0.820}, {90, 0.781}} {
		rows = append(rows, Row{fmt.Sprintf("WARM-%g", r.celsius), fmt.Sprintf("resistance at 20 °C over that at %g °C", r.celsius), cable, Published, r.factor, "",
			part(0.005, "the printed factors are those of 0.004/K, ours is 0.00393/K"),
			func() (float64, error) { return metre(1, 20) / metre(1, r.celsius), nil }})
	}
	circular := source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "paragraph 11-66, L2 = 254.5·L1/(234.5 + T2) for 90 ft at 60 °C", Edition: "2001, worked out here", How: source.Derived}
	lay := source.Ref{Title: "IEC 60228 class 5 and the temperature coefficient of copper", At: "0.386 Ω/km · 1.8 m · (1 + 0.00393 · 50)", Edition: "2004, worked out here", How: source.Derived}
	return append(rows,
		Row{"WARM-RUN", "length at 60 °C with the drop of 90 ft at 20 °C", circular, Computed, 77.78, "ft", within(0.01, "the two forms of the temperature law differ by less"),
			func() (float64, error) { return 90 * metre(1, 20) / metre(1, 60), nil }},
		Row{"WARM-CABLE", "1.8 m of 50 mm² at 70 °C", lay, Computed, 0.8313, "mΩ", within(0.00006, "half of the last digit given, and a little"),
			solve(oneCable("size: 50 mm2, length: 1.8 m", "draw: 1 A, cable_temperature: 70 °C")).cable("W1", func(f report.Flow) float64 { return f.Resistance * 1e3 })})
}

// dropRows: worked examples of voltage drop, 20 A in all.
func dropRows() []Row {
	table := source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "tables 11-7 and 11-8", Edition: "2001", How: source.Read}
	slip := source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "tables 11-7 and 11-8, worked out again", Edition: "2001", How: source.Derived}
	chart := source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "table 11-9 on the chart example of paragraph 11-66", Edition: "2001, worked out here", How: source.Derived}
	half := func(v float64) Tolerance { return within(v, "half of the last digit printed") }
	var rows []Row
	for i, r := range []struct {
		what      string
		source    source.Ref
		kind      Kind
		ohmFoot   float64 // Ω per 1000 ft
		feet      float64
		want      float64
		tolerance Tolerance
	}{
		{"", table, Published, 0.44, 107, 0.942, half(0.0005)},
		{"", table, Published, 0.28, 90, 0.504, half(0.0005)},
		{"; the source prints 3.60, a slip", slip, Computed, 2.02, 88, 3.5552, within(1e-6, "exact")},
		{"", table, Published, 3.06, 100, 6.12, half(0.005)},
		{"", table, Published, 1.26, 39, 0.98, half(0.005)},
		{"; the source prints 0.366, a slip", slip, Computed, 1.26, 19.5, 0.4914, within(1e-6, "exact")},
		{"", table, Published, 1.26, 156, 3.93, half(0.005)},
		{"", table, Published, 1.26, 273, 6.88, half(0.005)},
		{", 10 AWG of the chart example", chart, Computed, 1.26, 50, 1.26, within(1e-6, "exact")},
		{", 8 AWG of the chart example", chart, Computed, 0.70, 50, 0.70, within(1e-6, "exact")},
	} {
		rows = append(rows, Row{fmt.Sprintf("DROP-%d", i+1), fmt.Sprintf("20 A through %g ft at %g Ω/1000 ft%s", r.feet, r.ohmFoot, r.what),
			r.source, r.kind, r.want, "V", r.tolerance, drop(r.ohmFoot, r.feet)})
	}
	return rows
}

// drop sends 20 A through a cable of a given resistance per length. No row of
// the catalogue has it, so it is put into the assembled bank.
func drop(ohmFoot, feet float64) getter {
	return func() (float64, error) {
		per, err := quantity.Parse[quantity.ResistancePerLength](fmt.Sprintf("%g ohm/1000 ft", ohmFoot))
		if err != nil {
			return 0, err
		}
		b, _, err := assemble.Read("published.yaml", []byte(oneCable(fmt.Sprintf("size: 10 AWG, length: %g ft", feet), "draw: 20 A")), catalog.Default())
		if err != nil {
			return 0, err
		}
		b.Cables[0].PerLength = source.Of(per)
		s, err := sharing.Solve(b, b.Cases[0])
		if err != nil {
			return 0, err
		}
		return math.Abs(s.Cables[0].Drop), nil
	}
}

// strandRows: least numbers of strands.
func strandRows() []Row {
	ref := source.Ref{Title: "UL 1426 boat cable as quoted in a trade article on boat cable", At: "Type 2, least number of strands", Edition: "edition not stated", How: source.Read}
	var rows []Row
	for _, n := range []int{18, 16, 14, 12, 10, 8, -1} {
		want := 19.0
		if n == -1 {
			want = 127
		}
		rows = append(rows, Row{"STRANDS-" + gaugeID(n), "least strands of " + gaugeName(n), ref, Published, want, "", within(0, "the same figure"),
			func() (float64, error) {
				row := catalog.Default().Conductor(quantity.AWG(n))
				if row == nil || !row.Strands.Known() {
					return 0, errors.New("the catalogue does not say")
				}
				return float64(row.Strands.V), nil
			}})
	}
	return rows
}
