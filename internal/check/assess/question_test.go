package assess

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// unplaced is four batteries without a place, with what else a job may hold.
func unplaced(more string) string {
	return placedTypes + "batteries: [{id: B1, type: bare}, {id: B2, type: bare}, {id: B3, type: bare}, {id: B4, type: bare}]\n" +
		"wirings:\n  cable: {positive: 35 mm2, negative: 35 mm2}\n" + more
}

// TestDeclined: what the search does not take, and where the job says it.
func TestDeclined(t *testing.T) {
	strings2 := "cables:\n  - {id: L1, from: B1+, to: B2-, resistance: 0.3 mΩ}\n  - {id: L2, from: B3+, to: B4-, resistance: 0.3 mΩ}\n"
	const ends = "takeoff: {positive: B2+, negative: B1-}\n"
	for _, row := range []struct {
		name, more, caseID string
		says               []string
	}{
		{"mid-point tie, post to post", strings2 + "  - {id: T, from: B1+, to: B3+, resistance: 1 mΩ}\n" + ends, "",
			[]string{"test.yaml:12:5: cable T goes to a post inside a string (a mid-point tie)", "joined at their ends only"}},
		{"mid-point tie, crosswise", strings2 + "  - {id: T, from: B1+, to: B4-, resistance: 1 mΩ}\n" + ends, "",
			[]string{"test.yaml:12:5: cable T ties the middles of strings together"}},
		{"mid-point tie, by a stud", strings2 + "  - {id: T, from: B1+, to: S, resistance: 1 mΩ}\n  - {id: U, from: S, to: B4-, resistance: 1 mΩ}\nparts: [{id: S, kind: stud}]\n" + ends, "",
			[]string{"test.yaml:12:5: cable T goes to a post inside a string"}},
		{"take-off inside a string", strings2 + "takeoff: {positive: B1+, negative: B1-}\n", "",
			[]string{"test.yaml:12:", "the take-off B1+ is a post inside a string"}},
		{"link through a fuse", "parts: [{id: F, kind: fuse, resistance: 0.1 mΩ}]\ncables:\n  - {id: L1, from: B1+, to: F.a, resistance: 0.3 mΩ}\n  - {id: L2, from: F.b, to: B2-, resistance: 0.3 mΩ}\n" + ends, "",
			[]string{"test.yaml:6:13: parts join B1+ to B2- inside a string"}},
		{"link through an open switch", "parts: [{id: Q, kind: switch, open: true, resistance: 0.1 mΩ}]\ncables:\n  - {id: L1, from: B1+, to: Q.a, resistance: 0.3 mΩ}\n  - {id: L2, from: Q.b, to: B2-, resistance: 0.3 mΩ}\n" + ends, "",
			[]string{"parts join B1+ to B2- inside a string"}},
		{"ring", "cables:\n  - {id: L1, from: B1+, to: B2-, resistance: 0.3 mΩ}\n  - {id: L2, from: B2+, to: B1-, resistance: 0.3 mΩ}\ntakeoff: {positive: B3+, negative: B4-}\n", "",
			[]string{"test.yaml: series cables join some batteries into a ring"}},
		{"one string", "cables:\n  - {id: L1, from: B1+, to: B2-, resistance: 0.3 mΩ}\n  - {id: L2, from: B2+, to: B3-, resistance: 0.3 mΩ}\n  - {id: L3, from: B3+, to: B4-, resistance: 0.3 mΩ}\ntakeoff: {positive: B4+, negative: B1-}\n", "",
			[]string{"test.yaml: there is one string only"}},
		{"at rest", ends + "cases: [{id: load, draw: 10 A}, {id: rest, draw: 0 A}]\n", "rest",
			[]string{"case rest asks for no current, so shares mean nothing"}},
		{"no such case", ends + "cases: [{id: load, draw: 10 A}]\n", "night",
			[]string{"there is no case night; the job has load"}},
		{"series link without length", "cables:\n  - {id: L1, from: B1+, to: B2-, size: 35 mm2}\n" + ends, "",
			[]string{"test.yaml:10:5: series cable L1 has no length: the type of B1 lacks posts"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := mustLoad(t, unplaced(row.more)).Wirings(context.Background(), row.caseID, nil)
			saying(t, err, row.says...)
			if err != nil && strings.Count(err.Error(), "test.yaml") != 1 {
				t.Errorf("%q names the file more or less than once", err)
			}
		})
	}
	single := placedTypes + "batteries: [{id: B1, type: bare}]\ntakeoff: {positive: B1+, negative: B1-}\n"
	_, err := mustLoad(t, single).Wirings(context.Background(), "", nil)
	saying(t, err, "there is one string only")
	sizeless := placedTypes + "batteries: [{id: B1, type: bare}, {id: B2, type: bare}]\ntakeoff: {positive: B1+, negative: B1-}\n"
	_, err = mustLoad(t, sizeless).Wirings(context.Background(), "", nil)
	saying(t, err, "the cables of the positive rail", "positive: 2/0 AWG")
}

