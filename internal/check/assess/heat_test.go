package assess

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/series"
)

// warmText is two batteries in a box: the left one at an outer wall, the right
// one at a warm cabin. Every text in it is there for a row to replace.
const warmText = `bankwright: 1
title: box
place: {latitude: 50 °, longitude: 15 °, zone: 1 h, climate: duluth, cabin: 5 °C}
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, size: {length: 330 mm, width: 170 mm, height: 215 mm}, mass: 11 kg, limits: {cold_charge: 0 °C, hot_charge: 50 °C}}
batteries:
  - {id: B1, type: block, at: [10 mm, 20 mm, 0 mm], turn: 90}
  - {id: B2, type: block, at: [260 mm, 20 mm, 0 mm], turn: 90}
compartments:
  - id: bay
    at: [0 mm, 0 mm, 0 mm]
    size: {length: 440 mm, width: 370 mm, height: 300 mm}
    walls:
      right: {layers: [[plywood, 6 mm]], outside: cabin}
      all: {layers: [[plywood, 12 mm], [xps, 30 mm]], surface: white}
cables:
  - {id: W1, from: B1+, to: B2+, size: 35 mm2, length: 220 mm}
  - {id: W2, from: B1-, to: B2-, size: 35 mm2, length: 220 mm}
takeoff: {positive: B1+, negative: B2-}
cases: [{id: evening, draw: 20 A, for: 4 h}]
`

func mustHeat(t *testing.T, text string, o HeatOptions) *report.Heat {
	t.Helper()
	h, err := mustLoad(t, text).Heat(o)
	if err != nil {
		t.Fatal(err)
	}
	if h.Missing != "" {
		t.Fatal(h.Missing)
	}
	return h
}

func mustWarm(t *testing.T, text string) *warm {
	t.Helper()
	w, missing := newWarm(mustLoad(t, text))
	if missing != nil {
		t.Fatal(missing)
	}
	return w
}

// g sums what a network passes between two nodes.
func (w *warm) g(a, b string) float64 {
	sum := 0.0
	for _, l := range w.net.Links {
		if w.names[l.A] == a && w.names[l.B] == b || w.names[l.A] == b && w.names[l.B] == a {
			sum += l.G
		}
	}
	return sum
}

// TestPaths: what passes between two nodes, worked out by hand from the layout.
func TestPaths(t *testing.T) {
	touch := replaced(t, warmText, "at: [260 mm, 20 mm, 0 mm]", "at: [180 mm, 20 mm, 0 mm]")
	for _, row := range []struct {
		name, text, a, b string
		want             float64 // W/K
	}{
		// 330 × 215 mm that touch: 0.07095 m² over 0.015 m²K/W.
		{"touching", touch, "case of B1", "case of B2", 0.07095 / 0.015},
		// 80 mm apart they warm the air only.
		{"apart", warmText, "case of B1", "case of B2", 0},
		// 10 mm apart: 0.15 m²K/W (ISO 6946, from memory).
		{"10 mm", replaced(t, warmText, "at: [260 mm, 20 mm, 0 mm]", "at: [190 mm, 20 mm, 0 mm]"), "case of B1", "case of B2", 0.07095 / 0.15},
		// Half of the face: the neighbour is 165 mm further back, in a deeper box.
		{"half a face", replaced(t, replaced(t, touch, "at: [180 mm, 20 mm, 0 mm]", "at: [180 mm, 185 mm, 0 mm]"), "width: 370 mm", "width: 600 mm"), "case of B1", "case of B2", 0.07095 / 2 / 0.015},
		// The underside on the floor: 12 mm of plywood and 30 mm of foam; half of
		// the stored heat lies within the plywood: 19.2 kJ/m²·12 of 9.6 + 1.3.
		{"floor", warmText, "case of B1", "floor of bay", 0.33 * 0.17 / (0.015 + 10905/2.0/9600*0.012/0.13)},
		// 2·A·3k/(half the thickness): 2·0.07095·3/0.085.
		{"core", warmText, "B1", "case of B1", 2 * 0.07095 * 3 / 0.085},
		// Free to the air: the top 0.0561, the face towards the other 0.07095; the
		// other three lie within 50 mm of a wall, the ends 20 mm from front and back.
		{"air", warmText, "case of B1", "air of bay", (0.0561 + 0.07095) / 0.13},
	} {
		t.Run(row.name, func(t *testing.T) {
			near(t, row.a+" to "+row.b, mustWarm(t, row.text).g(row.a, row.b), row.want, 1e-6*(1+row.want))
		})
	}
}

