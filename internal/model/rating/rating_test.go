package rating

import (
	"math"
	"math/rand/v2"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// The tables below are made up to try the methods; the shipped ones are tried
// where they are read.

var (
	nan = math.NaN()
	inf = math.Inf(1)
	ref = source.Ref{Title: "made up for a test", How: source.Practice}
)

func celsius(v float64) quantity.Temperature { return quantity.Temperature(v + 273.15) }

// table has columns 60, 75 and 90 °C; 18 AWG has a figure in the last only.
func table() *AmpacityTable {
	return &AmpacityTable{
		Base:       source.Look(celsius(30), ref),
		Insulation: []quantity.Temperature{celsius(60), celsius(75), celsius(90)},
		Rows: []AmpacityRow{
			{Size: quantity.AWG(18), Name: "18 AWG", Amps: []quantity.Current{0, 0, 14}},
			{Size: quantity.AWG(2), Name: "2 AWG", Amps: []quantity.Current{95, 115, 130}},
			{Size: quantity.SquareMM(50), Name: "50 mm²", Amps: []quantity.Current{120, 140, 160}},
			{Name: "250 kcmil", Amps: []quantity.Current{215, 255, 290}},
		},
		Engine: []EngineFactors{{ref, celsius(50), []float64{0.58, 0.75, 0.82}}, {Factors: []float64{0.5, 0.5, 0.5}}},
		Bands: &AmbientFactors{ref, []AmbientBand{
			{celsius(25), []float64{1.08, 1.05, 1.04}}, {celsius(30), []float64{1, 1, 1}}, {celsius(60), []float64{0, 0.58, 0.71}},
		}},
		Bundles: &BundleFactors{ref, 50, []BundleBand{{3, 0.7}, {4, 0.6}}},
	}
}

func TestAmps(t *testing.T) {
	for _, row := range []struct {
		name       string
		size       quantity.Size
		insulation float64 // °C
		want       quantity.Current
	}{
		{"own column", quantity.AWG(2), 75, 115},
		{"first column", quantity.AWG(2), 60, 95},
		{"between columns takes the cooler", quantity.AWG(2), 89.9, 115},
		{"hotter than the last takes the last", quantity.AWG(2), 105, 130},
		{"below the first", quantity.AWG(2), 59.9, 0},
		{"a rounding below its column", quantity.AWG(2), 75 - 1e-9, 115},
		{"not a number", quantity.AWG(2), nan, 0},
		{"infinite", quantity.AWG(2), inf, 0},
		{"no figure in the column", quantity.AWG(18), 75, 0},
		{"a figure in the last only", quantity.AWG(18), 90, 14},
		{"no such gauge", quantity.AWG(3), 75, 0},
		{"metric takes its own row", quantity.SquareMM(50), 75, 140},
		{"metric takes no gauge's row", quantity.SquareMM(33.6), 75, 0},
		{"no size takes no row, not even one without", quantity.Size{}, 75, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if a, ok := table().Amps(row.size, celsius(row.insulation)); a != row.want || ok != (row.want > 0) {
				t.Errorf("%v, %v, not %v", a, ok, row.want)
			}
		})
	}
	short := table()
	short.Rows[1].Amps = short.Rows[1].Amps[:1] // a row too short is no figure, no panic
	if a, ok := short.Amps(quantity.AWG(2), celsius(90)); ok {
		t.Errorf("%v of a short row", a)
	}
	if _, ok := (&AmpacityTable{}).Amps(quantity.AWG(2), celsius(90)); ok {
		t.Error("a figure of an empty table")
	}
}

