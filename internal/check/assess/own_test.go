package assess

import (
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

// TestOwn: the job's own cables as a wiring of the question, or why they are
// none.
func TestOwn(t *testing.T) {
	trailer := example(t, "library-trailer.yaml")
	w5 := "  - {id: W5, from: B4+, to: B5+, size: 2/0 AWG, insulation: 90 °C, support: 10 in}\n"
	fuse := "  - {id: FX, kind: fuse, resistance: 0.1 mΩ}\n"
	parts := func(text, more string) string { return replaced(t, text, "parts:\n", "parts:\n"+more) }
	const none, apart = "the job has no rail cables yet", "are no tree over posts and take-off alone"
	for _, row := range []struct {
		name, text string
		note       string // of the wiring, or why there is none
		is         bool
	}{
		{"as it is", trailer, "", true},
		{"another size", replaced(t, trailer, "to: B5+, size: 2/0 AWG", "to: B5+, size: 1 AWG"), "other sizes or joints", true},
		{"another joint", replaced(t, trailer, "to: B5+, size: 2/0 AWG", "to: B5+, size: 2/0 AWG, joint: {to: 0.4 mΩ}"), "other sizes or joints", true},
		{"given whole", replaced(t, trailer, "to: B5+, size: 2/0 AWG", "to: B5+, resistance: 0.4 mΩ"), "", true},
		{"a load past the take-off", parts(replaced(t, trailer, w5, w5+"  - {id: X1, from: S1, to: FX.a, size: 2/0 AWG, length: 1 m}\n"), fuse), "", true},
		{"one cable missing", replaced(t, trailer, w5, ""), apart, false},
		{"a ring", replaced(t, trailer, w5, w5+"  - {id: X1, from: B5+, to: B3+, size: 2/0 AWG}\n"), apart, false},
		{"two cables side by side", replaced(t, trailer, w5, w5+strings.Replace(w5, "W5", "X5", 1)), apart, false},
		{"a second way through a fuse", parts(replaced(t, trailer, w5, w5+"  - {id: X1, from: B5+, to: FX.a, size: 2/0 AWG, length: 1 m}\n  - {id: X2, from: FX.b, to: B3+, size: 2/0 AWG, length: 1 m}\n"), fuse), apart, false},
		{"bars", example(t, "ridge-hut.yaml"), apart, false},
		{"no cables", trailer[:strings.Index(trailer, "cables:")] + trailer[strings.Index(trailer, "takeoff:"):], none, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			checkOwn(t, row.text, row.note, row.is)
		})
	}
}

// checkOwn compares the own wiring with the job's currents, where it is one and
// has nothing to note.
func checkOwn(t *testing.T, text, wantNote string, is bool) {
	t.Helper()
	j := mustLoad(t, text)
	q, err := j.question("")
	if err != nil {
		t.Fatal(err)
	}
	own, note := q.own()
	if (own != nil) != is {
		t.Fatalf("own wiring %+v, %q", own, note)
	}
	if own != nil {
		note = own.Note
	}
	if note != wantNote && (wantNote == "" || !strings.Contains(note, wantNote)) {
		t.Errorf("says %q, want %q", note, wantNote)
	}
	if own == nil || own.Note != "" {
		return
	}
	r, err := j.Currents("")
	if err != nil {
		t.Fatal(err)
	}
	nearAll(t, "own current", own.Currents, currentsOf(&r.Sharing), 1e-9)
	near(t, "own voltage", own.TakeoffVoltage, r.Sharing.Voltage, 1e-9)
	copper := 0.0
	for i := range j.Bank.Cables {
		if c := &j.Bank.Cables[i]; onRails(j.Bank, c) {
			copper += float64(c.Length.V)
		}
	}
	if !strings.Contains(text, "resistance: 0.4") { // given whole, it has no length of its own
		near(t, "own copper", own.Copper, copper, 1e-8)
	}
}

// TestLugsNote: an arrangement that breaks the limit on lugs is shown, with a
// note.
func TestLugsNote(t *testing.T) {
	w := mustWirings(t, example(t, "library-trailer.yaml"), "")
	for _, one := range w.Textbook {
		if over := strings.Contains(one.Note, "5 lugs on S1, over the limit of 4"); over != (one.FullestPost > 4) {
			t.Errorf("%s has %d lugs on %s: %q", one.Name, one.FullestPost, one.FullestAt, one.Note)
		}
	}
	for _, one := range w.Front {
		if one.FullestPost > 4 || one.FullestPost < 2 {
			t.Errorf("%d lugs on %s on the front", one.FullestPost, one.FullestAt)
		}
	}
	w = mustWirings(t, example(t, "market-cart.yaml"), "")
	if w.Textbook[0].Name != "same end" || w.Textbook[0].Note != "moves the take-off" || w.Textbook[1].Note != "" {
		t.Errorf("%+v", w.Textbook)
	}
}