// TestSteadyIsConserved: what is put in leaves through the places, and one body
// of the same loss keeps the batteries' mean.
func TestSteadyIsConserved(t *testing.T) {
	w := mustWarm(t, warmText)
	m, err := w.net.Modes()
	if err != nil {
		t.Fatal(err)
	}
	places, heat := make([]float64, len(w.places)), make([]float64, len(w.names))
	for i := range places {
		places[i] = 260 + float64(i)
	}
	heat[w.core[0]], heat[w.core[1]], heat[w.air["bay"]] = 3, 5, 2
	at, err := m.Steady(places, heat)
	if err != nil {
		t.Fatal(err)
	}
	out := 0.0
	for _, tie := range w.net.Ties {
		out += tie.G * (at[tie.Node] - places[tie.Place])
	}
	near(t, "what leaves", out, 10, 1e-8)
	l, err := w.lump()
	if err != nil {
		t.Fatal(err)
	}
	if !(l.Capacity > 2*11*1050 && l.Capacity < 1.6*2*11*1050) {
		t.Errorf("capacity %g J/K for two batteries of 11.55 kJ/K in a light box", l.Capacity)
	}
}

// TestNgspice: the network as a circuit, a kelvin a volt, a watt an ampere, in
// a solver of others: six hours from a warm start with heat within. ngspice
// keeps 1e-3 relative; the temperatures span 40 K.
func TestNgspice(t *testing.T) {
	path, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed")
	}
	w := mustWarm(t, warmText)
	places, heat, start := make([]float64, len(w.places)), make([]float64, len(w.names)), make([]float64, len(w.names))
	for i := range places {
		places[i] = -20 + 4*float64(i)
	}
	for i := range start {
		start[i], heat[i] = 15, float64(i%3)
	}
	var b strings.Builder
	b.WriteString("thermal network\n")
	for i, c := range w.net.Capacity {
		fmt.Fprintf(&b, "C%d n%d 0 %.9g IC=%g\nI%d 0 n%d DC %g\n", i, i, c, start[i], i, i, heat[i])
	}
	for i, v := range places {
		fmt.Fprintf(&b, "V%d p%d 0 DC %g\n", i, i, v)
	}
	for i, l := range w.net.Links {
		fmt.Fprintf(&b, "RL%d n%d n%d %.9g\n", i, l.A, l.B, 1/math.Max(l.G, 1e-12))
	}
	for i, tie := range w.net.Ties {
		fmt.Fprintf(&b, "RT%d n%d p%d %.9g\n", i, tie.Node, tie.Place, 1/tie.G)
	}
	b.WriteString(".options reltol=1e-5\n.control\ntran 10 21600 0 10 uic\nset numdgt=9\n")
	for i := range w.names {
		fmt.Fprintf(&b, "print v(n%d)[length(v(n%d))-1]\n", i, i)
	}
	b.WriteString("quit\n.endc\n.end\n")
	file := filepath.Join(t.TempDir(), "net.cir")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(path, "-b", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var got []float64
	for _, line := range strings.Split(string(out), "\n") {
		if _, v, ok := strings.Cut(line, "] = "); ok && strings.HasPrefix(line, "v(n") {
			x, err := strconv.ParseFloat(strings.TrimSpace(v), 64)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, x)
		}
	}
	m, err := w.net.Modes()
	if err != nil {
		t.Fatal(err)
	}
	want, err := m.Step(21600, start, places, heat)
	if err != nil {
		t.Fatal(err)
	}
	nearAll(t, "node", got, want, 0.01)
}

