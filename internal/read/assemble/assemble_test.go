package assemble

import (
	"errors"
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"

	"github.com/google/go-cmp/cmp"
)

// read assembles a job that must be good.
func read(t *testing.T, src string) *bank.Bank {
	t.Helper()
	b, doc, err := Read("job.yaml", []byte(src), catalog.Default())
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	if b == nil || doc == nil {
		t.Fatal("neither bank nor error")
	}
	return b
}

// one is a job of one battery with these keys in its type and in itself.
func one(typeKeys, batteryKeys string) string {
	comma := func(s string) string {
		if s == "" {
			return ""
		}
		return ", " + s
	}
	return "bankwright: 1\nbattery_types: {b: {" + typeKeys + "}}\nbatteries: [{id: B1, type: b" + comma(batteryKeys) + "}]\ntakeoff: {positive: B1+, negative: B1-}\n"
}

const (
	given    = source.Given
	assumed  = source.Assumed
	lookedUp = source.LookedUp
	computed = source.Computed
)

// same reports whether a value is the one wanted, to the rounding of a few
// floating-point steps.
func same[Q ~float64](got source.Value[Q], want float64, origin source.Origin) bool {
	return math.Abs(float64(got.V)-want) <= 1e-12*math.Abs(want) && got.Origin == origin && (origin == given || got.Ref.Check() == nil)
}

const lfp = "chemistry: lfp, nominal: 12.8 V, capacity: 150 Ah"

func TestBatteryResistance(t *testing.T) {
	for _, tc := range []struct {
		name, kind, own string
		want            float64
		origin          source.Origin
	}{
		{"of the type", lfp + ", resistance: 4 mΩ", "", 4e-3, given},
		{"its own", lfp + ", resistance: 4 mΩ", "resistance: 4.3 mΩ", 4.3e-3, given},
		{"its own only", lfp, "resistance: 4.3 mΩ", 4.3e-3, given},
		// data/chemistries.yaml: 500 mΩ·Ah at 12.8 V; over 150 Ah.
		{"lfp", lfp, "", 0.5 / 150, assumed},
		{"lfp with its own capacity", lfp, "capacity: 125 Ah", 0.5 / 125, assumed},
		{"lfp of twice the voltage", "chemistry: lfp, nominal: 25.6 V, capacity: 100 Ah", "", 2 * 0.5 / 100, assumed},
		{"agm", "chemistry: agm, nominal: 12 V, capacity: 100 Ah", "", 3.1e-3, assumed},
		{"gel", "chemistry: gel, nominal: 12 V, capacity: 50 Ah", "", 6.2e-3, assumed},
		// 750 mΩ·Ah at 12 V; half the voltage, over 225 Ah.
		{"flooded of half the voltage", "chemistry: flooded, nominal: 6 V, capacity: 225 Ah", "", 0.75 / 225 / 2, assumed},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := read(t, one(tc.kind, tc.own)).Batteries[0].Resistance; !same(got, tc.want, tc.origin) {
				t.Errorf("%+v, not %g %s", got, tc.want, tc.origin)
			}
		})
	}
}

