package conductor

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

// c gives °C in kelvin.
func c(celsius float64) float64 { return celsius + zeroCelsius }

// flexible is the 2/0 cable of the reference's worked example: R20 of the gauge
// with 2 % for stranding, PVC of 5 K·m/W.
func flexible() Cable {
	return Cable{R20: 0.26087e-3, Section: 67.43e-6, Conductor: 12.0e-3, Outside: 15.2e-3, Resistivity: 5, Emissivity: 0.9}
}

func mustSteady(t *testing.T, cable Cable, p Place, current float64) State {
	t.Helper()
	s, err := Steady(cable, p, current)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustAmps(t *testing.T, cable Cable, p Place, limit float64) float64 {
	t.Helper()
	a, err := Ampacity(cable, p, limit)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// gauge is a row of the wire tables: solid resistance at 20 °C (gauge rule with
// NBS Handbook 100 copper), class B strand diameter (NFPA 70 chapter 9 table 8,
// from memory) and the outside diameters of the reference's validation.
type gauge struct {
	name                 string
	section, ohm         float64 // mm², mΩ/m
	strands, outside     float64 // mm
	model                [3]float64
	nec75, nec90, cfr105 float64
}

// gauges holds NFPA 70-2023 table 310.17 at 75 and 90 °C and 33 CFR 183.425
// table 5 at 105 °C, all at 30 °C ambient, and the amperes that the reference
// computed with the same balance.
var gauges = []gauge{
	{"14 AWG", 2.082, 8.281, 1.85, 3.4, [3]float64{30, 34, 38}, 30, 35, 35},
	{"10 AWG", 5.261, 3.277, 2.95, 4.5, [3]float64{53, 61, 68}, 50, 55, 60},
	{"8 AWG", 8.367, 2.061, 3.71, 6.0, [3]float64{72, 84, 93}, 70, 80, 80},
	{"6 AWG", 13.30, 1.297, 4.67, 7.7, [3]float64{99, 114, 127}, 95, 105, 120},
	{"4 AWG", 21.15, 0.8152, 5.89, 8.9, [3]float64{133, 154, 172}, 125, 140, 160},
	{"2 AWG", 33.62, 0.5128, 7.42, 10.5, [3]float64{179, 207, 232}, 170, 190, 210},
	{"1/0 AWG", 53.49, 0.3223, 9.45, 13.5, [3]float64{246, 285, 318}, 230, 260, 285},
	{"2/0 AWG", 67.43, 0.2557, 10.62, 14.7, [3]float64{287, 332, 371}, 265, 300, 330},
	{"4/0 AWG", 107.2, 0.1608, 13.41, 17.5, [3]float64{391, 453, 506}, 360, 405, 445},
}

func (g gauge) cable() Cable {
	return Cable{R20: 1.02e-3 * g.ohm, Section: g.section * 1e-6, Conductor: g.strands * 1e-3, Outside: g.outside * 1e-3,
		Resistivity: 5, Emissivity: 0.9, InsulationHeat: HeatPVC}
}
