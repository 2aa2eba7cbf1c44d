package rules

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/terminal"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// lampJob is a small d.c. side with one lug on every end, all on threads that
// have a published test current.
const lampJob = `bankwright: 1
practice: {book: marine, ambient: 30 °C}
battery_types:
  block:
    chemistry: lfp
    nominal: 12.8 V
    capacity: 100 Ah
    resistance: 5 mΩ
    emf: 13.2 V
    fault_resistance: 5 mΩ
    stud: 1/4-28
    limits: {discharge: 100 A, charge: 50 A, trip: 200 A, charge_trip: 100 A, low: 10 V, high: 14.6 V, cold_charge: 0 °C, hot_charge: 50 °C, cold: -20 °C, hot: 60 °C, series: 4, parallel: 4}
batteries: [{id: B1, type: block, covered: true}]
parts:
  - {id: F1, kind: fuse, class: class_t, rating: 60 A, interrupt: 20 kA, volts: 125 V, resistance: 0.5 mΩ, thread: 1/4-28}
  - {id: Q1, kind: switch, rating: 100 A, resistance: 0.1 mΩ, thread: 1/4-28}
  - {id: N1, kind: bar, studs: 3, resistance: 0.02 mΩ, rating: 100 A, thread: 1/4-28}
  - {id: H1, kind: frame, thread: 1/4-28}
  - {id: L1, kind: load, current: 40 A, thread: 1/4-28}
cables:
  - {id: W1, from: B1+, to: F1.a, size: 6 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W2, from: F1.b, to: Q1.a, size: 6 AWG, length: 6 in, insulation: 105 °C, support: 12 in}
  - {id: W3, from: Q1.b, to: L1.a, size: 6 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W4, from: L1.b, to: N1.1, size: 6 AWG, length: 4 ft, insulation: 105 °C, support: 12 in}
  - {id: W5, from: N1.2, to: B1-, size: 6 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
  - {id: W6, from: N1.3, to: H1, size: 6 AWG, length: 12 in, insulation: 105 °C, support: 12 in}
takeoff: {positive: Q1.b, negative: N1.1}
`

func lampWith(old, new string) string {
	if !strings.Contains(lampJob, old) {
		panic("rules: the lamp example lacks " + old)
	}
	return strings.ReplaceAll(lampJob, old, new)
}

var studCurrent = Rule{
	ID:       "STD-01",
	Title:    "A stud carries more than its thread was tested with",
	Text:     "A cable may be thick enough while the stud under its lug is not. Published are test currents of small feed-through studs, which are a scale and no rating of this very stud. For larger threads nothing was found: there the current has to go from lug to face and never through the thread, so no nut and no washer below a lug.",
	Source:   source.Ref{Title: "MIL-DTL-83454A", At: "4.5.3, Table VIII; lugs on the contact face: FAA AC 43.13-1B 11-174 b", Edition: "revision A", How: source.Read},
	Severity: finding.Warning,
	Failing:  lampWith("current: 40 A", "current: 45 A"),
	Passing:  lampJob,
	check:    checkStudCurrent,
}

// diameters are the inch names of the threads that the test names by decimals.
var diameters = map[string]string{"0.138-32": "6-32", "0.164-32": "8-32", "0.190-32": "10-32", "0.250-28": "1/4-28"}

// studTest gives the test of a thread, nil where none is published.
func studTest(thread string) *rating.StudTest {
	tests := catalog.Default().StudTests()
	for i := range tests {
		if rating.SameThread(tests[i].Thread, thread) || rating.SameThread(diameters[tests[i].Thread], thread) {
			return &tests[i]
		}
	}
	return nil
}

// threadAt gives the thread of an end, "" not known.
func threadAt(b *bank.Bank, e bank.End) string {
	if one := b.Battery(e.ID); one != nil {
		return one.Stud
	}
	if p := b.Part(e.ID); p != nil {
		return p.Rated.Stud
	}
	return ""
}