func TestBatteryEMF(t *testing.T) {
	const curve = ", curve: [[0 %, 11.8 V], [50 %, 13.2 V], [100 %, 13.6 V]]"
	for _, tc := range []struct {
		name, kind, own string
		want            float64
		origin          source.Origin
		note            string
	}{
		{"of the type", lfp + ", emf: 13.2 V", "", 13.2, given, ""},
		{"its own", lfp + ", emf: 13.2 V", "emf: 13.18 V", 13.18, given, ""},
		{"its own over a curve", lfp + curve, "emf: 13.18 V, start: 50 %", 13.18, given, ""},
		{"of the type over a curve", lfp + curve + ", emf: 13.1 V", "start: 50 %", 13.1, given, ""},
		{"curve at a point", lfp + curve, "start: 50 %", 13.2, given, "from the job's curve"},
		{"curve between points", lfp + curve, "start: 75 %", 13.4, given, "from the job's curve"},
		{"curve at its beginning", lfp + curve, "start: 0 %", 11.8, given, "from the job's curve"},
		{"curve at a charge nobody gave", lfp + curve, "", 13.6, assumed, "at the state of charge, which is assumed"},
		// data/chemistries.yaml, one cell of lfp at 50 %: 3.3052 V; 12.8 V over 3.2 V are 4 cells.
		{"lfp", lfp, "start: 50 %", 4 * 3.3052, assumed, "4 cells"},
		{"lfp, full where nobody says", lfp, "", 4 * 3.38, assumed, "at 100 %, 4 cells"},
		{"lfp between points", lfp, "start: 62.5 %", 4 * (3.3149 + 3.3214) / 2, assumed, "4 cells"},
		{"lfp of 8 cells", "chemistry: lfp, nominal: 25.6 V, capacity: 100 Ah", "start: 50 %", 8 * 3.3052, assumed, "8 cells"},
		{"lfp called 12 V", "chemistry: lfp, nominal: 12 V, capacity: 100 Ah", "start: 50 %", 4 * 3.3052, assumed, "4 cells"},
		{"one cell", "chemistry: lfp, nominal: 3.2 V, capacity: 100 Ah", "start: 50 %", 3.3052, assumed, "1 cells"},
		{"agm", "chemistry: agm, nominal: 12 V, capacity: 100 Ah", "start: 50 %", 6 * 2.0458, assumed, "6 cells"},
		{"gel of 6 V", "chemistry: gel, nominal: 6 V, capacity: 100 Ah", "start: 25 %", 3 * 2, assumed, "3 cells"},
		{"flooded", "chemistry: flooded, nominal: 12 V, capacity: 100 Ah", "", 6 * 2.10833, assumed, "6 cells"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := read(t, one(tc.kind, tc.own)).Batteries[0].EMF
			if math.Abs(float64(got.V)-tc.want) > 1e-9 || got.Origin != tc.origin || !strings.Contains(got.Note, tc.note) {
				t.Errorf("%+v, not %g %s %q", got, tc.want, tc.origin, tc.note)
			}
		})
	}
	// The maker's guide that the flooded row is read from says 12.65 V rested
	// at 100 %; a sixth of it stands in the file to five decimals.
	full := read(t, one("chemistry: flooded, nominal: 12 V, capacity: 100 Ah", "start: 100 %")).Batteries[0].EMF.V
	if math.Abs(float64(full)-12.65) > 6*0.000005 {
		t.Errorf("flooded, full: %v V, not 12.65", full)
	}
}

func TestBatteryRest(t *testing.T) {
	const placed = lfp + ", size: {length: 13 in, width: 6.8 in, height: 8.5 in}, mass: 34 lb, stud: M8, posts: {positive: [1.2 in, 1 in], negative: [11.8 in, 1 in]}, limits: {discharge: 150 A, charge: 75 A, trip: 300 A, floor: 10 %, series: 4, parallel: 3}"
	b := read(t, one(placed, "at: [2 in, 11 in, 1 in], turn: 180, start: 90 %, off: true")).Batteries[0]
	want := bank.Limits{Discharge: 150, Charge: 75, Trip: 300, Floor: 0.1, Series: 4, Parallel: 3}
	if b.ID != "B1" || b.Type != "b" || b.Chemistry != bank.LFP || b.Nominal != 12.8 || !b.Off || b.Stud != "M8" || b.Limits != want {
		t.Errorf("%+v", b)
	}
	if !same(b.Start, 0.9, given) || !same(b.Capacity, 150*3600, given) || math.Abs(float64(b.Mass)-34*0.45359237) > 1e-12 {
		t.Errorf("start %+v, capacity %+v, mass %v", b.Start, b.Capacity, b.Mass)
	}
	// Turned by 180 a post (u, v) of a case L × W comes to (L−u, W−v):
	// (13−1.2, 6.8−1) in from the corner at (2, 11, 1) in, on top at 8.5 in.
	got, ok := b.Post(true)
	for i, d := range []float64{got.X - 13.8*0.0254, got.Y - 16.8*0.0254, got.Z - 9.5*0.0254} {
		if !ok || math.Abs(d) > 1e-12 {
			t.Errorf("positive post at %+v, off by %g along %d", got, d, i)
		}
	}
	bare := read(t, one(lfp, "")).Batteries[0]
	if bare.Placed || bare.HasPosts || bare.Off || !same(bare.Start, 1, assumed) || bare.Limits != (bank.Limits{}) {
		t.Errorf("%+v", bare)
	}
	if half := read(t, one(lfp, "at: [0 m, 0 m, 0 m]")).Batteries[0]; half.Placed {
		t.Error("placed without a size")
	}
}