func TestAmbient(t *testing.T) {
	bare := table()
	bare.Bands = nil
	for _, row := range []struct {
		name                string
		of                  *AmpacityTable
		insulation, ambient float64
		want                float64 // 0: none
	}{
		{"cold", table(), 75, -40, 1.05},
		{"edge of a band", table(), 75, 25, 1.05},
		{"just above an edge", table(), 75, 25.01, 1},
		{"an edge as a sum", table(), 75, 30 + 1e-9, 1},
		{"within a band takes its top", table(), 90, 31, 0.71},
		{"no figure", table(), 60, 50, 0},
		{"above the last band", table(), 90, 61, 0},
		{"not a number", table(), 90, nan, 0},
		{"insulation not a number", table(), nan, 20, 0},
		{"without bands, cool", bare, 75, 10, 1},
		{"without bands, at its own", bare, 75, 30, 1},
		{"without bands, warm", bare, 75, 31, 0},
		{"without bands, not a number", bare, 75, nan, 0},
		{"without anything", &AmpacityTable{Insulation: bare.Insulation}, 75, 10, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if f, ok := row.of.Ambient(celsius(row.insulation), celsius(row.ambient)); f != row.want || ok != (row.want > 0) {
				t.Errorf("%v, %v, not %v", f, ok, row.want)
			}
		})
	}
}

func TestEngineSpaceAndBundle(t *testing.T) {
	if f, from, ok := table().EngineSpace(celsius(80)); f != 0.75 || !ok || from != ref {
		t.Errorf("%v, %v, %v: the first row's, in the column below", f, from, ok)
	}
	for _, at := range []float64{50, nan} {
		if _, _, ok := table().EngineSpace(celsius(at)); ok {
			t.Errorf("a factor for insulation of %v °C", at)
		}
	}
	if _, _, ok := (&AmpacityTable{Insulation: table().Insulation}).EngineSpace(celsius(80)); ok {
		t.Error("a factor of a table without")
	}
	for _, row := range []struct {
		n     int
		volts float64
		want  float64
		ok    bool
	}{{1, 100, 1, true}, {2, 100, 1, true}, {3, 100, 0.7, true}, {4, 100, 0.6, true}, {1000, 50, 0.6, true}, {3, 49.9, 1, true}, {3, nan, 0.7, true}, {0, 100, 0, false}, {-1, 100, 0, false}} {
		if f, ok := table().Bundle(row.n, quantity.Voltage(row.volts)); f != row.want || ok != row.ok {
			t.Errorf("%d at %v V: %v, %v", row.n, row.volts, f, ok)
		}
	}
	if _, ok := (&AmpacityTable{}).Bundle(3, 12); ok {
		t.Error("a factor of a table without")
	}
}

func TestInterruptAt(t *testing.T) {
	f := &FuseClass{
		Volts: VoltageMarks{List: []quantity.Voltage{32, 58}},
		Interrupts: []Interrupt{
			{AC: true, Volts: 250, Least: 9e4}, {Volts: 58, Least: 2e3}, {Volts: 14, Least: 1e4}, {Least: 5e3},
		},
	}
	for _, row := range []struct{ volts, want float64 }{{12, 1e4}, {14, 1e4}, {14.6, 5e3}, {32, 5e3}, {48, 2e3}, {58, 2e3}, {58.4, 0}, {nan, 0}} {
		if in, ok := f.InterruptAt(quantity.Voltage(row.volts)); float64(in.Least) != row.want || ok != (row.want > 0) {
			t.Errorf("%v V: %+v, %v", row.volts, in, ok)
		}
	}
	// Nothing is known at a voltage where neither row nor mark states one.
	if in, ok := (&FuseClass{Interrupts: []Interrupt{{Least: 5e3}}}).InterruptAt(12); ok {
		t.Errorf("%+v", in)
	}
	if _, ok := (&FuseClass{Interrupts: []Interrupt{{AC: true, Least: 2e5}}}).InterruptAt(12); ok {
		t.Error("an a.c. figure for d.c.")
	}
}

