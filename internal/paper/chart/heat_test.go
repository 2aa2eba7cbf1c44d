package chart

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// aHeat is a made-up answer: some batteries, a week that waits in its nights.
func aHeat(batteries int, heater, year bool) *report.Heat {
	week := func(name string, base, swing float64) *report.HeatWeek {
		w := &report.HeatWeek{Name: name}
		for h := range 168 {
			w.Outside = append(w.Outside, base+swing*math.Sin(float64(h)*math.Pi/12))
			w.Blocked = append(w.Blocked, name == "cold" && h%24 < 9)
		}
		w.Air = []report.NamedSeries{{ID: "bay", Values: w.Outside}}
		return w
	}
	h := &report.Heat{Cold: week("cold", 262, 6), Hot: week("hot", 300, 8)}
	for n := range batteries {
		id := "B" + strings.Repeat("1", n+1)
		h.Batteries = append(h.Batteries, report.HeatBattery{ID: id, Limit: 273.15, Most: 323.15, Coldest: 262 - float64(n), Hottest: 300 + float64(n)})
		for _, w := range []*report.HeatWeek{h.Cold, h.Hot} {
			var v []float64
			for k := range 168 {
				v = append(v, w.Outside[max(0, k-4)]+float64(n)/3)
			}
			w.Cores = append(w.Cores, report.NamedSeries{ID: id, Values: v})
		}
	}
	if heater {
		v := make([]float64, 168)
		for k := range v {
			v[k] = float64(k % 3 * 20)
		}
		h.Cold.Heaters = []report.NamedSeries{{ID: "T1", Values: v}}
	}
	if year {
		h.Year = &report.HeatYear{Blocked: make([]bool, 8760), Coldest: make([]float64, 8760)}
		for k := range h.Year.Blocked {
			h.Year.Blocked[k] = k/24 < 60 && k%24 < 10
			h.Year.Coldest[k] = 275 + float64(k%24)
		}
	}
	return h
}

var heatSizes = map[string]HeatOptions{
	"plain": {}, "page": {Width: 230}, "phone": {Small: true}, "framed": {Frame: &sheet.TitleBlock{Title: "Warmth"}}, "high": {Width: 300, Height: 260},
}

// TestHeatIsReadable: in every size no lettering covers another or leaves the
// sheet, and each line carries the ID of what it shows.
func TestHeatIsReadable(t *testing.T) {
	for name, opt := range heatSizes {
		for _, h := range []*report.Heat{aHeat(1, false, false), aHeat(2, true, true), aHeat(8, true, true)} {
			s := Heat(h, opt)
			if err := s.Check(); err != nil {
				t.Fatal(name, err)
			}
			if bad := s.Misplaced(); bad != nil {
				t.Errorf("%s, %d batteries: %v", name, len(h.Batteries), bad)
			}
			seen := map[string]bool{}
			for _, it := range s.Items {
				seen[it.ID] = true
			}
			for _, b := range h.Batteries {
				if !seen[b.ID] {
					t.Errorf("%s: %s is not drawn", name, b.ID)
				}
			}
		}
	}
}

// TestHeatBands: the shaded stretches of a week are those in which charge has to
// wait, and no more.
func TestHeatBands(t *testing.T) {
	if got := runs([]bool{true, true, false, true, false, false, true}); len(got) != 3 || got[0] != [2]int{0, 2} || got[1] != [2]int{3, 4} || got[2] != [2]int{6, 7} {
		t.Errorf("%v", got)
	}
	if runs(nil) != nil || runs([]bool{false}) != nil {
		t.Error("stretches of nothing")
	}
	s := Heat(aHeat(2, false, false), HeatOptions{Width: 230})
	bands := 0
	for _, it := range s.Items {
		if it.Name == "hours in which charge has to wait" {
			bands += len(it.Marks)
		}
	}
	if bands != 7 {
		t.Errorf("%d bands for seven nights", bands)
	}
}

func TestHeatWithout(t *testing.T) {
	s := Heat(&report.Heat{Missing: "the job has to give walls"}, HeatOptions{})
	if err := s.Check(); err != nil || len(s.Texts()) == 0 || !strings.Contains(s.Texts()[0].S, "walls") {
		t.Errorf("%v, %+v", err, s.Texts())
	}
}
