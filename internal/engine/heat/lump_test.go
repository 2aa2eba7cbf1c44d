package heat

import (
	"math"
	"testing"
)

const zero = 273.15

// Reference: heat-mount-energy T9, computed: four units of 12.1 kJ/K and 8 kJ/K
// beside them, 1.2 W/K, 15 °C inside, -20 °C outside.
func TestTimeToFreeze(t *testing.T) {
	l := Lump{Capacity: 4*12.1e3 + 8e3, Loss: 1.2}
	near(t, "tau", l.Tau()/3600, 13.056, 5e-4)
	near(t, "to 2 °C", l.Until(15+zero, 2+zero, -20+zero, 0)/3600, 6.062, 5e-4)
	near(t, "to 0 °C", l.Until(15+zero, zero, -20+zero, 0)/3600, 7.306, 5e-4)
	near(t, "after a day", l.After(86400, 15+zero, -20+zero, 0)-zero, -14.43, 5e-3)
}

// Reference: heat-mount-energy T10, computed: the same box with a 60 W heater.
func TestHeater(t *testing.T) {
	l := Lump{Capacity: 4*12.1e3 + 8e3, Loss: 1.2}
	near(t, "hold 5 °C", l.Hold(5+zero, -20+zero), 30, 1e-9)
	near(t, "from -10 to 5 °C", l.Until(-10+zero, 5+zero, -20+zero, 60)/3600, 6.136, 5e-4)
	on, off, part, err := l.Cycle(3+zero, 6+zero, -20+zero, 60)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "on", on/60, 92.26, 5e-3)
	near(t, "off", off/60, 96.04, 5e-3) // 47000 s · ln(26/23); the reference prints 96.05
	near(t, "part", part, 0.4900, 5e-5)
	if got := l.Until(-20+zero, 5+zero, -20+zero, 20); !math.IsInf(got, 1) {
		t.Errorf("20 W reach 5 °C after %g s", got)
	}
	near(t, "20 W settle", l.After(1e9, -20+zero, -20+zero, 20)-zero, -3.33, 5e-3)
	if _, _, part, _ := l.Cycle(3+zero, 6+zero, -20+zero, 20); part != 1 {
		t.Errorf("a weak heater is on for %g of the time", part)
	}
	if _, _, part, _ := l.Cycle(3+zero, 6+zero, 10+zero, 60); part != 0 {
		t.Errorf("in a warm place it is on for %g of the time", part)
	}
	if _, _, _, err := l.Cycle(6, 3, 0, 60); err == nil {
		t.Error("a thermostat the wrong way round passes")
	}
	if got := l.Until(280, 280, 250, 0); got != 0 {
		t.Errorf("it is there after %g s", got)
	}
}