func checkStudCurrent(r *report.Report, say *speaker) {
	lugs := lugsAt(r)
	untested, most, said := map[string][]string{}, map[string]float64{}, map[string]bool{}
	for _, e := range r.Bank.Ends() {
		flow := largestFlow(lugs[e])
		if flow.Amps == 0 || said[e.ID] {
			continue
		}
		thread := threadAt(r.Bank, e)
		test := studTest(thread)
		if test == nil {
			most[thread] = math.Max(most[thread], flow.Amps)
			if list := untested[thread]; len(list) == 0 || list[len(list)-1] != e.ID {
				untested[thread] = append(list, e.ID)
			}
			continue
		}
		if flow.Amps > float64(test.Current)*(1+1e-9) {
			said[e.ID] = true // one finding a battery or part
			say.hold(finding.Warning, e.String(), fmt.Sprintf("a lug on %s brings %s (%s); studs of %s are tested with %s", e, amps(flow.Amps), flow.In, thread, amps(float64(test.Current))),
				"take a part with a larger stud, or ask its maker for the current", number{value: flow.Amps, limit: float64(test.Current), unit: "A"}, test.Ref)
		}
	}
	for _, thread := range sortedKeys(untested) {
		where := strings.Join(untested[thread], ", ")
		if thread == "" {
			say.pass(untested[thread][0], "the job does not give the thread of "+where)
			continue
		}
		say.pass(untested[thread][0], fmt.Sprintf("no published current for a stud of %s; up to %s must go from lug to face, with no nut or washer between: %s", thread, amps(most[thread]), where))
	}
}

func largestFlow(lines []*report.Line) (w report.WorstFlow) {
	for _, l := range lines {
		if l.Steady.Amps > w.Amps {
			w = l.Steady
		}
	}
	return w
}

func sortedKeys(m map[string][]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

var lugOrder = Rule{
	ID:       "STK-01",
	Title:    "Several unlike lugs on one stud",
	Text:     "The largest lug lies lowest, on the contact face, the smaller ones on it; washer, spring washer and nut above them all, none between. Then most of the current crosses one face. Two threads should show above the nut.",
	Source:   source.Ref{Title: "largest lug lowest, washers above the lugs", How: source.Practice},
	Severity: finding.Note,
	Failing:  dcWith("{id: W9, from: R1.b, to: B2-, size: 2/0 AWG", "{id: W9, from: R1.b, to: B2-, size: 4/0 AWG"),
	Passing:  lampJob,
	check:    checkLugOrder,
}

func checkLugOrder(r *report.Report, say *speaker) {
	lugs, several := lugsAt(r), map[string][]string{}
	for _, e := range r.Bank.Ends() {
		lines := lugs[e]
		if len(lines) < 2 {
			continue
		}
		if studLengthAt(r.Bank, e) == 0 { // else STK-02 looks
			several[threadAt(r.Bank, e)] = append(several[threadAt(r.Bank, e)], e.String())
		}
		var pieces []terminal.Piece
		unlike, known := false, true
		for _, l := range lines {
			p := terminal.Piece{ID: l.Cable, Kind: terminal.Lug, Current: l.Steady.Amps, Section: section(cableOf(r, l).Size)}
			known = known && p.Section > 0
			unlike = unlike || p.Section != section(cableOf(r, lines[0]).Size)
			pieces = append(pieces, p)
		}
		switch {
		case !known:
			say.pass(e.String(), fmt.Sprintf("%d lugs; not all cables have a size to order them by", len(lines)))
		case unlike:
			say.find(e.String(), fmt.Sprintf("the %d lugs on %s, from the contact face up: %s", len(lines), e, orderWords(r, terminal.Order(pieces))), "washer, spring washer and nut above them all, nothing between")
		}
	}
	for _, thread := range sortedKeys(several) {
		say.pass(several[thread][0], lengthWords(thread)+": "+strings.Join(several[thread], ", "))
	}
}

func orderWords(r *report.Report, lugs []terminal.Piece) string {
	var words []string
	for _, p := range lugs {
		for i := range r.Bank.Cables {
			if c := &r.Bank.Cables[i]; c.ID == p.ID {
				words = append(words, p.ID+" ("+c.Size.String()+")")
			}
		}
	}
	return strings.Join(words, ", ")
}

// lengthWords says what a stud needs beside its lugs.
func lengthWords(thread string) string {
	const why = "the length of the stud is not in the job, so not whether it is long enough for several lugs"
	for _, h := range terminal.MetricHardware() {
		if !rating.SameThread(h.Thread, thread) {
			continue
		}
		need, err := terminal.StudLength([]terminal.Piece{{Kind: terminal.Base}, {Kind: terminal.Washer, Thickness: h.Washer}, {Kind: terminal.Spring, Thickness: h.Spring}, {Kind: terminal.Nut, Thickness: h.Nut}}, h.Pitch, 2)
		if err == nil {
			return fmt.Sprintf("%s; beside them it needs %.1f mm for customary %s washer, spring washer, nut and two threads (sizes from memory)", why, need*1e3, h.Thread)
		}
	}
	return why
}
