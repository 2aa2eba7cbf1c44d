package catalog

import (
	"math"
	"testing"
)

// A second entry of the compartment's tables, typed from the reference apart
// from data/compartment.yaml: heat-mount-energy A1, A2 and A6, battery 2.5.
func TestCompartmentTables(t *testing.T) {
	c := Default()
	materials := map[string][3]float64{
		"xps": {0.034, 30, 1450}, "eps": {0.040, 20, 1450}, "pir": {0.0258, 38, 1470}, "plywood": {0.13, 500, 1600}, "softwood": {0.13, 500, 1600},
		"aluminium": {160, 2800, 880}, "steel": {50, 7800, 450}, "stainless": {17, 7900, 460}, "glassfibre": {0.40, 1900, 1200}, "pvc": {0.17, 1390, 900},
		"carpet": {0.06, 160, 2500}, "rubber": {0.17, 1500, 1470},
	}
	if len(c.WallMaterials()) != len(materials) {
		t.Errorf("%d wall materials, %d typed here", len(c.WallMaterials()), len(materials))
	}
	for id, want := range materials {
		m := c.WallMaterial(id)
		if m == nil || m.Conductivity != want[0] || m.Density != want[1] || m.Heat != want[2] {
			t.Errorf("%s: %+v, want %v", id, m, want)
		}
	}
	surfaces := map[string][2]float64{"white": {0.25, 0.92}, "old_white": {0.35, 0.9}, "coloured": {0.7, 0.9}, "grey": {0.87, 0.87}, "black": {0.975, 0.87}, "bare_aluminium": {0.4, 0.35}}
	for id, want := range surfaces {
		if s := c.Surface(id); s == nil || s.Absorptance != want[0] || s.Emittance != want[1] {
			t.Errorf("%s: %+v, want %v", id, s, want)
		}
	}
	if len(c.Surfaces()) != len(surfaces) {
		t.Errorf("%d surfaces, %d typed here", len(c.Surfaces()), len(surfaces))
	}
	for id, want := range map[string]float64{"up": 0.10, "level": 0.13, "down": 0.17, "outside": 0.04, "driving": 0.025, "touching": 0.015, "air_gap": 0.18} {
		if f := c.Film(id); f == nil || f.Resistance != want {
			t.Errorf("%s: %+v, want %g", id, f, want)
		}
	}
	for id, want := range map[string]float64{"lfp": 1050, "agm": 850, "gel": 850, "flooded": 1000} {
		if h := c.BatteryHeat(id); h == nil || math.Abs(h.Heat-want) > 0 {
			t.Errorf("%s: %+v, want %g", id, h, want)
		}
	}
	if c.WallMaterial("gold") != nil || c.Surface("gold") != nil || c.Film("gold") != nil || c.BatteryHeat("gold") != nil {
		t.Error("rows that are not there are found")
	}
}
