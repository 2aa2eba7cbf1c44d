package published

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/network"
	"bankwright/internal/model/report"
)

// nodal is the source of what was worked out for this project beside the
// program: node by node, and with a general circuit simulator.
func nodal(at string) source.Ref {
	return source.Ref{Title: "Kirchhoff's laws, node by node and with a circuit simulator", At: at, Edition: "computed, not published", How: source.Derived}
}

var (
	toThirdDecimal = within(0.0006, "half of the last digit given, and a little")
	toTenth        = within(0.05, "half of the last digit given")
)

// worked is the worked example of four batteries: 20 mΩ each, links of 1.5 mΩ,
// 100 A. Both its question and its printed answer are known from memory only.
func worked(positive, negative int) chain {
	return chain{n: 4, emf: "12.8 V", ohm: "20 mΩ", plus: "1.5 mΩ", minus: "1.5 mΩ", positive: positive, negative: negative, demand: "draw: 100 A"}
}

// splitRows: who carries how much on a chain and on a star.
func splitRows() []Row {
	four := nodal("four batteries of 20 mΩ, links of 1.5 mΩ")
	article := source.Ref{Title: "How to correctly interconnect multiple batteries to form one larger bank, web article", At: "question and results", Edition: "not at hand", How: source.Memory}
	computed := Row{Source: four, Kind: Computed, Tolerance: toThirdDecimal}
	same, across := solve(worked(1, 1).job()), solve(worked(1, 4).job())
	rows := eachBattery("WORKED-SAME", "four at one end", same, []float64{35.753, 26.116, 20.396, 17.736}, computed)
	rows = append(rows, eachBattery("WORKED-SAME-PRINTED", "four at one end, as printed", same, []float64{35.9, 26.2, 20.4, 17.8},
		Row{Source: article, Kind: Memory, Tolerance: within(0.2, "the four add up to 100.3 A")})...)
	rows = append(rows, eachBattery("WORKED-ACROSS", "four at opposite ends", across, []float64{26.744, 23.256, 23.256, 26.744}, computed)...)
	rows = append(rows, eachBattery("WORKED-ACROSS-PRINTED", "four at opposite ends, as printed", across, []float64{26.7, 23.2, 23.2, 26.7},
		Row{Source: article, Kind: Memory, Tolerance: within(0.1, "the four add up to 99.8 A")})...)
	rows = append(rows, eachBattery("WORKED-SECOND", "four, both taken off at the second", solve(worked(2, 2).job()), []float64{26.116, 30.033, 23.455, 20.396}, computed)...)
	rows = append(rows, eachBattery("WORKED-INNER", "four, taken off at the inner two", solve(worked(2, 3).job()), []float64{23.256, 26.744, 26.744, 23.256}, computed)...)
	for _, one := range []struct {
		id, what string
		s        solved
		volts    float64
		milliohm float64
	}{{"SAME", "one end", same, 12.0849, 7.1506}, {"ACROSS", "opposite ends", across, 12.0401, 7.5988}} {
		rows = append(rows,
			Row{"WORKED-" + one.id + "-V", "four at " + one.what + ", take-off", four, Computed, one.volts, "V", within(0.00006, "half of the last digit given, and a little"), one.s.bank(voltage)},
			Row{"WORKED-" + one.id + "-R", "four at " + one.what + ", bank", four, Computed, one.milliohm, "mΩ", within(0.00006, "half of the last digit given, and a little"), one.s.bank(milliohm)})
	}
	rows = append(rows, eachBattery("LEADS", "four of 5 mΩ on leads of 1, 1, 2.5 and 4 mΩ", solve(star("12.8 V", "5 mΩ", []float64{1, 1, 2.5, 4}, "draw: 200 A")),
		[]float64{57.692, 57.692, 46.154, 38.462}, Row{Source: nodal("star of unequal leads"), Kind: Computed, Tolerance: toThirdDecimal})...)
	// The run starts at 95 %: 4 · 3.3696 V. Equal voltages do not change a share.
	flat := chain{n: 4, emf: "13.4784 V", ohm: "10 mΩ", plus: "0.75 mΩ", minus: "0.75 mΩ", positive: 1, negative: 1, demand: "draw: 100 A"}
	start := Row{Source: nodal("start of a run of four 100 Ah batteries of 10 mΩ, links of 0.75 mΩ"), Kind: Computed, Tolerance: within(0.006, "half of the last digit given, and a little")}
	rows = append(rows, eachBattery("RUN-SAME", "start of a run, one end", solve(flat.job()), []float64{35.75, 26.12, 20.40, 17.74}, start)...)
	flat.negative = 4
	return append(rows, eachBattery("RUN-ACROSS", "start of a run, opposite ends", solve(flat.job()), []float64{26.74, 23.26, 23.26, 26.74}, start)...)
}