// TestColdestMoves: the battery at the outer wall is the coldest and the sensor
// belongs there; standing the other way round it is the other; a heater on one
// battery makes its neighbour the coldest.
func TestColdestMoves(t *testing.T) {
	const still = "cases: [{id: evening"
	heater := func(at string) string {
		return replaced(t, warmText, still, "heaters: [{id: T1, at: "+at+", power: 6 W, on: 2 °C, off: 5 °C}]\n"+still)
	}
	swapped := replaced(t, replaced(t, replaced(t, warmText, "id: B1, type", "id: BX, type"), "id: B2, type", "id: B1, type"), "id: BX, type", "id: B2, type")
	for _, row := range []struct{ name, text, coldest, sensor string }{
		{"as it stands", warmText, "B1", "B1"},
		{"swapped", swapped, "B2", "B2"},
		{"a heater on the left one", heater("B1"), "B2", "B2"},
		{"a heater on the right one", heater("B2"), "B1", "B1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			h := mustHeat(t, row.text, HeatOptions{})
			if c := coldestOf(h); c.ID != row.coldest {
				t.Errorf("the coldest is %s, not %s: %+v", c.ID, row.coldest, h.Batteries)
			}
			if h.BestSensor < 0 || h.Sensors[h.BestSensor].At != row.sensor {
				t.Errorf("the sensor belongs elsewhere than %s: %d, %+v", row.sensor, h.BestSensor, h.Sensors)
			}
		})
	}
}

// TestSensorSetting: at the setting told for a case no hour of the week has a
// reading above it while a battery is below its limit, and one has just that.
func TestSensorSetting(t *testing.T) {
	h := mustHeat(t, warmText, HeatOptions{})
	for n, s := range h.Cold.Shells {
		most := math.Inf(-1)
		for k := range s.Values {
			if math.Min(h.Cold.Cores[0].Values[k], h.Cold.Cores[1].Values[k]) < 273.15 {
				most = math.Max(most, s.Values[k])
			}
		}
		for _, p := range h.Sensors {
			if p.At == h.Cold.Shells[n].ID {
				near(t, p.At, p.Setting, math.Max(most, 273.15), 1e-9)
			}
		}
	}
}

// TestHoldHolds: the watts that hold a target do so exactly at rest, and the
// colder battery is the one that is just there.
func TestHoldHolds(t *testing.T) {
	text := replaced(t, warmText, "cases: [{id: evening", "heaters: [{id: T1, at: floor, power: 30 W, on: 3 °C, off: 6 °C, sensor: B1}]\ncases: [{id: evening")
	j := mustLoad(t, text)
	w, _ := newWarm(j)
	x, err := j.Weather(nil)
	if err != nil {
		t.Fatal(err)
	}
	k := &warmJob{warm: w, x: x, out: &report.Heat{}}
	if k.p, err = w.pattern(""); err != nil {
		t.Fatal(err)
	}
	if err := k.runs(false); err != nil {
		t.Fatal(err)
	}
	k.setLimits()
	share, err := w.share(bank.AtFloor, "bay")
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, v := range share {
		sum += v
	}
	near(t, "the parts of the mat's warmth", sum, 1, 1e-12)
	from, _ := k.coldDay()
	watts, err := k.hold(share, from, 276.15)
	if err != nil {
		t.Fatal(err)
	}
	m, err := w.net.Modes()
	if err != nil {
		t.Fatal(err)
	}
	heat := make([]float64, len(k.names)) // nothing runs
	for node, v := range share {
		heat[node] += v * watts
	}
	at, err := m.Steady(k.still(from), heat)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "the colder battery", math.Min(at[w.core[0]], at[w.core[1]]), 276.15, 1e-8)
}

// TestFreezeByLump: the first battery is at its limit about when one body of all
// would be; a third to either side is what a gradient in the box may do.
func TestFreezeByLump(t *testing.T) {
	for _, text := range []string{warmText, replaced(t, warmText, "[xps, 30 mm]", "[xps, 80 mm]"), example(t, "ridge-hut.yaml")} {
		h := mustHeat(t, text, HeatOptions{})
		if f := h.Freeze; f == nil || !(f.Seconds > 0.67*f.Lump && f.Seconds < 1.33*f.Lump) {
			t.Errorf("%+v", f)
		}
	}
}