func TestInterpolate(t *testing.T) {
	curve := []bank.CurvePoint{{Charge: 0, Voltage: 10}, {Charge: 0.5, Voltage: 12}, {Charge: 1, Voltage: 13}}
	for at, want := range map[quantity.Ratio]quantity.Voltage{-1: 10, 0: 10, 0.25: 11, 0.5: 12, 0.75: 12.5, 1: 13, 2: 13} {
		if got := Interpolate(curve, at); got != want {
			t.Errorf("at %v: %v, not %v", at, got, want)
		}
	}
}

// two is a job of two batteries with these lines at its end.
func two(lines string) string {
	return "bankwright: 1\nbattery_types: {b: {" + lfp + "}}\nbatteries: [{id: B1, type: b}, {id: B2, type: b}]\ntakeoff: {positive: B1+, negative: B2-}\n" + lines
}

func TestJoints(t *testing.T) {
	for _, tc := range []struct {
		name, job, cable string
		from, to         float64
		origins          [2]source.Origin
	}{
		{"nobody says", "", "", 0.05e-3, 0.05e-3, [2]source.Origin{assumed, assumed}},
		{"job", "joint: 0.04 mΩ\n", "", 0.04e-3, 0.04e-3, [2]source.Origin{given, given}},
		{"cable", "joint: 0.04 mΩ\n", ", joint: 0.1 mΩ", 0.1e-3, 0.1e-3, [2]source.Origin{given, given}},
		{"one end", "", ", joint: {to: 0.3 mΩ}", 0.05e-3, 0.3e-3, [2]source.Origin{assumed, given}},
		{"one end, the other from the job", "joint: 0.04 mΩ\n", ", joint: {from: 0.3 mΩ}", 0.3e-3, 0.04e-3, [2]source.Origin{given, given}},
		{"each end", "", ", joint: {from: 0 mΩ, to: 0.3 mΩ}", 0, 0.3e-3, [2]source.Origin{given, given}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := read(t, two(tc.job+"cables: [{id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 1 m"+tc.cable+"}]\n"))
			j := b.Cables[0].Joints
			if !same(j[0], tc.from, tc.origins[0]) || !same(j[1], tc.to, tc.origins[1]) {
				t.Errorf("%+v", j)
			}
			want := map[string]float64{"": 0.05e-3, "joint: 0.04 mΩ\n": 0.04e-3}[tc.job]
			if q := b.Question.Joint; math.Abs(float64(q.V)-want) > 1e-15 {
				t.Errorf("the search takes %v, not %g", q.V, want)
			}
		})
	}
}

func TestCables(t *testing.T) {
	b := read(t, two("runs: [{id: rail, path: [[0 m, 0 m, 1 m], [1 m, 0 m, 1 m]]}]\ncables: [{id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 11 in}, {id: W2, from: B1-, to: B2-, size: 70 mm2, along: [rail]}, {id: W3, from: B1-, to: B2-, resistance: 0.35 mohm}]\n"))
	w := b.Cables
	// 0.2557 mΩ/m times 1.02; 0.272 Ω/km. ASTM B258 gauge rule; IEC 60228 class 5.
	if !same(w[0].PerLength, 0.2557e-3*1.02, lookedUp) || !same(w[1].PerLength, 0.272e-3, lookedUp) || w[2].PerLength.Known() {
		t.Errorf("per length: %+v, %+v, %+v", w[0].PerLength, w[1].PerLength, w[2].PerLength)
	}
	if !same(w[0].Length, 0.2794, given) || w[1].Length.Known() || !same(w[2].Whole, 0.35e-3, given) || w[0].Whole.Known() || !same(w[0].Coefficient, 0.00393, lookedUp) {
		t.Errorf("%+v", w)
	}
	if diff := cmp.Diff([]string{"rail"}, w[1].Along); diff != "" || w[0].Along != nil || w[0].From != b.Batteries[0].Plus() || w[0].To != b.Batteries[1].Plus() {
		t.Errorf("%s%+v", diff, w)
	}
	// 0.2794 m of it and two joints, at 20 °C and at 45 °C.
	for t20, want := range map[quantity.Temperature]float64{293.15: 0.2557e-3*1.02*0.2794 + 0.1e-3, 318.15: 0.2557e-3*1.02*0.2794*(1+0.00393*25) + 0.1e-3} {
		if got := w[0].Resistance(t20); math.Abs(float64(got)-want) > 1e-15 {
			t.Errorf("at %v K: %v, not %g", t20, got, want)
		}
	}
	if len(b.Runs) != 1 || b.Runs[0].Path[1] != (bank.Point{X: 1, Z: 1}) {
		t.Errorf("%+v", b.Runs)
	}
}