func TestFuseRanges(t *testing.T) {
	f := &FuseClass{
		Ratings:    RatingRange{Least: 30, Most: 300},
		Bands:      []Band{{Multiple: 1.35, UpTo: 30, Most: 1}, {Multiple: 1.35, Over: 30, Most: 2}, {Multiple: 5, UpTo: 30, Least: 8, Only: "slow ones"}},
		LetThrough: []LetThrough{{Rating: 30, I2t: 1}, {Rating: 60, I2t: 2}},
	}
	for _, row := range []struct {
		amps  float64
		bands int
		most  quantity.Duration
		holds bool
		i2t   float64
	}{{0, 0, 0, false, 0}, {-5, 0, 0, false, 0}, {nan, 0, 0, false, 0}, {inf, 0, 0, false, 0}, {30, 1, 1, true, 1}, {30.5, 1, 2, true, 2}, {60, 1, 2, true, 2}, {61, 1, 2, true, 0}, {301, 1, 2, false, 0}} {
		amps := quantity.Current(row.amps)
		b := f.BandsFor(amps)
		through, ok := f.LetThroughFor(amps)
		if len(b) != row.bands || row.bands > 0 && b[0].Most != row.most || f.Ratings.Holds(amps) != row.holds || through.I2t != row.i2t || ok != (row.i2t > 0) {
			t.Errorf("%v A: %+v, holds %v, %+v", row.amps, b, f.Ratings.Holds(amps), through)
		}
	}
	if (RatingRange{}).Holds(10) || (VoltageMarks{}).Least() != 0 {
		t.Error("an unknown range holds")
	}
}

var steps = &StandardRatings{List: []quantity.Current{10, 15, 20, 50, 100, 150}}

// Against a plain look over all steps, for amperes drawn across and beyond
// them; half are whole so that steps are hit.
func TestStandardRatings(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		a := quantity.Current(rng.Float64() * 200)
		if rng.IntN(2) == 0 {
			a = quantity.Current(math.Round(float64(a)))
		}
		up, above := steps.AtLeast(a)
		down, below := steps.AtMost(a)
		if above && (up < a) || below && (down > a) || above != (a <= 150) || below != (a >= 10) {
			t.Fatalf("%v: %v, %v", a, up, down)
		}
		for _, r := range steps.List {
			if above && r >= a && r < up || below && r <= a && r > down {
				t.Fatalf("%v: %v lies nearer than %v, %v", a, r, down, up)
			}
		}
	}
	if _, ok := steps.AtLeast(quantity.Current(nan)); ok {
		t.Error("a step above no number")
	}
	if _, ok := steps.AtMost(quantity.Current(nan)); ok {
		t.Error("a step below no number")
	}
}

func TestProtectionLimit(t *testing.T) {
	low := &ProtectionLimit{Ratio: 1.5, Below: 50}
	next := &ProtectionLimit{Ratio: 1, Next: 1.5, From: 50}
	for _, row := range []struct {
		name  string
		limit *ProtectionLimit
		basis float64
		want  quantity.Current
	}{
		{"150 %, between steps", low, 40, 50}, {"150 %, on a step", low, 100, 150}, {"150 % on a step that rounds below", low, 10.0 / 3 * 2 * 1.5, 15},
		{"150 %, below the first step", low, 6, 0}, {"next step within 150 %", next, 70, 100}, {"next step beyond 150 %", next, 30, 20},
		{"next step at 150 %", next, 100.0 / 1.5, 100}, {"own step", next, 50, 50}, {"below the first step, which is within", next, 7, 10},
		{"below the first step, which is beyond", next, 6, 0}, {"above the last step", next, 400, 150}, {"nothing", low, 0, 0},
		{"negative", low, -10, 0}, {"not a number", next, nan, 0}, {"infinite", next, inf, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if r, ok := row.limit.Largest(quantity.Current(row.basis), steps); r != row.want || ok != (row.want > 0) {
				t.Errorf("%v, %v, not %v", r, ok, row.want)
			}
		})
	}
	for volts, want := range map[float64][2]bool{12: {true, false}, 49.9: {true, false}, 50: {false, true}, 400: {false, true}} {
		if v := quantity.Voltage(volts); low.Applies(v) != want[0] || next.Applies(v) != want[1] {
			t.Errorf("%v V: %v, %v", volts, low.Applies(v), next.Applies(v))
		}
	}
	if low.Applies(quantity.Voltage(nan)) || next.Applies(quantity.Voltage(nan)) {
		t.Error("a limit applies to no voltage")
	}
}

