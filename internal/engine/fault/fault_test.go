package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// nothing is a lead as good as none: the model has no joint of no resistance.
const nothing = 1e-12

// TestLadder: 4 units of 5 mΩ at 13.2 V on links of 0.5 mΩ, computed twice with
// other tools, not published; 0.1 %, what the printed digits allow.
func TestLadder(t *testing.T) {
	for _, row := range []struct {
		name                 string
		negative             string
		milliohm, amps, with float64
	}{
		{"same end", "B1-", 1.9270, 6850, 4510},
		{"diagonal", "B4-", 2.1136, 6245, 4239},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := ladder(4, 13.2, 0.005, 0.0005)
			b.Takeoff.Negative = end(row.negative)
			s := point(t, mustSolve(t, b), "B1+")
			near(t, "resistance, mΩ", s.Resistance*1e3, row.milliohm, 1e-3*row.milliohm)
			near(t, "fault current", s.Current, row.amps, 1e-3*row.amps)
			near(t, "with 1 mΩ external", s.Behind(0.001), row.with, 1e-3*row.with)
			near(t, "behind nothing", s.Behind(0), s.Current, 0)
			near(t, "EMF", s.EMF, 13.2, 1e-12)
		})
	}
}

// star is n equal batteries on two studs without leads to speak of.
func star(n int, emf, ohm float64) *bank.Bank {
	b := ladder(n, emf, ohm, 1)
	b.Cables = nil
	b.Parts = []bank.Part{part("S", bank.Stud, 0, 0), part("T", bank.Stud, 0, 0)}
	for i := range b.Batteries {
		id := b.Batteries[i].ID
		b.Cables = append(b.Cables, wire("P"+id, id+"+", "S", nothing), wire("N"+id, id+"-", "T", nothing))
	}
	b.Takeoff = takeoff("S", "T")
	return b
}

// TestPublishedStation: a low-voltage d.c. system guide prints 4.37 kA for one
// battery of 110 cells, 240 V, 0.5 mΩ a cell, and 17.5 kA for four in parallel;
// 0.3 %, half of the last digit printed.
func TestPublishedStation(t *testing.T) {
	one := point(t, mustSolve(t, star(1, 240, 110*0.5e-3)), "S")
	near(t, "one", one.Current, 4370, 0.003*4370)
	four := point(t, mustSolve(t, star(4, 240, 110*0.5e-3)), "S")
	near(t, "four", four.Current, 17500, 0.003*17500)
	near(t, "four, exact", four.Current, 4*240/0.055, 1e-4)
}

// TestStarWithLeads: four of 13.3 V and 4 mΩ give 13 300 A; with 3 m of 2/0
// (0.26087 mΩ/m) and four joints of 0.05 mΩ 6708 A, computed by hand. 0.5 A:
// half of the last digit.
func TestStarWithLeads(t *testing.T) {
	b := star(4, 13.3, 0.004)
	near(t, "at the studs", point(t, mustSolve(t, b), "S").Current, 13300, 0.5)
	b.Parts = append(b.Parts, part("L", bank.Stud, 0, 0), part("M", bank.Stud, 0, 0))
	lead := bank.Cable{ID: "L1", From: end("S"), To: end("L"), Length: source.Of(quantity.Length(1.5)),
		PerLength: source.Of(quantity.ResistancePerLength(0.26087e-3)), Coefficient: source.Of(0.00393),
		Joints: [2]source.Value[quantity.Resistance]{source.Of(quantity.Resistance(50e-6)), source.Of(quantity.Resistance(50e-6))}}
	back := lead
	back.ID, back.From, back.To = "L2", end("T"), end("M")
	b.Cables = append(b.Cables, lead, back)
	b.Takeoff = takeoff("L", "M")
	r := mustSolve(t, b)
	near(t, "at the end of the leads", point(t, r, "L").Current, 6708, 0.5)
	nearAll(t, "share", r.Takeoff.Batteries, []float64{6708. / 4, 6708. / 4, 6708. / 4, 6708. / 4}, 0.2)
	hot := as(b)
	hot.Cables = 348.15 // 75 °C: copper has 1 + 0.00393·55 of it
	least, err := Solve(b, Options{Most: as(b), Least: &hot})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range least.Points {
		if p.Place == end("L") {
			near(t, "hot leads", p.Least.Resistance, 0.001+3*0.26087e-3*(1+0.00393*55)+0.2e-3, 1e-9)
			near(t, "cool leads", p.Most.Resistance, 0.001+3*0.26087e-3+0.2e-3, 1e-9)
		}
	}
}