// TestSearchCase: the case named, else the first draw, else a fifth of the
// capacity an hour, which is said to be assumed; power by nominal volts.
func TestSearchCase(t *testing.T) {
	boat, trailer := example(t, "survey-boat.yaml"), example(t, "library-trailer.yaml")
	cut := func(text, cases string) string {
		return text[:strings.Index(text, "cases:")] + cases
	}
	assumed := func(w *report.Wirings) bool {
		for _, a := range w.Assumed {
			if a.What == "case" {
				return true
			}
		}
		return false
	}
	for _, row := range []struct {
		name, text, caseID string
		want               string
		amps               float64
		assumed            bool
	}{
		{"first of the job", trailer, "", "evening", 180, false},
		{"power at 12.8 V", trailer, "kettle", "kettle", 1800 / 12.8, false},
		{"charge", trailer, "shore", "shore", -100, false},
		{"power at two times 12 V", boat, "winch", "winch", 125, false},
		{"first that draws", cut(trailer, "cases: [{id: shore, charge: 90 A}, {id: rest, draw: 0 A}, {id: lamp, draw: 24 W}]\n"), "", "lamp", 24 / 12.8, false},
		{"none that draws", cut(trailer, "cases: [{id: shore, charge: 90 A}, {id: rest, draw: 0 A}]\n"), "", "fifth", 0.2 * 5 * 150, true},
		{"no case", cut(trailer, ""), "", "fifth", 150, true},
		{"no case, two strings of two 120 Ah", cut(boat, ""), "", "fifth", 48, true}, // a string has 120 Ah
	} {
		t.Run(row.name, func(t *testing.T) {
			w := mustWirings(t, row.text, row.caseID)
			if w.Case.ID != row.want || assumed(w) != row.assumed || (w.Case.Origin == source.Assumed) != row.assumed {
				t.Errorf("case %+v, assumed %v", w.Case, w.Assumed)
			}
			near(t, "current", w.Current, row.amps, 1e-12*math.Abs(row.amps))
			sum := 0.0
			for _, i := range w.Front[0].Currents {
				sum += i
			}
			near(t, "sum of currents", sum, row.amps, 1e-9*math.Abs(row.amps))
		})
	}
}

