package assess

import (
	"fmt"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// TestMissing: without what is needed it says what, and nothing else.
func TestMissing(t *testing.T) {
	for _, row := range []struct{ name, old, now, says string }{
		{"no place", "place: {latitude: 50 °, longitude: 15 °, zone: 1 h, climate: duluth, cabin: 5 °C}\n", "", "place with latitude"},
		{"no mass", ", mass: 11 kg", "", "the mass of battery type block"},
	} {
		t.Run(row.name, func(t *testing.T) {
			text := replaced(t, warmText, row.old, row.now)
			if row.name == "no place" {
				text = replaced(t, text, ", outside: cabin", "")
			}
			h, err := mustLoad(t, text).Heat(HeatOptions{Year: true})
			if err != nil || !strings.Contains(h.Missing, row.says) || h.Cold != nil {
				t.Errorf("%v, %+v", err, h)
			}
		})
	}
	if h, err := mustLoad(t, example(t, "market-cart.yaml")).Heat(HeatOptions{}); err != nil || !strings.Contains(h.Missing, "walls") {
		t.Errorf("%v, %+v", err, h)
	}
	_, err := mustLoad(t, replaced(t, warmText, "cabin: 5 °C", "cabin: 5 °C, coldest: 0 °C")).Heat(HeatOptions{})
	if err == nil || !strings.Contains(err.Error(), "test.yaml:3:") || !strings.Contains(err.Error(), "coldest") {
		t.Errorf("a coldest hour that every winter day has: %v", err)
	}
}

// TestGas: heat-mount-energy T12, computed there by IEC 62485-2: 6 cells.
func TestGas(t *testing.T) {
	const job = `bankwright: 1
battery_types:
  b: {chemistry: CHEM, nominal: 12 V, capacity: CAP Ah, size: {length: 300 mm, width: 200 mm, height: 200 mm}}
batteries: [{id: B1, type: b, at: [0 mm, 0 mm, 0 mm]}]
compartments: [{id: box, at: [0 mm, 0 mm, 0 mm], size: {length: 400 mm, width: 300 mm, height: 300 mm}}]
vents: [{id: O1, area: 50 cm2, height: 10 mm}, {id: O2, area: 30 cm2, height: 250 mm}]
parts: [PART]
takeoff: {positive: B1+, negative: B1-}
`
	charger := "{id: C1, kind: charger, current: 20 A}"
	for _, row := range []struct {
		chem, capacity, part string
		cm2                  float64
	}{
		{"flooded", "400", charger, 67.2}, {"agm", "400", charger, 26.88}, {"flooded", "110", "", 4.62}, {"lfp", "400", charger, 0},
	} {
		j := mustLoad(t, strings.NewReplacer("CHEM", row.chem, "CAP", row.capacity, "PART", row.part).Replace(job))
		h, err := j.Heat(HeatOptions{})
		if err != nil || len(h.Gas) != 1 {
			t.Fatal(err, h)
		}
		g := h.Gas[0]
		near(t, row.chem+" cm²", 1e4*g.Area, row.cm2, 1e-6)
		near(t, row.chem+" has cm²", 1e4*g.Have, 30, 1e-9)
		if g.Lithium != (row.chem == "lfp") || len(GasWords(h)) != 1 {
			t.Errorf("%+v", g)
		}
	}
}

// TestRunWarms: the run of a case puts its heat into the batteries: the mean of
// the pattern is that of I²R, the wiring's loss goes to the air.
func TestRunWarms(t *testing.T) {
	w := mustWarm(t, warmText)
	p, err := w.pattern("evening")
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for h := range p.heat {
		sum += p.heat[h][w.core[0]] + p.heat[h][w.core[1]]
	}
	// 10 A each through 4 mΩ for four hours: 2·0.4 W·4 h, the ohmic part; the
	// resistance is given with the voltage, so there is no other.
	near(t, "watt-hours", sum, 3.2, 0.1)
	if q, err := w.pattern(""); err != nil || q.run != "" {
		t.Errorf("%v, %+v", err, q)
	}
	if _, err := w.pattern("nightfall"); err == nil {
		t.Error("a run that is not there")
	}
}

// TestInverterWarmth: the closed form of the reference, A9: 500 W at 0.918 loses
// 44.4 W of what comes out; here by what goes in.
func TestInverterWarmth(t *testing.T) {
	d := &bank.Part{Kind: bank.Inverter, Device: bank.Device{Power: 2000, EfficiencyCurve: []bank.EfficiencyPoint{{Load: 0.05, Efficiency: 0.805}, {Load: 0.25, Efficiency: 0.9184}, {Load: 0.5, Efficiency: 0.928}, {Load: 1, Efficiency: 0.922}}}}
	for _, row := range [][2]float64{{100, 24.2}, {500, 44.4}, {1000, 77.5}, {2000, 170}} {
		near(t, fmt.Sprintf("%g W", row[0]), inverterWarmth(d, row[0]+row[1]), row[1], 0.02*row[1])
	}
	near(t, "charger", chargerWarmth(&bank.Part{Kind: bank.Solar}, 576), 24, 1e-9) // 600 W in at 0.96
}

// TestHeatWorkings: every working of the example has a result and its inputs.
func TestHeatWorkings(t *testing.T) {
	j := mustLoad(t, warmText)
	for _, id := range []string{"heat.B1.coldest", "heat.wall.bay.lid", "heat.freeze", "heat.hold", "heat.wait", "heat.sensor"} {
		w, err := j.ExplainHeat(id)
		if err != nil || w.Result == "" || w.Formula == "" || len(w.Inputs) == 0 {
			t.Errorf("%s: %v, %+v", id, err, w)
		}
	}
	if _, err := j.ExplainHeat("heat.B9.coldest"); err == nil || !strings.Contains(err.Error(), "heat.B1.coldest") {
		t.Errorf("%v", err)
	}
	// 1/(0.10 + 0.012/0.13 + 0.030/0.034 + 0.04), by hand.
	w, err := j.ExplainHeat("heat.wall.bay.lid")
	if err != nil || !strings.Contains(w.Result, fmt.Sprintf("%.3f", 1/(0.10+0.012/0.13+0.030/0.034+0.04))) {
		t.Errorf("%v, %+v", err, w)
	}
}

// TestWeeks: the weeks reach their extremes exactly and the hours are the
// place's.
func TestWeeks(t *testing.T) {
	x, err := mustLoad(t, warmText).Weather(nil)
	if err != nil {
		t.Fatal(err)
	}
	low, high := quantity.Temperature(999), quantity.Temperature(0)
	for _, v := range x.Cold.Temperature {
		low = min(low, v)
	}
	for _, v := range x.Hot.Temperature {
		high = max(high, v)
	}
	near(t, "coldest hour", float64(low), 273.15-30.6, 1e-9)
	near(t, "hottest hour", float64(high), 273.15+32.8, 1e-9)
	if x.Cold.Len() != 168 || x.Hot.Len() != 168 || x.Year.Len() != 8760 || x.HasSun || x.Year.Global != nil {
		t.Errorf("%d, %d, %d hours, sun %v", x.Cold.Len(), x.Hot.Len(), x.Year.Len(), x.HasSun)
	}
}