// Reference: heat-mount-energy T7 and T8, ISO 6946, computed.
func TestWalls(t *testing.T) {
	films := Films{0.13, 0.04}
	ply, foam, skin, wood := Layer{6e-3, 0.13, 500, 1600}, Layer{50e-3, 0.034, 30, 1450}, Layer{1e-3, 160, 2800, 880}, Layer{50e-3, 0.13, 500, 1600}
	w := must(t)(Plain([]Layer{ply, foam, skin}, films))
	near(t, "R", w.R, 1.68675, 5e-5) // the reference leaves the skin's own 6e-6 in
	near(t, "U", w.U, 0.59286, 5e-5)
	near(t, "both sides", w.Inner+w.Outer, w.R, 1e-12)
	near(t, "storage", w.Storage, 6e-3*500*1600+50e-3*30*1450+1e-3*2800*880, 1e-9)
	near(t, "no foam", must(t)(Plain([]Layer{ply, skin}, films)).U, 4.6262, 5e-4)
	inch := foam
	inch.Thickness = 25.4e-3
	near(t, "an inch of foam", must(t)(Plain([]Layer{ply, inch, skin}, films)).U, 1.0382, 5e-4)
	mixed := must(t)(Mixed([]Layer{ply, foam, skin}, []Layer{ply, wood, skin}, 0.1, films))
	near(t, "framed R", mixed.R, 1.39573, 5e-5)
	near(t, "framed U", mixed.U, 0.71647, 5e-5)
	if mixed.Bridged {
		t.Error("a wooden frame counts as a bridge")
	}
	steel := Layer{50e-3, 50, 7800, 450}
	if !must(t)(Mixed([]Layer{ply, foam, skin}, []Layer{ply, steel, skin}, 0.05, films)).Bridged {
		t.Error("a steel frame does not count as a bridge")
	}
	// Half of it framed with the same material is no frame.
	near(t, "its own frame", must(t)(Mixed([]Layer{ply, foam}, []Layer{ply, foam}, 0.5, films)).R, must(t)(Plain([]Layer{ply, foam}, films)).R, 1e-12)
	for name, bad := range map[string][]Layer{"no thickness": {{0, 1, 1, 1}}, "no conductivity": {{0.1, 0, 1, 1}}, "negative": {{0.1, 1, -1, 1}}} {
		if _, err := Plain(bad, films); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	if _, err := Plain(nil, Films{}); err == nil {
		t.Error("a wall of nothing passes")
	}
}

func must(t *testing.T) func(Wall, error) Wall {
	return func(w Wall, err error) Wall {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
}

// Reference: heat-mount-energy T11: 250 W at 10 K are 74.63 m³/h (computed); 800 W
// at 3 K are 0.265 kg/s (read) and 796.0 m³/h.
func TestFans(t *testing.T) {
	for _, c := range []struct{ watt, rise, hourly float64 }{{250, 10, 74.63}, {800, 3, 796.0}} {
		got, err := FanFor(c.watt, c.rise)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "flow", got*3600, c.hourly, 0.05)
		near(t, "carries", Flow(got)*c.rise, c.watt, 1e-9)
	}
	kg, _ := FanFor(800, 3)
	near(t, "mass", kg*Density, 0.265, 5e-4)
	if _, err := FanFor(100, 0); err == nil {
		t.Error("no rise passes")
	}
	// A4 of the reference: 1.006 kg/m³ at 2000 m against 1.225: volume up by 1.22.
	near(t, "thin air", 1/AltitudeFactor(2000), 1.22, 5e-3)
	near(t, "density", 1.225*AltitudeFactor(2000), 1.006, 1e-3)
}

// Reference: heat-mount-energy T12, computed from IEC 62485-2.
func TestHydrogen(t *testing.T) {
	for _, c := range []struct {
		cells        int
		ah, gas      float64
		hourly, area float64 // m³/h, cm²
	}{{6, 400, Vented.Boost, 2.400, 67.2}, {6, 400, Regulated.Boost, 0.960, 26.9}, {6, 110, Vented.Float, 0.165, 4.62}} {
		flow, area, err := Ventilation(c.cells, c.ah, c.gas)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "flow", flow*3600, c.hourly, 5e-4)
		near(t, "area", area*1e4, c.area, 0.05)
	}
	if _, _, err := Ventilation(0, 100, 1e-3); err == nil {
		t.Error("no cells pass")
	}
}

// Two equal openings: 0.65·A·√(2·g·(H/2)·ΔT/T), by hand for 20 cm² half a metre
// apart, 10 K over 290 K: 0.65·20e-4·√(9.80665·0.5·10/300) = 5.256e-4 m³/s.
func TestDraught(t *testing.T) {
	pair := []Opening{{20e-4, 0.1}, {20e-4, 0.6}}
	near(t, "pair", Draught(pair, 300, 290), 0.65*20e-4*math.Sqrt(9.80665*0.5*10/300), 1e-12)
	near(t, "the other way", Draught(pair, 290, 300), Draught(pair, 300, 290), 1e-15)
	// Unequal areas in series: 1/Ae² = 1/A1² + 1/A2²; a very large one leaves the
	// small one alone over the whole height.
	large := []Opening{{20e-4, 0.1}, {1, 0.6}}
	near(t, "one large", Draught(large, 300, 290), 0.65*20e-4*math.Sqrt(2*9.80665*0.5*10/300), 1e-8)
	alone := Draught([]Opening{{20e-4, 0.1}}, 300, 290)
	if !(alone > 0 && alone < Draught(pair, 300, 290)) {
		t.Errorf("one opening draws %g, two %g", alone, Draught(pair, 300, 290))
	}
	if Draught(nil, 300, 290) != 0 || Draught(pair, 300, 300) != 0 {
		t.Error("a draught without cause")
	}
}

// Sol-air by hand: 30 °C, 0.9 of 800 W/m² at a film of 1/17, 4 K to the sky.
func TestSunAir(t *testing.T) {
	near(t, "roof", SunAir(303.15, 0.9, 800, 1/17.0, 4)-zero, 30+0.9*800/17-4, 1e-9)
}