// TestStrings: what the job's series cables join is one string, links and
// joints in it.
func TestStrings(t *testing.T) {
	text := unplaced("cables:\n  - {id: L1, from: B2-, to: B1+, size: 35 mm2, length: 200 mm}\n  - {id: L1b, from: B1+, to: B2-, resistance: 0.25 mΩ}\n  - {id: L2, from: B2+, to: B3-, resistance: 0.4 mΩ}\n" +
		"takeoff: {positive: B4+, negative: B4-}\ncases: [{id: load, draw: 10 A, cable_temperature: 70 °C}]\n")
	text = replaced(t, text, "{id: B2, type: bare}", "{id: B2, type: bare, capacity: 80 Ah, emf: 13 V, resistance: 5 mΩ}")
	j := mustLoad(t, text)
	c, err := j.Case("")
	if err != nil {
		t.Fatal(err)
	}
	all, err := j.findStrings(c)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 2 || all[0].ID != "B1>B2>B3" || all[1].ID != "B4" {
		t.Fatalf("strings are %+v", all)
	}
	s := all[0]
	// By hand: 0.2 m of 35 mm² at 70 °C and two joints, beside 0.25 mΩ.
	link := 0.2*0.554e-3*(1+0.00393*50) + 1e-4
	near(t, "resistance", s.Resistance, 0.004+0.005+0.004+1/(1/link+1/0.25e-3)+0.4e-3, 1e-15)
	near(t, "EMF", s.EMF, 13.2+13+13.2, 1e-12)
	near(t, "capacity", s.Capacity, 80*3600, 0)
	if s.Positive.String() != "B3+" || s.Negative.String() != "B1-" || s.Off || s.Origin != source.Assumed {
		t.Errorf("string is %+v; its joints are assumed", s)
	}
	j = mustLoad(t, replaced(t, text, "{id: B3, type: bare}", "{id: B3, type: bare, off: true}"))
	if all, err = j.findStrings(c); err != nil || !all[0].Off || all[1].Off {
		t.Errorf("with B3 off: %+v, %v", all, err)
	}
}

// handMade writes a bank as a job without geometry in which the rails are
// wired as told, each cable given whole.
func handMade(b *bank.Bank, w *report.Wirings, one *report.Wiring, railCable func(rail string, pair [2]bank.End) string) string {
	var s strings.Builder
	s.WriteString("bankwright: 1\nbattery_types: {any: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries:\n")
	for i := range b.Batteries {
		bat := &b.Batteries[i]
		fmt.Fprintf(&s, "  - {id: %s, type: any, emf: %.17g V, resistance: %s, capacity: %.17g Ah, off: %v}\n", bat.ID,
			float64(bat.EMF.V), ohmText(bat.Resistance.V), float64(bat.Capacity.V)/3600, bat.Off)
	}
	s.WriteString("parts:\n")
	for _, e := range []bank.End{one.Takeoff.Positive, one.Takeoff.Negative} {
		if !e.IsPost() {
			fmt.Fprintf(&s, "  - {id: %s, kind: stud}\n", e)
		}
	}
	s.WriteString("cables:\n")
	for i := range b.Cables {
		c := &b.Cables[i]
		if c.From.IsPost() && c.To.IsPost() && c.From.Place != c.To.Place {
			fmt.Fprintf(&s, "  - {id: L%d, from: %s, to: %s, resistance: %s}\n", i, c.From, c.To, ohmText(c.Resistance(w.Case.CableTemperature.V)))
		}
	}
	for rail, pairs := range map[string][][2]bank.End{"positive": one.Positive, "negative": one.Negative} {
		for i, p := range pairs {
			fmt.Fprintf(&s, "  - {id: %s%d, from: %s, to: %s, %s}\n", rail, i, p[0], p[1], railCable(rail, p))
		}
	}
	demand := fmt.Sprintf("draw: %.17g A", w.Current)
	if w.Current < 0 {
		demand = fmt.Sprintf("charge: %.17g A", -w.Current)
	}
	fmt.Fprintf(&s, "takeoff: {positive: %s, negative: %s}\ncases: [{id: load, %s}]\n", one.Takeoff.Positive, one.Takeoff.Negative, demand)
	return strings.Replace(s.String(), "parts:\ncables:", "cables:", 1)
}

