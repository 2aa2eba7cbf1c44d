package terminal

import (
	"math"
	"math/rand/v2"
	"testing"
)

// post is a bar with three cables and their hardware.
func post() []Piece {
	return []Piece{
		{"bar", Base, 0, 0, 0},
		{"A", Lug, 3.6e-3, 150, 70e-6},
		{"B", Lug, 2.4e-3, -60, 25e-6},
		{"C", Lug, 1.0e-3, 10, 6e-6},
		{"washer", Washer, 1.6e-3, 0, 0},
		{"spring", Spring, 2.0e-3, 0, 0},
		{"nut", Nut, 6.8e-3, 0, 0},
	}
}

func mustLook(t *testing.T, pieces []Piece) Stack {
	t.Helper()
	s, err := Look(pieces)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestLook(t *testing.T) {
	s := mustLook(t, post())
	want := []Face{{"bar", "A", 100, true}, {"A", "B", -50, true}, {"B", "C", 10, true}}
	if s.Lugs != 3 || s.OnStud != 0 || len(s.Faces) != len(want) {
		t.Fatalf("%+v", s)
	}
	for i := range want {
		if s.Faces[i] != want[i] {
			t.Errorf("face %d is %+v, want %+v", i, s.Faces[i], want[i])
		}
	}
	// A nut between the bar and a lug, as found under fuses: all above is on the stud.
	nut := append([]Piece{post()[0], {"nut below", Nut, 6.8e-3, 0, 0}}, post()[1:]...)
	if s := mustLook(t, nut); s.OnStud != 100 || s.Faces[0].Direct || s.Faces[1].Direct || !s.Faces[2].Direct {
		t.Errorf("nut between: %+v", s)
	}
	// A washer between two lugs: what lies above it is.
	pieces := post()
	washer := append(append(append([]Piece{}, pieces[:2]...), Piece{"washer below", Washer, 1.6e-3, 0, 0}), pieces[2:]...)
	if s := mustLook(t, washer); s.OnStud != 50 {
		t.Errorf("washer between: %+v", s)
	}
	if s := mustLook(t, pieces[:1]); s.Lugs != 0 || len(s.Faces) != 0 || s.OnStud != 0 {
		t.Errorf("bar alone: %+v", s)
	}
	for name, bad := range map[string][]Piece{
		"nothing": nil, "no base": post()[1:], "two bases": {{ID: "bar", Kind: Base}, {ID: "bar 2", Kind: Base}},
		"no number": {{ID: "bar", Kind: Base}, {ID: "A", Kind: Lug, Current: math.NaN()}},
	} {
		if s, err := Look(bad); err == nil {
			t.Errorf("%s: no error, but %+v", name, s)
		}
	}
}

// TestKirchhoff: whatever the order, the lowest face carries the sum, and the
// difference of two neighbouring faces is what the lug between them brings.
func TestKirchhoff(t *testing.T) {
	rng := rand.New(rand.NewPCG(52, 1))
	for range 200 {
		pieces := []Piece{{ID: "bar", Kind: Base}}
		sum := 0.0
		for range 1 + rng.IntN(6) {
			p := Piece{ID: "x", Kind: []Kind{Lug, Lug, Washer, Nut}[rng.IntN(4)], Current: float64(rng.IntN(401) - 200)}
			if p.Kind == Lug {
				sum += p.Current
			}
			pieces = append(pieces, p)
		}
		s := mustLook(t, pieces)
		if s.Lugs == 0 {
			continue
		}
		if s.Faces[0].Current != sum {
			t.Errorf("lowest face carries %g A of %g A", s.Faces[0].Current, sum)
		}
		for i := range len(s.Faces) - 1 {
			brings := 0.0
			if pieces[i+1].Kind == Lug {
				brings = pieces[i+1].Current
			}
			if s.Faces[i].Current-s.Faces[i+1].Current != brings {
				t.Errorf("faces %d and %d differ by another current than the lug's", i, i+1)
			}
		}
	}
}

func TestOrder(t *testing.T) {
	mixed := []Piece{
		{"C", Lug, 1e-3, 10, 6e-6}, {"nut", Nut, 1e-3, 0, 99}, {"D", Lug, 1e-3, -80, 25e-6}, {"B", Lug, 1e-3, 60, 25e-6}, {"A2", Lug, 1e-3, 5, 70e-6}, {"A1", Lug, 1e-3, -5, 70e-6},
	}
	got := ""
	for _, p := range Order(mixed) {
		got += p.ID + " "
	}
	if got != "A1 A2 D B C " {
		t.Errorf("order is %s", got)
	}
	if Ordered(mixed) || !Ordered(Order(mixed)) || !Ordered(post()) || !Ordered(nil) {
		t.Error("what is in order is told wrongly")
	}
	if mixed[0].ID != "C" {
		t.Error("the caller's order was changed")
	}
}

// TestCounts: four lugs keep FAA AC 43.13-1B 11-174 b and break MIL-DTL-917F
// 3.12.2.8; five break both.
func TestCounts(t *testing.T) {
	for lugs, want := range map[int][2]bool{0: {true, true}, 3: {true, true}, 4: {true, false}, 5: {false, false}} {
		for i, r := range CountRules() {
			if r.Within(lugs) != want[i] || r.Ref.Check() != nil {
				t.Errorf("%d lugs, at most %d (%s): %t", lugs, r.Most, r.Ref, r.Within(lugs))
			}
		}
	}
}

// TestStudLength: 3.6 + 2.4 + 1.0 + 1.6 + 2.0 + 6.8 mm and two threads of M8.
func TestStudLength(t *testing.T) {
	got, err := StudLength(post(), 1.25e-3, 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "length", got, 19.9e-3, 1e-12)
	through := post()
	through[0].Thickness = 6e-3 // a bolt through the bar
	longer, err := StudLength(through, 1.25e-3, 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "bolt through the bar", longer, got+6e-3, 1e-12)
	for _, bad := range []struct{ pitch, threads, lug float64 }{{0, 2, 1e-3}, {1e-3, -1, 1e-3}, {1e-3, math.NaN(), 1e-3}, {1e-3, 2, 0}, {1e-3, 2, math.NaN()}, {1e-3, 2, -1}} {
		if l, err := StudLength([]Piece{{"A", Lug, bad.lug, 0, 0}}, bad.pitch, bad.threads); err == nil {
			t.Errorf("%+v: no error, but %g m", bad, l)
		}
	}
}

// TestSplit: current divides against resistance, and a stainless M8 (0.72 µΩ·m,
// handbook value) beside sound copper faces has next to nothing: 20 mm of it
// are 0.39 mΩ against 6 µΩ.
func TestSplit(t *testing.T) {
	stud := StudOhm(0.72e-6, 36.6e-6, 0.020)
	near(t, "stud", stud, 393.4e-6, 0.1e-6)
	faces, through := Split(200, Spot(CopperResistivity, CopperHardness, 7500), stud)
	near(t, "through the stud", through, 200*5.58/(393.4+5.58), 0.01)
	near(t, "sum", faces+through, 200, 1e-9)
	near(t, "same voltage", faces*Spot(CopperResistivity, CopperHardness, 7500), through*stud, 1e-12)
	if f, s := Split(200, math.Inf(1), stud); f != 0 || s != 200 {
		t.Errorf("faces broken: %g, %g A", f, s)
	}
	if f, s := Split(200, 1e-6, math.Inf(1)); f != 200 || s != 0 {
		t.Errorf("no stud: %g, %g A", f, s)
	}
	for _, ohm := range []float64{0, math.Inf(1), math.NaN()} {
		if f, s := Split(1, ohm, ohm); !math.IsNaN(f) || !math.IsNaN(s) {
			t.Errorf("%g ohm twice: %g, %g A", ohm, f, s)
		}
	}
}

// TestStudTests: the resistances that the reference works out of MIL-DTL-83454A,
// and that the limit goes with the current.
func TestStudTests(t *testing.T) {
	milliohm := []float64{0.30, 0.25, 0.214, 0.174}
	for i, d := range StudTests() {
		near(t, d.Name, d.Resistance()*1e3, milliohm[i], 0.0005)
		near(t, d.Name+" at its current", d.Limit(d.Current), d.Voltage, 1e-15)
		near(t, d.Name+" backwards", d.Limit(-2*d.Current), 2*d.Voltage, 1e-15)
		if !d.Within(7.5e-3, d.Current) || !d.Within(-7.5e-3, -d.Current) || d.Within(7.51e-3, d.Current) || d.Within(0, 0) || d.Within(math.NaN(), 1) || d.Within(1e-3, math.NaN()) {
			t.Errorf("%s: a reading is told wrongly", d.Name)
		}
		if err := d.Ref.Check(); err != nil {
			t.Error(err)
		}
	}
}

// TestSimilar is E16 of the reference: of 18, 20, 22 and 34 µΩ only 34 is above
// the limit of 27.
func TestSimilar(t *testing.T) {
	limit, high, err := Similar([]float64{18e-6, 20e-6, math.NaN(), 22e-6, 34e-6}, SimilarRatio)
	if err != nil || len(high) != 1 || high[0] != 4 {
		t.Fatalf("%g, %v, %v", limit, high, err)
	}
	near(t, "limit", limit, 27e-6, 1e-18)
	if _, high, err := Similar([]float64{18, 27, 27.001}, SimilarRatio); err != nil || len(high) != 1 || high[0] != 2 {
		t.Errorf("at the limit: %v, %v", high, err)
	}
	if _, high, err := Similar([]float64{5, 5, 5}, SimilarRatio); err != nil || high != nil {
		t.Errorf("all alike: %v, %v", high, err)
	}
	if err := SimilarRef.Check(); err != nil {
		t.Error(err)
	}
	for _, bad := range []struct {
		readings []float64
		ratio    float64
	}{{nil, 1.5}, {[]float64{1}, 1.5}, {[]float64{1, math.NaN()}, 1.5}, {[]float64{0, 1}, 1.5}, {[]float64{-1, 1}, 1.5}, {[]float64{1, 2}, 1}, {[]float64{1, 2}, math.NaN()}} {
		if limit, _, err := Similar(bad.readings, bad.ratio); err == nil || !math.IsNaN(limit) {
			t.Errorf("%+v: limit %g, %v", bad, limit, err)
		}
	}
}