func TestNeedAndGrounding(t *testing.T) {
	need := &RequiredInterrupt{Rows: []RequiredRow{{From: 12, To: 24, UpTo: 650, Main: 1500}, {From: 12, To: 24, Over: 650, Main: 3000}}}
	for _, row := range []struct{ volts, cca, main float64 }{{12, 650, 1500}, {24, 651, 3000}, {24, 1e6, 3000}, {12.8, 100, 1500}, {25.6, 100, 0}, {6, 100, 0}, {12, 0, 0}, {nan, 100, 0}, {12, nan, 0}} {
		if r, ok := need.Need(quantity.Voltage(row.volts), quantity.Current(row.cca)); float64(r.Main) != row.main || ok != (row.main > 0) {
			t.Errorf("%v V, %v A: %+v", row.volts, row.cca, r)
		}
	}
	ground := &GroundingTable{Rows: []GroundingRow{{15, quantity.AWG(14)}, {60, quantity.AWG(10)}}}
	for amps, want := range map[float64]quantity.Size{5: quantity.AWG(14), 15: quantity.AWG(14), 16: quantity.AWG(10), 60: quantity.AWG(10), 61: {}, 0: {}, -1: {}} {
		if s, ok := ground.For(quantity.Current(amps)); s != want || ok == want.IsZero() {
			t.Errorf("%v A: %v, %v", amps, s, ok)
		}
	}
	if _, ok := ground.For(quantity.Current(nan)); ok {
		t.Error("a conductor for no current")
	}
	if _, ok := (&Bonding{Under: -1}).For(quantity.AWG(2)); ok {
		t.Error("a bond of no size")
	}
}

func TestSameThread(t *testing.T) {
	for _, row := range []struct {
		row, asked string
		want       bool
	}{
		{"M8", "M8", true}, {"M8", "m8", true}, {"M8", "M8x1.25", true}, {"M8x1.25", "M8", true}, {"M8", "M8 × 1.25", true}, {"M8", "M8x1", false},
		{"M6x1", "M6", true}, {"M6", "M6x1.0", true}, {"M10", "M10x1.25", false}, {"M12", "M12x1.75", true}, {"M8", "M10", false}, {"M16", "M16", true},
		{"1/4", "1/4-20", true}, {"1/4", "1/4-28", true}, {"1/4-20", "1/4", false}, {"1/4-20", "1/4-20", true}, {"1/4-20", "1/4-28", false}, {"1/4", `1/4"-20`, true},
		{"10-24", "10-24", true}, {"10-24", "10-32", false}, {"5/16", "3/8-16", false}, {"", "", false}, {"", "M8", false}, {"M8", "", false}, {"", "-20", false},
	} {
		if got := SameThread(row.row, row.asked); got != row.want {
			t.Errorf("row %q, asked %q: %v", row.row, row.asked, got)
		}
	}
}

func TestTorqueRows(t *testing.T) {
	tt := &TorqueTable{
		Columns: []TorqueColumn{{ID: "one"}, {ID: "two"}},
		Rows: []TorqueRow{
			{Threads: []string{"1/4", "M6"}}, {Thin: quantity.AWG(18), Thick: quantity.AWG(10)}, {Thin: quantity.AWG(0), Thick: quantity.AWG(-1)},
			{Wire: "250-350 kcmil"}, {Socket: 0.25 * 0.0254},
		},
	}
	for thread, want := range map[string]*TorqueRow{"M6": &tt.Rows[0], "1/4-20": &tt.Rows[0], "M8": nil, "": nil} {
		if got := tt.ForThread(thread); got != want {
			t.Errorf("%q: %+v", thread, got)
		}
	}
	for size, want := range map[quantity.Size]*TorqueRow{
		quantity.AWG(18): &tt.Rows[1], quantity.AWG(13): &tt.Rows[1], quantity.AWG(10): &tt.Rows[1], quantity.AWG(8): nil, quantity.AWG(20): nil,
		quantity.AWG(0): &tt.Rows[2], quantity.AWG(-1): &tt.Rows[2], quantity.AWG(-2): nil, quantity.SquareMM(6): nil, {}: nil,
	} {
		if got := tt.ForWire(size); got != want {
			t.Errorf("%v: %+v", size, got)
		}
	}
	for mm, want := range map[float64]*TorqueRow{6.35: &tt.Rows[4], 6.39: &tt.Rows[4], 6: nil, 0: nil} {
		if got := tt.ForSocket(quantity.Length(mm / 1e3)); got != want {
			t.Errorf("%v mm: %+v", mm, got)
		}
	}
	if tt.ForSocket(quantity.Length(nan)) != nil || tt.Column("two") != 1 || tt.Column("three") != -1 || !(TorqueSpan{}).IsZero() || (TorqueSpan{1, 1}).IsZero() {
		t.Error("columns or cells")
	}
}