// strong is four batteries of 5 mΩ on links of 0.5 mΩ.
func strong(positive, negative int, demand string) chain {
	return chain{n: 4, emf: "13.2 V", ohm: "5 mΩ", plus: "0.5 mΩ", minus: "0.5 mΩ", positive: positive, negative: negative, demand: demand}
}

// cascadeRows: one battery off after the other, a bad joint, an aged battery.
func cascadeRows() []Row {
	hundredth := Row{Source: nodal("four batteries of 5 mΩ, links of 0.5 mΩ, 300 A"), Kind: Computed, Tolerance: within(0.006, "half of the last digit given, and a little")}
	off := func(c chain, n int) solved {
		c.battery = map[int]string{n: "off: true"}
		return solve(c.job())
	}
	same, across := strong(1, 1, "draw: 300 A"), strong(1, 4, "draw: 300 A")
	rows := eachBattery("CASCADE-SAME", "300 A at one end", solve(same.job()), []float64{115.62, 78.75, 57.62, 48.02}, hundredth)
	rows = append(rows, eachBattery("CASCADE-SAME-1", "300 A at one end, B1 off", off(same, 1), []float64{0, 128.13, 93.75, 78.13}, hundredth)...)
	rows = append(rows, eachBattery("CASCADE-ACROSS", "300 A at opposite ends", solve(across.job()), []float64{81.82, 68.18, 68.18, 81.82}, hundredth)...)
	rows = append(rows, eachBattery("CASCADE-ACROSS-1", "300 A at opposite ends, B1 off", off(across, 1), []float64{0, 103.13, 93.75, 103.13}, hundredth)...)
	rows = append(rows, eachBattery("CASCADE-ACROSS-2", "300 A at opposite ends, B2 off", off(across, 2), []float64{107.94, 0, 91.12, 100.93}, hundredth)...)
	hundredth.Source = nodal("four batteries of 5 mΩ, links of 0.5 mΩ, opposite ends, 200 A")
	bad := strong(1, 4, "draw: 200 A")
	rows = append(rows, eachBattery("GOOD", "200 A at opposite ends", solve(bad.job()), []float64{54.55, 45.45, 45.45, 54.55}, hundredth)...)
	aged := bad
	aged.battery = map[int]string{1: "resistance: 10 mΩ"}
	rows = append(rows, eachBattery("AGED", "the same, B1 of 10 mΩ", solve(aged.job()), []float64{33.78, 54.32, 51.94, 59.95}, hundredth)...)
	bad.link = map[string]string{"P1": "3.5 mΩ"}
	joint := solve(bad.job())
	rows = append(rows, eachBattery("JOINT", "the same, a joint of 3 mΩ more in link P1", joint, []float64{93.73, 28.72, 33.21, 44.34}, hundredth)...)
	return append(rows, Row{"JOINT-P1", "the same, drop over link P1", hundredth.Source, Computed, 371.9, "mV", toTenth,
		joint.cable("P1", func(f report.Flow) float64 { return math.Abs(f.Drop) * 1e3 })})
}

// seriesRows: two strings of two, the lower battery of one with twice the
// resistance, without and with a tie between the middles.
func seriesRows() []Row {
	job := func(tie string) string {
		return "bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: 12.8 V, resistance: 20 mΩ}\n" +
			"batteries: [{id: L1, type: unit, resistance: 40 mΩ}, {id: U1, type: unit}, {id: L2, type: unit}, {id: U2, type: unit}]\n" +
			"cables:\n  - {id: S1, from: L1+, to: U1-, resistance: 0.001 uohm}\n  - {id: S2, from: L2+, to: U2-, resistance: 0.001 uohm}\n" +
			"  - {id: P, from: U1+, to: U2+, resistance: 1.5 mΩ}\n  - {id: N, from: L1-, to: L2-, resistance: 1.5 mΩ}\n" + tie +
			"takeoff: {positive: U1+, negative: L2-}\ncases: [{id: asked, draw: 100 A}]\n"
	}
	plain, tied := solve(job("")), solve(job("  - {id: T, from: L1+, to: L2+, resistance: 1.5 mΩ}\n"))
	ref := nodal("two strings of two, 20 mΩ and one of 40 mΩ, links of 1.5 mΩ, opposite ends, 100 A")
	var rows []Row
	for _, one := range []struct {
		id, what string
		s        solved
		battery  string
		want     float64
	}{
		{"TWO-1", "two strings of two, string 1", plain, "L1", 40.291}, {"TWO-2", "two strings of two, string 2", plain, "L2", 59.709},
		{"TIE-L1", "with a tie, lower of string 1", tied, "L1", 32.964}, {"TIE-U1", "with a tie, upper of string 1", tied, "U1", 51.150},
		{"TIE-L2", "with a tie, lower of string 2", tied, "L2", 67.036}, {"TIE-U2", "with a tie, upper of string 2", tied, "U2", 48.850},
	} {
		rows = append(rows, Row{one.id, one.what, ref, Computed, one.want, "A", toThirdDecimal, one.s.battery(one.battery)})
	}
	return append(rows, Row{"TIE-V", "with a tie, drop over it", ref, Computed, 27.28, "mV", within(0.005, "half of the last digit given"),
		tied.cable("T", func(f report.Flow) float64 { return math.Abs(f.Drop) * 1e3 })})
}