// TestWiringsAreJobs: each wiring of the front and each arrangement known by
// name, written as a job with cables and solved as a circuit, has the currents,
// voltage, loss and imbalance that the search says.
func TestWiringsAreJobs(t *testing.T) {
	names := map[string]bool{}
	for _, row := range []struct{ name, text, caseID string }{
		{"trailer", example(t, "library-trailer.yaml"), "evening"},
		{"trailer, charging", example(t, "library-trailer.yaml"), "shore"},
		{"boat", example(t, "survey-boat.yaml"), "winch"},
		{"cart", example(t, "market-cart.yaml"), "griddle"},
		{"row of six", rowJob(6, "positive: B1+, negative: B1-", ""), ""},
		{"row of four, any", rowJob(4, "positive: S1, negative: S2", ", takeoff: any"), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			j := mustLoad(t, row.text)
			w, err := j.Wirings(context.Background(), row.caseID, nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, one := range append(w.Front, w.Textbook...) {
				if one.Missing {
					if one.Note == "" {
						t.Errorf("%s is missing without a reason", one.Name)
					}
					continue
				}
				names[one.Name] = true
				compareJob(t, j, w, &one)
			}
			if w.Own != nil {
				compareJob(t, j, w, w.Own)
			}
		})
	}
	for _, name := range []string{"same end", "opposite ends", "inner posts", "centre", "equal leads to studs"} {
		if !names[name] {
			t.Errorf("no job tries %s", name)
		}
	}
}

func compareJob(t *testing.T, j *Job, w *report.Wirings, one *report.Wiring) {
	t.Helper()
	given := func(rail string, p [2]bank.End) string {
		for _, l := range w.Lengths {
			if l.Rail == rail && l.From == p[0] && l.To == p[1] {
				return fmt.Sprintf("resistance: %.17g ohm", l.Resistance)
			}
		}
		t.Fatalf("%s: no length of %v", one.Name, p)
		return ""
	}
	if one.Name == "equal leads to studs" {
		given = equalLead(t, j, w, one)
	}
	r := mustCurrents(t, handMade(j.Bank, w, one, given), "")
	checkKirchhoff(t, r.Bank, &r.Sharing)
	var byString []float64
	for _, s := range w.Strings {
		byString = append(byString, r.Sharing.Battery(s.Batteries[0]).Current)
	}
	nearAll(t, one.Name+" current", one.Currents, byString, 1e-9)
	near(t, one.Name+" voltage", one.TakeoffVoltage, r.Sharing.Voltage, 1e-9)
	near(t, one.Name+" loss", one.Loss, r.Sharing.Loss, 1e-7)
	near(t, one.Name+" imbalance", one.Imbalance, math.Max(r.Sharing.Imbalance, 0), 1e-9)
	if one.Cables != len(one.Positive)+len(one.Negative) {
		t.Errorf("%s has %d cables, lists %d", one.Name, one.Cables, len(one.Positive)+len(one.Negative))
	}
	// With all strings on, the worst share with one out is at least that of the
	// best bank of one less, which is one.
	if len(w.Strings) > 1 && !(one.OneOutShare >= 1-1e-9 && one.OneOutString >= 0) {
		t.Errorf("%s: with one out the worst share is %v (%d)", one.Name, one.OneOutShare, one.OneOutString)
	}
}

// equalLead is a cable of a rail's size cut to the longest of the rail's leads,
// which is worked out here from the pairs.
func equalLead(t *testing.T, j *Job, w *report.Wirings, one *report.Wiring) func(string, [2]bank.End) string {
	t.Helper()
	longest := map[string]float64{}
	for _, l := range w.Lengths {
		if stud := map[string]bank.End{"positive": one.Takeoff.Positive, "negative": one.Takeoff.Negative}[l.Rail]; l.From == stud || l.To == stud {
			longest[l.Rail] = math.Max(longest[l.Rail], l.Length)
		}
	}
	near(t, "copper of equal leads", one.Copper, float64(len(w.Strings))*(longest["positive"]+longest["negative"]), 1e-8)
	warm := 1 + 0.00393*(float64(w.Case.CableTemperature.V)-293.15)
	return func(rail string, _ [2]bank.End) string {
		per := j.Bank.Question.PerLength[map[string]int{"positive": 0, "negative": 1}[rail]]
		return fmt.Sprintf("resistance: %.17g ohm", longest[rail]*float64(per.V)*warm+1e-4)
	}
}