func TestUnknownSizes(t *testing.T) {
	src := two("cables: [{id: W1, from: B1+, to: B2+, size: 13 mm2, length: 1 m}, {id: W2, from: B1-, to: B2-, size: 20 AWG, colour: red}]\nwirings: {cable: {positive: 13 mm2, negative: 2 AWG}}\n")
	_, _, err := Read("job.yaml", []byte(src), catalog.Default())
	var faults *job.Faults
	if !errors.As(err, &faults) || len(faults.List) != 4 {
		t.Fatalf("%v", err)
	}
	for i, want := range []struct {
		pos   job.Pos
		words string
	}{
		{job.Pos{Line: 5, Column: 45}, "the catalogue has no conductor 13 mm²; it has 0.5 mm2"},
		{job.Pos{Line: 5, Column: 102}, "the catalogue has no conductor 20 AWG; it has 4/0 AWG"},
		{job.Pos{Line: 5, Column: 110}, `a cable has no key "colour"`}, // told with the others, in its place
		{job.Pos{Line: 6, Column: 29}, "the catalogue has no conductor 13 mm²"},
	} {
		if f := faults.List[i]; f.Pos != want.pos || !strings.Contains(f.Message, want.words) {
			t.Errorf("%v, not %v %q", f, want.pos, want.words)
		}
	}
}

func TestQuestionSizes(t *testing.T) {
	const (
		a = "{id: W1, from: B1+, to: B2+, size: 35 mm2, length: 1 m}"
		c = "{id: W2, from: B1-, to: B2-, size: 2 AWG, length: 1 m}"
		d = "{id: W3, from: B2-, to: S1, size: 70 mm2, length: 1 m}"
		e = "{id: W4, from: S1, to: S2, size: 4 AWG, length: 1 m}"
		f = "{id: W5, from: B1-, to: B2+, size: 1/0 AWG, length: 1 m}" // in series: on no rail
		g = "{id: W6, from: B1-, to: S2, size: 70 mm2, length: 1 m}"
		h = "{id: W7, from: B2-, to: S1, size: 2 AWG, length: 1 m}"
	)
	size := quantity.SquareMM
	for _, tc := range []struct {
		name, cables, wirings string
		want                  [2]quantity.Size
		origin                source.Origin
	}{
		{"given", a + "," + c, "wirings: {cable: {positive: 2/0 AWG, negative: 50 mm2}}\n", [2]quantity.Size{quantity.AWG(-1), size(50)}, given},
		{"each rail's own", a + "," + c, "", [2]quantity.Size{size(35), quantity.AWG(2)}, assumed},
		{"the first of equals", a + "," + c + "," + d, "", [2]quantity.Size{size(35), quantity.AWG(2)}, assumed},
		{"the most", a + "," + c + "," + d + "," + g, "", [2]quantity.Size{size(35), size(70)}, assumed},
		{"any cable's where the rail has none", a, "", [2]quantity.Size{size(35), size(35)}, assumed},
		{"series cables count last", f + "," + h, "", [2]quantity.Size{quantity.AWG(0), quantity.AWG(2)}, assumed},
		{"between studs", e, "", [2]quantity.Size{quantity.AWG(4), quantity.AWG(4)}, assumed},
		{"none", "", "", [2]quantity.Size{}, assumed},
		{"only resistances", "{id: W1, from: B1+, to: B2+, resistance: 1 mΩ}", "", [2]quantity.Size{}, assumed},
	} {
		t.Run(tc.name, func(t *testing.T) {
			q := read(t, two("parts: [{id: S1, kind: stud}, {id: S2, kind: stud}]\ncables: ["+tc.cables+"]\n"+tc.wirings)).Question
			if q.Positive != tc.want[0] || q.Negative != tc.want[1] || q.SizeOrigin != [2]source.Origin{tc.origin, tc.origin} {
				t.Errorf("%v and %v %v, not %v %s", q.Positive, q.Negative, q.SizeOrigin, tc.want, tc.origin)
			}
			for n, s := range tc.want {
				if q.PerLength[n].Known() == s.IsZero() {
					t.Errorf("per length of %v: %+v", s, q.PerLength[n])
				}
			}
		})
	}
}