// TestSeries: two strings of two at 12.8 V and 20 mΩ each, rails and links of
// 1 mΩ; by hand. A short of the lower post of string 1 takes its own 12.8 V
// over 20 mΩ and what the upper one and string 2 push.
func TestSeries(t *testing.T) {
	b := &bank.Bank{Takeoff: takeoff("B2+", "B1-")}
	for _, id := range []string{"B1", "B2", "B3", "B4"} {
		b.Batteries = append(b.Batteries, battery(id, 12.8, 0.020))
	}
	b.Cables = []bank.Cable{wire("L1", "B1+", "B2-", 0.001), wire("L2", "B3+", "B4-", 0.001),
		wire("P", "B2+", "B4+", 0.001), wire("N", "B1-", "B3-", 0.001)}
	r := mustSolve(t, b)
	// String 1 alone: 25.6 V / 41 mΩ; string 2 through P and N: 25.6 V / 43 mΩ.
	near(t, "at the take-off", point(t, r, "B2+").Current, 25.6/0.041+25.6/0.043, 1e-8)
	nearAll(t, "shares", r.Takeoff.Batteries, []float64{25.6 / 0.041, 25.6 / 0.041, 25.6 / 0.043, 25.6 / 0.043}, 1e-8)
	// Into B1: B2 against string 2, 12.8 V over 20 + 1 (L1) + 43 mΩ.
	rest := 12.8 / (0.021 + 0.043)
	near(t, "into B1", r.Into[0].Most.Current, rest, 1e-9)
	near(t, "mid-point of string 1", point(t, r, "B1+").Current, 12.8/0.020+rest, 1e-8)
	// Into B2: the same loop seen from the other battery.
	near(t, "into B2", r.Into[1].Most.Current, rest, 1e-9)
	// One string alone: nothing pushes into a battery of it.
	b.Batteries, b.Cables = b.Batteries[:2], b.Cables[:1]
	alone := mustSolve(t, b)
	for _, in := range alone.Into {
		if in.Most.Joined() || in.Most.Current != 0 || !math.IsNaN(in.Most.EMF) || in.Most.Behind(1) != 0 {
			t.Errorf("alone, into %s: %+v", in.Battery, in.Most)
		}
	}
	near(t, "mid-point alone", point(t, alone, "B1+").Current, 640, 1e-9)
}

// TestMidTap: a bank of two in series taken off over the lower one too, whose
// tap is the take-off: the upper one is no way to the negative.
func TestMidTap(t *testing.T) {
	b := &bank.Bank{Batteries: []bank.Battery{battery("B1", 12.8, 0.010), battery("B2", 12.8, 0.010)},
		Parts:  []bank.Part{part("S", bank.Stud, 0, 0)},
		Cables: []bank.Cable{wire("L", "B1+", "B2-", 0.002), wire("T", "B1+", "S", 0.001)}, Takeoff: takeoff("S", "B1-")}
	r := mustSolve(t, b)
	near(t, "tap", point(t, r, "S").Current, 12.8/0.011, 1e-9)
	near(t, "top", point(t, r, "B2+").Current, 25.6/0.022, 1e-9)
	near(t, "lower post", point(t, r, "B1+").Current, 1280, 1e-9)
	if got := places(r); got != "B1+ B2+ S" {
		t.Errorf("points %s", got)
	}
	// Taken off over the upper one, the post of the lower has the potential of
	// the negative take-off and is no point.
	b.Takeoff = takeoff("B2+", "S")
	if got := places(mustSolve(t, b)); got != "B2+" {
		t.Errorf("points over the upper battery: %s", got)
	}
}

func places(r Result) string {
	var all []string
	for _, p := range r.Points {
		all = append(all, p.Place.String())
	}
	return strings.Join(all, " ")
}