// loadRows: two batteries on one load, from a textbook and from a homework. A
// load is no part of a job, so the network stands alone.
func loadRows() []Row {
	pair := func(e1, r1, e2, r2, load float64) func(int) getter {
		net := network.Network{Nodes: 2, Branches: []network.Branch{{From: 0, To: 1, EMF: e1, Resistance: r1}, {From: 0, To: 1, EMF: e2, Resistance: r2}, {From: 1, To: 0, Resistance: load}}}
		return func(i int) getter {
			return func() (float64, error) {
				s, err := network.Solve(net, nil)
				if err != nil {
					return 0, err
				}
				if i < 0 {
					return s.Potential[1] - s.Potential[0], nil
				}
				return s.Current[i], nil
			}
		}
	}
	textbook := source.Ref{Title: "textbook problem: 100 V behind 5 Ω beside 95 V behind 3 Ω on 80 Ω", At: "as quoted in a public forum thread", Edition: "edition not stated", How: source.Read}
	homework := source.Ref{Title: "homework problem: 10 V behind 0.5 Ω beside 12 V behind 0.8 Ω on 20 Ω", At: "public homework page", Edition: "edition not stated", How: source.Read}
	hand := nodal("the same two problems")
	a, b := pair(100, 5, 95, 3, 80), pair(10, 0.5, 12, 0.8, 20)
	half := within(0.0006, "half of the last digit printed; 0.1145 was rounded up")
	last := within(0.00006, "half of the last digit given, and a little")
	return []Row{
		{"TEXTBOOK-1", "textbook problem, first battery", textbook, Published, 1.069, "A", half, a(0)},
		{"TEXTBOOK-2", "textbook problem, second battery", textbook, Published, 0.115, "A", half, a(1)},
		{"TEXTBOOK-V", "textbook problem, load", textbook, Published, 94.66, "V", within(0.005, "half of the last digit printed"), a(-1)},
		{"TEXTBOOK-1-EXACT", "textbook problem, first battery", hand, Computed, 1.0687, "A", last, a(0)},
		{"TEXTBOOK-2-EXACT", "textbook problem, second battery", hand, Computed, 0.1145, "A", last, a(1)},
		{"TEXTBOOK-V-EXACT", "textbook problem, load", hand, Computed, 94.6565, "V", last, a(-1)},
		{"HOMEWORK-LOAD", "homework problem, load", homework, Published, 0.53, "A", within(0.005, "half of the last digit printed"), b(2)},
		{"HOMEWORK-LOAD-EXACT", "homework problem, load", hand, Computed, 0.5303, "A", last, b(2)},
		{"HOMEWORK-V", "homework problem, load", hand, Computed, 10.606, "V", toThirdDecimal, b(-1)},
		{"HOMEWORK-1", "homework problem, first battery, being charged", hand, Computed, -1.2121, "A", last, b(0)},
		{"HOMEWORK-2", "homework problem, second battery", hand, Computed, 1.7424, "A", last, b(1)},
	}
}

