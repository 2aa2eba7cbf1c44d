package feed

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

func end(s string) bank.End {
	e, err := bank.ParseEnd(s)
	if err != nil {
		panic(err)
	}
	return e
}

// makeBank builds a bank from words: batteries "B1", parts "F1 fuse", cables
// "W1 B1+ F1.a 0.3" with their length in metres.
func makeBank(batteries, parts, cables, takeoff string) *bank.Bank {
	b := &bank.Bank{}
	for _, id := range strings.Fields(batteries) {
		b.Batteries = append(b.Batteries, bank.Battery{ID: id})
	}
	for _, p := range strings.Split(parts, ",") {
		if f := strings.Fields(p); len(f) == 2 {
			b.Parts = append(b.Parts, bank.Part{ID: f[0], Kind: bank.PartKind(f[1]), Studs: 4})
		}
	}
	for _, c := range strings.Split(cables, ",") {
		f := strings.Fields(c)
		var l float64
		fmt.Sscan(f[3], &l)
		one := bank.Cable{ID: f[0], From: end(f[1]), To: end(f[2]), Length: source.Of(quantity.Length(l))}
		one.Wrap.Sheath = len(f) > 4
		b.Cables = append(b.Cables, one)
	}
	f := strings.Fields(takeoff)
	b.Takeoff = bank.Takeoff{Positive: end(f[0]), Negative: end(f[1])}
	return b
}

func (m *Map) cable(id string) *Cable {
	for i := range m.Cables {
		if m.Cables[i].ID == id {
			return &m.Cables[i]
		}
	}
	return nil
}

// trailer is two batteries in parallel, a main fuse and switch, an inverter, and
// a charger on a fuse of its own.
func trailer() *bank.Bank {
	return makeBank("B1 B2", "F1 fuse, Q1 switch, I1 inverter, C1 charger, F2 fuse, N1 bar",
		"W1 B1+ B2+ 0.3, W2 B1- B2- 0.3, W3 B1+ F1.a 0.1, W4 F1.b Q1.a 0.4, W5 Q1.b I1.a 1, W6 I1.b N1.1 1, W7 N1.2 B2- 0.2, W8 Q1.b F2.a 0.2, W9 F2.b C1.a 2, W10 C1.b N1.3 2",
		"Q1.b N1.2")
}

func TestTrailer(t *testing.T) {
	m := New(trailer())
	for id, want := range map[string]struct {
		side       Side
		both, bare bool
	}{
		"W1":  {Positive, true, true},
		"W2":  {Negative, true, true},
		"W3":  {Positive, true, true},
		"W4":  {Positive, true, false},
		"W5":  {Positive, false, false},
		"W6":  {Negative, false, true},
		"W9":  {Positive, true, true},
		"W10": {Negative, true, true},
	} {
		c := m.cable(id)
		if c.Side != want.side || c.Both != want.both || c.Bare() != want.bare {
			t.Errorf("%s: %s, both %v, bare %v, not %+v", id, c.Side, c.Both, c.Bare(), want)
		}
	}
	if got := fmt.Sprint(m.cable("W4").Saves()); got != "[F1 F2]" {
		t.Errorf("W4 is saved by %s: from the bank by F1, from the charger by F2", got)
	}
	if got := fmt.Sprint(m.cable("W5").Saves()); got != "[F1 F2]" {
		t.Errorf("W5 is saved by %s", got)
	}
	if got := m.cable("W5").Load; got[1] != "I1" {
		t.Errorf("W5 leads to %v", got)
	}
	// W1 from the side of B2: B2 alone, bare. From B1: B1 bare, C1 by F2 and F1.
	w := m.cable("W1").Ways
	if len(w[1]) != 1 || w[1][0].Source != end("B2+") || len(w[0]) != 2 {
		t.Fatalf("%+v", w)
	}
	for _, way := range w[0] {
		if !way.Battery && (fmt.Sprint(way.Devices, way.Switches) != "[F2 F1] [Q1]" || math.Abs(way.Length-2.7) > 1e-12 || math.Abs(way.Bare-2) > 1e-12) {
			t.Errorf("from the charger: %+v", way)
		}
	}
}