// board is two batteries on a bar, a fuse and a switch to the take-off stud,
// and a bar for the negative.
func board() *bank.Bank {
	return &bank.Bank{
		Batteries: []bank.Battery{battery("B1", 13, 0.004), battery("B2", 13, 0.004)},
		Parts: []bank.Part{part("N1", bank.Bar, 3, 0.0002), part("F1", bank.Fuse, 0, 0.0003), part("Q1", bank.Switch, 0, 0.0001),
			part("S1", bank.Stud, 0, 0), part("N2", bank.Bar, 2, 0.0001)},
		Cables: []bank.Cable{wire("W1", "B1+", "N1.1", 0.0005), wire("W2", "B2+", "N1.2", 0.0005), wire("W3", "N1.3", "F1.a", 0.0002),
			wire("W4", "F1.b", "Q1.a", 0.0002), wire("W5", "Q1.b", "S1", 0.0002), wire("W6", "B1-", "N2.1", 0.0005), wire("W7", "B2-", "N2.1", 0.0005)},
		Takeoff: takeoff("S1", "N2.2"),
	}
}

// TestParts: a bar's resistance is spread over its stretches, two-ended parts
// lie in the way; by hand. B1 has one stretch of 0.1 mΩ more than B2.
func TestParts(t *testing.T) {
	b := board()
	r := mustSolve(t, b)
	if got, want := places(r), "B1+ B2+ N1.1 N1.2 N1.3 F1.a F1.b Q1.a Q1.b S1"; got != want {
		t.Errorf("points %s, want %s", got, want)
	}
	pair := 1 / (1/0.0051 + 1/0.0050)
	atSecond := pair + 0.0001 // N2
	near(t, "bar, second stud", point(t, r, "N1.2").Resistance, atSecond, 1e-12)
	near(t, "before the fuse", point(t, r, "F1.a").Resistance, atSecond+0.0001+0.0002, 1e-12)
	near(t, "after the fuse", point(t, r, "F1.b").Resistance, atSecond+0.0001+0.0002+0.0003, 1e-12)
	near(t, "take-off", point(t, r, "S1").Resistance, atSecond+0.0001+0.0002+0.0003+0.0002+0.0001+0.0002, 1e-12)
	// A thing on the way to the take-off carries the most when the short is
	// right behind it.
	for _, row := range []struct{ id, place string }{{"F1", "F1.b"}, {"Q1", "Q1.b"}, {"W3", "F1.a"}, {"W5", "S1"}} {
		i := slices.IndexFunc(r.Through, func(x Through) bool { return x.ID == row.id })
		got := r.Through[i]
		if got.Place != end(row.place) {
			t.Errorf("most through %s is at %s, want %s", row.id, got.Place, row.place)
		}
		near(t, "most through "+row.id, got.Current, point(t, r, row.place).Current, 1e-8)
	}
	// A load has two terminals that nothing joins: its positive one is a place
	// as live as its lead, its negative one is none.
	load := clone(b)
	load.Parts = append(load.Parts, part("A1", bank.Load, 0, 0))
	load.Cables = append(load.Cables, wire("W8", "S1", "A1.a", 0.001), wire("W9", "A1.b", "N2.2", 0.001))
	with := mustSolve(t, load)
	if got, want := places(with), places(r)+" A1.a"; got != want {
		t.Errorf("points with a load %s, want %s", got, want)
	}
	near(t, "at the load", point(t, with, "A1.a").Resistance, point(t, r, "S1").Resistance+0.001, 1e-12)
	b.Parts[2].Open = true
	r = mustSolve(t, b)
	// What stands before the open switch is as live as the posts.
	if got, want := places(r), "B1+ B2+ N1.1 N1.2 N1.3 F1.a F1.b Q1.a Q1.b S1"; got != want {
		t.Errorf("points with the switch open %s, want %s", got, want)
	}
	if s := point(t, r, "S1"); s.Joined() || s.Current != 0 {
		t.Errorf("behind the open switch: %+v", s)
	}
	if i := slices.IndexFunc(r.Through, func(x Through) bool { return x.ID == "W5" }); r.Through[i].Current != 0 || !r.Through[i].Place.IsZero() {
		t.Errorf("behind the open switch flows %+v", r.Through[i])
	}
}

// TestShortThrough: the current of a named part in a short, of a bar its
// largest stretch.
func TestShortThrough(t *testing.T) {
	c := mustNew(t, board())
	s, err := c.Short(end("F1.a"), end("N2.2"))
	if err != nil {
		t.Fatal(err)
	}
	if amps, ok := s.Through("F1"); !ok || math.Abs(amps) > 1e-9 {
		t.Errorf("through the fuse behind the short: %g A, %v", amps, ok)
	}
	if amps, ok := s.Through("N1"); !ok || math.Abs(amps-s.Current) > 1e-8 {
		t.Errorf("through the bar: %g A, %v, want %g", amps, ok, s.Current)
	}
	if _, ok := s.Through("none"); ok {
		t.Error("a part that does not exist carries")
	}
}