// TestAlong: a cable that names a run goes by its corners and is longer.
func TestAlong(t *testing.T) {
	text := example(t, "library-trailer.yaml")
	run := replaced(t, text, "cables:\n", "runs: [{id: high, path: [[5 in, 20 in, 13 in], [25 in, 20 in, 13 in]]}]\ncables:\n")
	run = replaced(t, run, "{id: W5, from: B4+, to: B5+, size: 2/0 AWG,", "{id: W5, from: B4+, to: B5+, size: 2/0 AWG, along: [high],")
	plain, along := mustCurrents(t, text, ""), mustCurrents(t, run, "")
	a, b := cableOf(t, plain.Bank, "W5").Length, cableOf(t, along.Bank, "W5").Length
	if b.Origin != source.Routed || !(b.V > a.V) {
		t.Errorf("%v plain, %v along the run", a.V, b.V)
	}
	near(t, "pair", pairOf(t, mustWirings(t, run, ""), "B4+", "B5+").Length, float64(b.V), 0)
	// The same run by hand for a pair without a cable.
	pair := replaced(t, run, "  lugs: 4", "  lugs: 4\n  pairs: [{from: B1-, to: B5-, along: [high]}]")
	before, after := pairOf(t, mustWirings(t, run, ""), "B1-", "B5-"), pairOf(t, mustWirings(t, pair, ""), "B1-", "B5-")
	if after.Origin != source.Routed || !(after.Length > before.Length) {
		t.Errorf("%v plain, %v along the run", before.Length, after.Length)
	}
}

// TestPlan: the drawing needs no circuit where there are no cables, and tells
// what is wrong where there are.
func TestPlan(t *testing.T) {
	text := example(t, "library-trailer.yaml")
	bare := text[:strings.Index(text, "cables:")] + text[strings.Index(text, "takeoff:"):]
	r, err := mustLoad(t, bare).Plan("")
	if err != nil || r.Bank == nil || len(r.Sharing.Batteries) != 0 || len(r.Routes) != 0 {
		t.Errorf("bare: %+v, %v", r, err)
	}
	_, err = mustLoad(t, bare).Currents("")
	saying(t, err, "test.yaml:", "post B1+ has no cable")
	_, err = mustLoad(t, replaced(t, text, "  - {id: W5, from: B4+, to: B5+, size: 2/0 AWG, insulation: 90 °C, support: 10 in}\n", "")).Plan("")
	saying(t, err, "post B5+ has no cable")
	if r, err = mustLoad(t, text).Plan("shore"); err != nil || len(r.Routes) != len(r.Bank.Cables) || r.Sharing.Current != -100 {
		t.Errorf("whole: %+v, %v", r, err)
	}
}

// TestCases: names of cases, and rest where a job has none.
func TestCases(t *testing.T) {
	text := example(t, "library-trailer.yaml")
	_, err := mustLoad(t, text).Currents("night")
	saying(t, err, "there is no case night; the job has evening, kettle, shore, rest")
	still := mustLoad(t, text[:strings.Index(text, "cases:")])
	_, err = still.Currents("night")
	saying(t, err, "there is no case night; the job has no cases")
	r, err := still.Currents("")
	if err != nil || r.Sharing.Current != 0 || r.Sharing.Case.ID != "rest" || r.Sharing.Case.Origin != source.Assumed {
		t.Errorf("%+v, %v", r.Sharing, err)
	}
	told := false
	for _, a := range r.Assumed {
		told = told || a.What == "case"
	}
	if !told {
		t.Errorf("the case is not told as assumed: %+v", r.Assumed)
	}
}

// TestLoadFaults: what cannot be read or laid out is told by name.
func TestLoadFaults(t *testing.T) {
	text := example(t, "library-trailer.yaml")
	for _, row := range []struct {
		name, text string
		says       []string
	}{
		{"not a job", "title: x\n", []string{"test.yaml:1:1:"}},
		{"size not in the catalogue", replaced(t, text, "to: B5+, size: 2/0 AWG", "to: B5+, size: 30 AWG"), []string{"test.yaml:", "the catalogue has no conductor 30 AWG"}},
		{"search size not in the catalogue", replaced(t, text, "negative: 2/0 AWG}", "negative: 300 mm2}"), []string{"test.yaml:", "no conductor 300 mm²", "120 mm2"}},
		{"hole in no wall", replaced(t, text, "{id: G1, at: [32 3/8 in, 8 in, 11 1/2 in]", "{id: G1, at: [10 in, 8 in, 11 1/2 in]"), []string{"test.yaml:", "G1"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Load("test.yaml", []byte(row.text))
			saying(t, err, row.says...)
		})
	}
	_, err := mustLoad(t, replaced(t, text, "{id: evening, draw: 180 A", "{id: evening, draw: 100 kW")).Currents("")
	saying(t, err, "test.yaml: case evening asks for 100.0 kW; the bank can deliver at most")
}