func TestQuestionRest(t *testing.T) {
	q := read(t, two("runs: [{id: rail, path: [[0 m, 0 m, 1 m]]}]\nwirings: {lugs: 3, takeoff: any, pairs: [{from: B1+, to: B2+, length: 28 in}, {from: B1-, to: B2-, along: [rail]}]}\n")).Question
	if q.Lugs != 3 || !q.AnyPost || len(q.Pairs) != 2 || !same(q.Pairs[0].Length, 28*0.0254, given) || q.Pairs[1].Length.Known() || q.Pairs[1].Along[0] != "rail" || !same(q.Coefficient, 0.00393, lookedUp) {
		t.Errorf("%+v", q)
	}
	if q := read(t, two("")).Question; q.Lugs != 0 || q.AnyPost || q.Pairs != nil {
		t.Errorf("%+v", q)
	}
}

func TestParts(t *testing.T) {
	b := read(t, two(`parts:
  - {id: S1, kind: stud, at: [-8 in, 12 in, 6 in]}
  - {id: N1, kind: bar, studs: 4, section: [25 mm, 6 mm], pitch: 40 mm}
  - {id: N2, kind: bar, studs: 4, section: [25 mm, 6 mm], pitch: 40 mm, resistance: 20 µΩ}
  - {id: F1, kind: fuse, resistance: 0.2 mΩ, at: [0 m, 0 m, 0 m]}
  - {id: Q1, kind: switch, resistance: 0.1 mΩ, open: true, at: [0 m, 1 m, 0 m], size: {length: 8 cm, width: 4 cm, height: 4 cm}, turn: 90}
`))
	p := b.Parts
	// Copper of 17.241 nΩ·m, 3 × 40 mm long, 150 mm² thick: 13.7928 µΩ.
	if !same(p[1].Resistance, 17.241e-9*0.12/150e-6, computed) || p[1].Studs != 4 || p[1].Pitch != 0.04 || p[1].Placed {
		t.Errorf("%+v", p[1])
	}
	if !same(p[2].Resistance, 20e-6, given) || !same(p[3].Resistance, 0.2e-3, given) || p[0].Resistance.Known() {
		t.Errorf("%+v", p)
	}
	if !p[0].Placed || p[3].Placed || !p[4].Placed || !p[4].Open || p[3].Open || p[4].Body.Turn != 90 {
		t.Errorf("placed: %v %v %v", p[0].Placed, p[3].Placed, p[4].Placed)
	}
}

func TestRouting(t *testing.T) {
	r := read(t, two("")).Routing
	if !same(r.Rise, 0.03, assumed) || !same(r.Clearance, 0.005, assumed) || !same(r.Allowance, 0.01, assumed) || !same(r.Bend, 4, assumed) {
		t.Errorf("%+v", r)
	}
	r = read(t, two("routing: {rise: 1.5 in, clearance: 1/2 in, allowance: 0 mm, bend: 6}\n")).Routing
	if !same(r.Rise, 0.0381, given) || !same(r.Clearance, 0.0127, given) || !same(r.Allowance, 0, given) || !same(r.Bend, 6, given) {
		t.Errorf("%+v", r)
	}
}