// TestOff: an off battery gives nothing, its posts stay joints, and the others
// push into it all the same.
func TestOff(t *testing.T) {
	b := ladder(3, 13.2, 0.005, 0.0005)
	on := mustSolve(t, b)
	b.Batteries[1].Off = true
	r := mustSolve(t, b)
	// B1 alone beside B3 through both links of both rails.
	near(t, "take-off", point(t, r, "B1+").Current, 13.2/0.005+13.2/0.007, 1e-8)
	near(t, "share of the off one", r.Takeoff.Batteries[1], 0, 0)
	near(t, "into the off one", r.Into[1].Most.Current, 2*13.2/0.006, 1e-8)
	near(t, "into it when on", on.Into[1].Most.Current, 2*13.2/0.006, 1e-8)
	for i := range b.Batteries {
		b.Batteries[i].Off = true
	}
	for _, p := range mustSolve(t, b).Points {
		if p.Most.Current != 0 || p.Most.Joined() {
			t.Errorf("all off, %s: %+v", p.Place, p.Most)
		}
	}
}

// TestTakeoffJoined: a bank whose take-off is bridged has no take-off current
// to tell, and no point on that rail.
func TestTakeoffJoined(t *testing.T) {
	b := ladder(2, 13.2, 0.005, 0.0005)
	b.Cables = append(b.Cables, wire("X", "B1+", "B1-", 0.001))
	r := mustSolve(t, b)
	if len(r.Points) != 0 || r.Takeoff != nil || r.Least != nil {
		t.Errorf("bridged take-off: %+v", r)
	}
}

func TestErrors(t *testing.T) {
	few, noNumber, dead := as(ladder(2, 12.8, 0.005, 0.0005)), as(ladder(2, 12.8, 0.005, 0.0005)), as(ladder(2, 12.8, 0.005, 0.0005))
	few.EMF = few.EMF[:1]
	noNumber.EMF[1] = math.NaN()
	dead.Resistance[0] = 0
	noLength := ladder(2, 12.8, 0.005, 0.0005)
	noLength.Cables[1].Whole = source.Value[quantity.Resistance]{}
	blocked := clone(noLength)
	blocked.Cables[1].RouteFailure = "a wall is in the way"
	badPart := ladder(2, 12.8, 0.005, 0.0005)
	badPart.Parts = []bank.Part{part("F", bank.Fuse, 0, -1)}
	plain := ladder(2, 12.8, 0.005, 0.0005)
	good := as(plain)
	for _, row := range []struct {
		name string
		b    *bank.Bank
		o    Options
		says string
	}{
		{"too few", plain, Options{Most: few}, "1 EMFs and 2 resistances for 2 batteries"},
		{"no number", plain, Options{Most: noNumber}, "battery B2: EMF is NaN V"},
		{"no resistance", plain, Options{Most: dead}, "battery B1: resistance is 0 ohm"},
		{"least", plain, Options{Most: good, Least: &dead}, "least fault current: battery B1"},
		{"no length", noLength, Options{Most: good}, "cable N1 has no length: an end of it"},
		{"no route", blocked, Options{Most: good}, "a wall is in the way"},
		{"part", badPart, Options{Most: good}, "part F: resistance is -1 ohm"},
		{"too many", ladder(maxBatteries+1, 12.8, 0.005, 0.0005), Options{}, "at most 1024 batteries"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := Solve(row.b, row.o); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("error %v does not say %q", err, row.says)
			}
		})
	}
	c := mustNew(t, plain)
	for _, ends := range [][2]string{{"B1+", "B1+"}, {"B9+", "B1-"}, {"B1+", "S"}} {
		if _, err := c.Short(end(ends[0]), end(ends[1])); err == nil {
			t.Errorf("short %v was computed", ends)
		}
	}
	if _, err := c.Into(2); err == nil {
		t.Error("a battery that is not there was shorted")
	}
	if b := (Source{EMF: 1, Resistance: 1}).Behind(-1); !math.IsNaN(b) {
		t.Errorf("a resistance below zero gives %g A", b)
	}
}