func TestBars(t *testing.T) {
	b := &Bars{Rows: []Bar{{Thickness: 3.175e-3, Width: 25.4e-3, SkinRatio: 1.0404, Amps: []quantity.Current{270, 360}}}}
	if got := b.Find(3.18e-3, 25.4e-3); got != &b.Rows[0] {
		t.Errorf("%+v", got)
	}
	if b.Find(3e-3, 25e-3) != nil || b.Find(quantity.Length(nan), 25.4e-3) != nil {
		t.Error("a bar near by")
	}
	// √1.0404 = 1.02.
	if a, ok := b.Rows[0].DC(1); !ok || math.Abs(float64(a)-360*1.02) > 1e-9 {
		t.Errorf("%v, %v", a, ok)
	}
	for _, column := range []int{-1, 2} {
		if _, ok := b.Rows[0].DC(column); ok {
			t.Errorf("column %d", column)
		}
	}
}

func TestFindSizes(t *testing.T) {
	tab := &Table{Rows: []SizeRow{{Size: quantity.AWG(2), Value: 1}, {Size: quantity.Size{}, Value: 2}}}
	wires := &Wires{Rows: []Wire{{Size: quantity.AWG(2)}, {}}}
	for size, want := range map[quantity.Size]bool{quantity.AWG(2): true, quantity.AWG(3): false, quantity.SquareMM(2): false, {}: false} {
		if _, ok := tab.Find(size); ok != want {
			t.Errorf("table, %v: %v", size, ok)
		}
		if _, ok := wires.Find(size); ok != want {
			t.Errorf("wires, %v: %v", size, ok)
		}
	}
	for g, want := range map[Regime]bool{Marine: true, Vehicle: true, General: true, Aircraft: true, "": false, "lunar": false} {
		if g.Known() != want {
			t.Errorf("%q: %v", g, g.Known())
		}
	}
	if !(Span{}).IsZero() || (Span{1, 2}).IsZero() || (Span{1, 2}).One() || !(Span{2, 2}).One() {
		t.Error("spans")
	}
}

// The law of IEC 60949: PVC from 70 to 160 °C gives k 115.00 with K 226 (worked
// by hand: 226·√ln(394.5/304.5)).
func TestAdiabaticFactor(t *testing.T) {
	a := Adiabatic{K: 226, Beta: 234.5}
	if k := a.Factor(celsius(70), celsius(160)); math.Abs(k-115.00) > 0.005 {
		t.Errorf("k %v", k)
	}
	if k := a.Factor(celsius(70), celsius(70)); k != 0 {
		t.Errorf("no rise, k %v", k)
	}
	for _, ends := range [][2]float64{{160, 70}, {nan, 160}, {70, nan}, {-240, 160}} {
		if k := a.Factor(celsius(ends[0]), celsius(ends[1])); !math.IsNaN(k) {
			t.Errorf("%v: k %v", ends, k)
		}
	}
	if r := (StudTest{Current: 25, Drop: 7.5e-3}).Resistance(); math.Abs(float64(r)-0.3e-3) > 1e-15 { // MIL-DTL-83454A Table VIII: 0.30 mΩ
		t.Errorf("%v Ω", r)
	}
}