func TestCases(t *testing.T) {
	b := read(t, two("cases: [{id: a, draw: 100 A, for: 3 h}, {id: b, charge: 60 A, cable_temperature: 113 °F}, {id: c, draw: 1.8 kW}, {id: d, charge: 300 W}, {id: e, draw: 0 A}]\n"))
	for i, want := range []bank.Case{
		{ID: "a", Current: 100, For: 10800},
		{ID: "b", Current: -60},
		{ID: "c", Power: 1800, ByPower: true},
		{ID: "d", Power: -300, ByPower: true},
		{ID: "e"},
	} {
		got := b.Cases[i]
		if got.ID != want.ID || math.Abs(float64(got.Current-want.Current)) > 1e-12 || math.Abs(float64(got.Power-want.Power)) > 1e-9 || got.ByPower != want.ByPower || got.For != want.For || got.Origin != given {
			t.Errorf("%+v, not %+v", got, want)
		}
		temperature, origin := 293.15, assumed // 20 °C where nobody says
		if got.ID == "b" {
			temperature, origin = 318.15, given // 113 °F is 45 °C
		}
		if !same(got.CableTemperature, temperature, origin) {
			t.Errorf("%s: cables at %+v", got.ID, got.CableTemperature)
		}
	}
	if c := Rest(catalog.Default()); c.Current != 0 || c.ByPower || c.Origin != assumed || !same(c.CableTemperature, 293.15, assumed) {
		t.Errorf("%+v", c)
	}
	// 0.2 of 300 Ah an hour.
	if c := SearchCase(catalog.Default(), 300*3600); math.Abs(float64(c.Current)-60) > 1e-12 || c.Origin != assumed || c.ByPower {
		t.Errorf("%+v", c)
	}
}

func TestPlacesReadingsAndTitle(t *testing.T) {
	b := read(t, `bankwright: 1
battery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 150 Ah}}
batteries: [{id: B1, type: b}, {id: B2, type: b}]
takeoff: {positive: B1+, negative: B2-}
show: {length: in, wire: AWG, temperature: °F}
compartments: [{id: bay, at: [1 m, 0 m, 0 m], size: {length: 2 m, width: 1 m, height: 0.5 m}}, {id: aft, at: [3.01 m, 0 m, 0 m], size: {length: 1 m, width: 1 m, height: 1 m}}]
passages: [{id: G1, at: [3.005 m, 0.5 m, 0.4 m], diameter: 40 mm}]
cables: [{id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 1 m}]
cases: [{id: a, draw: 100 A}]
readings: [{id: R1, case: a, current: {B1: 31.2 A, W1: -24 A}, drop: {W1: 24 mV, W1@B2+: 6 mV}, voltage: {B1: 13.02 V, takeoff: 12.95 V}}]
`)
	if b.Title != "untitled" || b.Show != (quantity.Show{Length: "in", Wire: "AWG", Temperature: "°F"}) {
		t.Errorf("%q, %+v", b.Title, b.Show)
	}
	if b.Compartments[0] != (bank.Compartment{ID: "bay", Box: bank.Box{Min: bank.Point{X: 1}, Max: bank.Point{X: 3, Y: 1, Z: 0.5}}}) || b.Passages[0] != (bank.Passage{ID: "G1", At: bank.Point{X: 3.005, Y: 0.5, Z: 0.4}, Diameter: 0.04}) {
		t.Errorf("%+v, %+v", b.Compartments, b.Passages)
	}
	want := []bank.Reading{{ID: "R1", Case: "a",
		Current: map[string]quantity.Current{"B1": 31.2, "W1": -24},
		Drop:    map[string]quantity.Voltage{"W1": 0.024, "W1@B2+": 0.006},
		Voltage: map[string]quantity.Voltage{"B1": 13.02, "takeoff": 12.95}}}
	if diff := cmp.Diff(want, b.Readings); diff != "" {
		t.Error(diff)
	}
}

// A class that the catalogue has not is an error at its place that lists those
// there are; one that it has is none.
func TestUnknownClass(t *testing.T) {
	const text = "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: [{id: B1, type: b}]\nparts:\n  - {id: F1, kind: fuse, class: CLASS, rating: 100 A, resistance: 0.1 mΩ}\ntakeoff: {positive: B1+, negative: B1-}\n"
	_, _, err := Read("job.yaml", []byte(strings.Replace(text, "CLASS", "cotton", 1)), catalog.Default())
	if err == nil || !strings.Contains(err.Error(), "job.yaml:5:") || !strings.Contains(err.Error(), "cotton is no class") || !strings.Contains(err.Error(), "class_t") {
		t.Errorf("%v", err)
	}
	if _, _, err := Read("job.yaml", []byte(strings.Replace(text, "CLASS", "class_t", 1)), catalog.Default()); err != nil {
		t.Error(err)
	}
}