// TestLimits: hours waited are none with the limit under the coldest, some just
// over it, and all above everything.
func TestLimits(t *testing.T) {
	coldest := coldestOf(mustHeat(t, warmText, HeatOptions{})).Coldest - 273.15
	last := -1
	for _, off := range []float64{-0.01, 0.01, 1, 3, 8, 60} {
		limit := fmt.Sprintf("cold_charge: %.4f °C", coldest+off)
		text := replaced(t, replaced(t, warmText, "cold_charge: 0 °C", limit), "hot_charge: 50 °C", "hot_charge: 90 °C")
		h := mustHeat(t, text, HeatOptions{})
		if n := h.Cold.Wait.Hours; n < last || (n == 0) != (off < 0) {
			t.Errorf("%+.2f K over the coldest: %d hours after %d", off, n, last)
		}
		last = h.Cold.Wait.Hours
	}
	if last != 168 {
		t.Errorf("a limit above everything blocks %d hours", last)
	}
}

// TestFanIsJustEnough: the air told keeps the batteries under their limit in
// the hot week, nine tenths of it do not.
func TestFanIsJustEnough(t *testing.T) {
	text := replaced(t, replaced(t, warmText, "latitude: 50 °, longitude: 15 °, zone: 1 h, climate: duluth, cabin: 5 °C", "climate: golden, cabin: 30 °C"), "surface: white", "surface: black")
	text = replaced(t, text, "cables:\n", "parts: [{id: I1, kind: inverter, power: 1 kW, idle: 20 W, in: bay}]\ncables:\n")
	free := hottestOf(mustHeat(t, text, HeatOptions{})).Hottest - 273.15
	text = replaced(t, text, "hot_charge: 50 °C", fmt.Sprintf("hot_charge: %.3f °C", free-8))
	j := mustLoad(t, text)
	h, err := j.Heat(HeatOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := h.Cooling
	if c == nil || !c.Needed || !c.Possible || !(c.Flow > 0) {
		t.Fatalf("%+v", c)
	}
	w, _ := newWarm(j)
	x, err := j.Weather(nil)
	if err != nil {
		t.Fatal(err)
	}
	k := &warmJob{warm: w, x: x, out: &report.Heat{}}
	if k.p, err = w.pattern(""); err != nil {
		t.Fatal(err)
	}
	if err := k.runs(false); err != nil {
		t.Fatal(err)
	}
	k.setLimits()
	for part, want := range map[float64]bool{1: false, 0.9: true} {
		over, err := k.overWith(part*c.Flow, "bay")
		if err != nil || (over > 0) != want {
			t.Errorf("with %g of the air the limit is passed by %g K, %v", part, over, err)
		}
	}
}

// TestOwnHours: a year of one temperature gives batteries of that temperature,
// whatever the walls, where nothing warms them.
func TestOwnHours(t *testing.T) {
	text := replaced(t, warmText, "right: {layers: [[plywood, 6 mm]], outside: cabin}", "right: {layers: [[plywood, 6 mm]], surface: shade}")
	text = replaced(t, text, "surface: white", "surface: shade")
	own := &series.Weather{Name: "own.csv", Temperature: make([]float64, 8760)}
	for i := range own.Temperature {
		own.Temperature[i] = -7
	}
	h := mustHeat(t, text, HeatOptions{Own: own, Year: true})
	for _, b := range h.Batteries {
		near(t, b.ID+" coldest", b.Coldest, 266.15, 1e-9)
		near(t, b.ID+" hottest", b.Hottest, 266.15, 1e-9)
	}
	if h.Cold.Wait.Hours != 168 || !math.IsInf(h.Cold.Wait.After, 1) || h.Year.Months[6].Hours != 744 {
		t.Errorf("%+v, July %+v", h.Cold.Wait, h.Year.Months[6])
	}
	own.Temperature = own.Temperature[:8000]
	if _, err := mustLoad(t, text).Heat(HeatOptions{Own: own}); err == nil || !strings.Contains(err.Error(), "8760") {
		t.Errorf("8000 hours: %v", err)
	}
}