func TestDevices(t *testing.T) {
	m := New(trailer())
	f1, f2 := m.Devices[0], m.Devices[1]
	if !f1.First || math.Abs(f1.Before-0.1) > 1e-12 || f1.Switch || !f1.Far {
		t.Errorf("F1: %+v", f1)
	}
	if f2.First || !math.IsNaN(f2.Before) || !f2.Far {
		t.Errorf("F2: %+v", f2)
	}
	if got := fmt.Sprint(f2.Feeds); got != "[W4 W5 W8 W9]" { // of W1 and W3 it is not the nearest: F1 lies between
		t.Errorf("F2 stands before %v", got)
	}
}

// A sheath and a switch on the way are told; of two ways the one with fewer
// devices counts, then the shorter.
func TestWaysChosen(t *testing.T) {
	b := makeBank("B1", "F1 fuse, F2 fuse, Q1 switch, S1 stud, L1 load",
		"A B1+ F1.a 0.5 s, B F1.b S1 0.5, C B1+ Q1.a 0.2 s, D Q1.b S1 3, E S1 F2.a 0.1, G F2.b L1.a 1, N L1.b B1- 1", "S1 B1-")
	m := New(b)
	g := m.cable("G")
	if w := g.Ways[0]; len(w) != 1 || fmt.Sprint(w[0].Devices, w[0].Switches) != "[F2] [Q1]" || math.Abs(w[0].Length-3.3) > 1e-12 || w[0].Sheathed {
		t.Errorf("%+v", w)
	}
	if d := m.Devices[1]; !d.First || math.Abs(d.Before-3.3) > 1e-12 || !d.Switch || d.Sheath {
		t.Errorf("F2: %+v", d)
	}
	if d := m.Devices[0]; !d.First || math.Abs(d.Before-0.5) > 1e-12 || !d.Sheath || d.Switch {
		t.Errorf("F1: %+v", d)
	}
}

// Batteries in series: the link between them is between, and fed from both.
func TestSeries(t *testing.T) {
	m := New(makeBank("B1 B2", "", "W1 B1+ B2- 0.3", "B2+ B1-"))
	if c := m.cable("W1"); c.Side != Between || !c.Both || !c.Bare() {
		t.Errorf("%+v", c)
	}
	if m.SideOf(end("B2+")) != Positive || m.SideOf(end("X9")) != Loose {
		t.Error("sides")
	}
}

// A frame and what hangs on no battery.
func TestLoose(t *testing.T) {
	m := New(makeBank("B1", "H1 frame, L1 load", "W1 B1- H1 0.3, W2 L1.a L1.b 1", "B1+ B1-"))
	if m.cable("W1").Side != Negative || m.cable("W2").Side != Loose || len(m.cable("W2").Ways[0]) != 0 {
		t.Errorf("%+v", m.Cables)
	}
}

// The way along a bar counts as that along a cable: 0.3 m to the bar, three
// stretches of 50 mm, 0.1 m on to the fuse.
func TestBarLength(t *testing.T) {
	b := makeBank("B1", "P1 bar,F1 fuse", "W1 B1+ P1.1 0.3,W2 P1.4 F1.a 0.1,W3 F1.b B1- 1", "F1.b B1-")
	for _, c := range []struct{ pitch, want float64 }{{0.05, 0.55}, {0, 0.4}} {
		b.Parts[0].Pitch = c.pitch
		if got := New(b).Devices[0].Before; math.Abs(got-c.want) > 1e-12 {
			t.Errorf("pitch %g: %g m before the fuse, want %g", c.pitch, got, c.want)
		}
	}
}