// faultRows: the resistance of a bank and what a short at the take-off would
// draw, open-circuit voltage over resistance.
func faultRows() []Row {
	short := func(external float64) func(*report.Sharing) float64 {
		return func(s *report.Sharing) float64 { return s.Voltage / (s.Resistance + external) }
	}
	var rows []Row
	for _, one := range []struct {
		id, what               string
		negative               int
		milliohm, bolted, more float64
	}{{"SAME", "one end", 1, 1.9270, 6850, 4510}, {"ACROSS", "opposite ends", 4, 2.1136, 6245, 4239}} {
		s := solve(strong(1, one.negative, "draw: 0 A").job())
		ref, tenth := nodal("four batteries of 13.2 V and 5 mΩ, links of 0.5 mΩ"), part(0.0005, "four digits given")
		rows = append(rows,
			Row{"SHORT-" + one.id + "-R", "bank taken off at " + one.what, ref, Computed, one.milliohm, "mΩ", within(0.00006, "half of the last digit given, and a little"), s.bank(milliohm)},
			Row{"SHORT-" + one.id, "short at the take-off, " + one.what, ref, Computed, one.bolted, "A", tenth, s.bank(short(0))},
			Row{"SHORT-" + one.id + "-1", "short over 1 mΩ, " + one.what, ref, Computed, one.more, "A", tenth, s.bank(short(1e-3))})
	}
	guide := source.Ref{Title: "low-voltage d.c. system guide", At: "batteries of 110 cells of 0.5 mΩ, 240 V", Edition: "edition not stated", How: source.Read}
	why := part(0.003, "the guide rounds 4.364 to 4.37 and works on from there")
	one := solve(star("240 V", "55 mΩ", []float64{nothing}, "draw: 0 A"))
	all := solve(star("240 V", "55 mΩ", []float64{nothing, nothing, nothing, nothing}, "draw: 0 A"))
	kilo := func(s *report.Sharing) float64 { return short(0)(s) / 1e3 }
	rows = append(rows,
		Row{"GUIDE-R", "one battery of 110 cells", guide, Published, 55, "mΩ", within(0.5, "half of the last digit printed"), one.bank(milliohm)},
		Row{"GUIDE-1", "its short", guide, Published, 4.37, "kA", why, one.bank(kilo)},
		Row{"GUIDE-4", "short of four in parallel", guide, Published, 17.5, "kA", why, all.bank(kilo)})
	return append(rows, leadShortRows()...)
}

// leadShortRows: four batteries and their main cables.
func leadShortRows() []Row {
	ref := nodal("four batteries of 13.3 V and 4 mΩ; 1.5 m + 1.5 m of 2/0 AWG at 0.26087 mΩ/m, four joints of 0.05 mΩ")
	text := star("13.3 V", "4 mΩ", []float64{nothing, nothing, nothing, nothing}, "draw: 0 A")
	atStuds := solve(text)
	text = strings.Replace(text, "parts: [{id: S1, kind: stud}", "parts: [{id: S3, kind: stud}, {id: S4, kind: stud}, {id: S1, kind: stud}", 1)
	text = strings.Replace(text, "takeoff: {positive: S1, negative: S2}", "  - {id: M1, from: S1, to: S3, size: 2/0 AWG, length: 1.5 m}\n  - {id: M2, from: S2, to: S4, size: 2/0 AWG, length: 1.5 m}\ntakeoff: {positive: S3, negative: S4}", 1)
	short := func(s *report.Sharing) float64 { return s.Voltage / s.Resistance }
	return []Row{
		{"MAIN-0", "short at the studs", ref, Computed, 13300, "A", part(1e-5, "the leads have 1 nΩ each"), atStuds.bank(short)},
		{"MAIN-1", "short past the main cables", ref, Computed, 6708, "A", part(0.0003, "the catalogue's 2/0 AWG has 0.26081 mΩ/m"), solve(text).bank(short)},
	}
}

// joiningRows: batteries of unlike voltage joined with no load.
func joiningRows() []Row {
	ref := source.Ref{Title: "Ohm's law round two batteries and their links", At: "(E1 − E2)/(R1 + R2 + links)", Edition: "computed, not published", How: source.Derived}
	join := func(first, second string) getter {
		c := chain{n: 2, emf: second, ohm: "10 mΩ", plus: "1 mΩ", minus: "1 mΩ", positive: 1, negative: 1, demand: "draw: 0 A", battery: map[int]string{1: "emf: " + first}}
		return solve(c.job()).battery("B1")
	}
	var rows []Row
	for i, one := range []struct {
		first, second string
		want          float64
		tolerance     Tolerance
	}{
		{"13.40 V", "12.96 V", 20, part(1e-9, "exact")},
		{"14.2 V", "13.1 V", 50, part(1e-9, "exact")},
		{"13.30 V", "13.22 V", 3.6, within(0.05, "half of the last digit given")},
	} {
		rows = append(rows, Row{fmt.Sprintf("JOIN-%d", i+1), fmt.Sprintf("%s joined to %s over 22 mΩ", one.first, one.second), ref, Computed, one.want, "A", one.tolerance, join(one.first, one.second)})
	}
	return rows
}
