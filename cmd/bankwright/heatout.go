package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
	"bankwright/internal/paper/sheet"
)

// drawHeat writes the two weeks and the year as a framed sheet.
func (a *app) drawHeat(j *assess.Job, h *report.Heat, path string) error {
	frame := &sheet.TitleBlock{Title: "Warmth", Document: "working drawing", Sheet: "41", Job: j.Bank.Title, Compared: "the batteries' own limits"}
	return a.drawing(chart.Heat(h, chart.HeatOptions{Show: j.Bank.Show, Frame: frame}), path)
}

type heatJSON struct {
	Missing   *string             `json:"missing"`
	Place     string              `json:"weather"`
	Run       *string             `json:"run"`
	Batteries []heatBatteryJSON   `json:"batteries"`
	Left      []string            `json:"not_looked_at"`
	Weeks     []heatWeekJSON      `json:"weeks"`
	Year      *heatYearJSON       `json:"year"`
	Freeze    *freezeJSON         `json:"freeze"`
	Heating   *heatingJSON        `json:"heating"`
	Cooling   *coolingJSON        `json:"cooling"`
	Sensors   []heatSensorJSON    `json:"sensors"`
	Best      *string             `json:"best_sensor"`
	Equipment []heatPartJSON      `json:"equipment"`
	Gas       []gasJSON           `json:"gas"`
	Assumed   []report.Assumption `json:"assumed"`
}

type heatBatteryJSON struct {
	ID        string   `json:"id"`
	Coldest   float64  `json:"coldest_k"`
	ColdestAt int      `json:"coldest_hour"`
	Limit     *float64 `json:"charge_above_k"`
	Blocked   int      `json:"hours_below"`
	Hottest   float64  `json:"hottest_k"`
	HottestAt int      `json:"hottest_hour"`
	Most      *float64 `json:"charge_below_k"`
	Over      int      `json:"hours_over"`
}

type waitJSON struct {
	Hours    int      `json:"hours"`
	Daylight int      `json:"daylight_hours"`
	After    *float64 `json:"after_sunrise_h"` // null: not that day, or no limit is known
}

type seriesJSON struct {
	ID     string    `json:"id"`
	Values []float64 `json:"values"`
}

type heatWeekJSON struct {
	Name    string       `json:"name"`
	Day     int          `json:"first_day"`
	Wait    waitJSON     `json:"wait"`
	Outside []float64    `json:"outside_k"`
	Sun     []float64    `json:"sun_w_m2"`
	Air     []seriesJSON `json:"air_k"`
	Cores   []seriesJSON `json:"batteries_k"`
	Heaters []seriesJSON `json:"heaters_w"`
	Fans    []seriesJSON `json:"fans_part"`
	Blocked []bool       `json:"blocked"`
}

type heatYearJSON struct {
	Own     bool        `json:"own_hours"`
	Months  []waitJSON  `json:"months"`
	Heating [12]float64 `json:"heating_j_a_day"`
}

type freezeJSON struct {
	Start   float64  `json:"start_k"`
	Outside float64  `json:"outside_k"`
	Seconds *float64 `json:"seconds"`
	Battery string   `json:"battery"`
	Lump    *float64 `json:"one_body_seconds"`
}

type heatingJSON struct {
	Own     bool     `json:"own"`
	At      string   `json:"at"`
	Watts   float64  `json:"watts"`
	Hold    *float64 `json:"hold_w"`
	Target  float64  `json:"target_k"`
	Outside float64  `json:"outside_k"`
	Day     float64  `json:"coldest_day_j"`
	Week    float64  `json:"mean_day_j"`
	Charge  float64  `json:"coldest_day_c"`
	Share   float64  `json:"share_of_bank"`
	Coldest float64  `json:"coldest_k"`
	Battery string   `json:"coldest_battery"`
}

type coolingJSON struct {
	Needed  bool     `json:"needed"`
	Limit   float64  `json:"limit_k"`
	Hottest float64  `json:"hottest_k"`
	Battery string   `json:"battery"`
	Flow    *float64 `json:"flow_m3_s"`
	Vent    *float64 `json:"openings_m2_each"`
}

type heatSensorJSON struct {
	At      string   `json:"at"`
	Kind    string   `json:"kind"`
	ID      string   `json:"id,omitempty"`
	Source  string   `json:"source,omitempty"`
	Setting *float64 `json:"setting_k"`
	Margin  float64  `json:"margin_k"`
	Early   float64  `json:"early_h"`
	Lost    int      `json:"lost_hours"`
	Lets    int      `json:"lets_hours"`
}

type heatPartJSON struct {
	ID   string   `json:"id"`
	In   string   `json:"compartment"`
	Loss float64  `json:"mean_loss_w"`
	Peak float64  `json:"most_loss_w"`
	Air  float64  `json:"air_k"`
	Off  *float64 `json:"air_fans_off_k"`
	Over int      `json:"hours_over"`
}

type gasJSON struct {
	Compartment string   `json:"compartment"`
	Batteries   []string `json:"batteries"`
	Lithium     bool     `json:"lithium"`
	Flow        float64  `json:"flow_m3_s"`
	Area        float64  `json:"openings_m2_each"`
	Have        float64  `json:"have_m2"`
}

func waitOf(w report.Wait) waitJSON { return waitJSON{w.Hours, w.Daylight, orNull(w.After)} }

// fanOff is a temperature, null where there is no fan.
func fanOff(v float64) *float64 {
	if v == 0 {
		return nil
	}
	return &v
}

func seriesOf(list []report.NamedSeries) []seriesJSON {
	all := []seriesJSON{}
	for _, s := range list {
		all = append(all, seriesJSON{s.ID, s.Values})
	}
	return all
}

func heatJSONOf(h *report.Heat, f *heatFlags) heatJSON {
	out := heatJSON{Place: h.Place, Left: append([]string{}, h.Left...), Batteries: []heatBatteryJSON{}, Weeks: []heatWeekJSON{}, Sensors: []heatSensorJSON{},
		Equipment: []heatPartJSON{}, Gas: []gasJSON{}, Assumed: append([]report.Assumption{}, h.Assumed...)}
	for _, g := range h.Gas {
		out.Gas = append(out.Gas, gasJSON{g.Compartment, g.Batteries, g.Lithium, g.Flow, g.Area, g.Have})
	}
	if h.Missing != "" {
		out.Missing = &h.Missing
		return out
	}
	if h.Run != "" {
		out.Run = &h.Run
	}
	for _, b := range h.Batteries {
		out.Batteries = append(out.Batteries, heatBatteryJSON{b.ID, b.Coldest, b.ColdestAt, orNull(b.Limit), b.Blocked, b.Hottest, b.HottestAt, orNull(b.Most), b.Over})
	}
	for _, w := range []*report.HeatWeek{h.Cold, h.Hot} {
		if f.week == "" || f.week == w.Name {
			out.Weeks = append(out.Weeks, heatWeekJSON{w.Name, w.Day, waitOf(w.Wait), w.Outside, w.Sun, seriesOf(w.Air), seriesOf(w.Cores), seriesOf(w.Heaters), seriesOf(w.Fans), w.Blocked})
		}
	}
	if y := h.Year; f.year && y != nil {
		out.Year = &heatYearJSON{Own: y.Own, Heating: y.Heater}
		for _, m := range y.Months {
			out.Year.Months = append(out.Year.Months, waitOf(m))
		}
	}
	heatNeeds(&out, h)
	return out
}

// heatNeeds fills in what is needed: heat, air, sensors, and what equipment
// meets.
func heatNeeds(out *heatJSON, h *report.Heat) {
	if z := h.Freeze; z != nil {
		out.Freeze = &freezeJSON{z.Start, z.Outside, orNull(z.Seconds), z.Battery, orNull(z.Lump)}
	}
	if z := h.Heating; z != nil {
		out.Heating = &heatingJSON{z.Own, z.At, z.Watts, orNull(z.Hold), z.Target, z.Outside, z.DayJ, z.WeekJ, z.DayAh, z.Share, z.Coldest, z.Coolest}
	}
	if z := h.Cooling; z != nil {
		out.Cooling = &coolingJSON{Needed: z.Needed, Limit: z.Limit, Hottest: z.Hottest, Battery: z.Battery}
		if z.Possible {
			out.Cooling.Flow = &z.Flow
		}
		if z.Vent > 0 {
			out.Cooling.Vent = &z.Vent
		}
	}
	for _, s := range h.Sensors {
		out.Sensors = append(out.Sensors, heatSensorJSON{s.At, s.Kind, s.ID, s.Source, orNull(s.Setting), s.Margin, s.Early, s.Lost, s.Lets})
	}
	if h.BestSensor >= 0 {
		out.Best = &h.Sensors[h.BestSensor].At
	}
	for _, e := range h.Equipment {
		out.Equipment = append(out.Equipment, heatPartJSON{e.ID, e.Compartment, e.Loss, e.Peak, e.Air, fanOff(e.Still), e.Over})
	}
}

// heatCSV writes hours as columns, temperatures in °C.
func heatCSV(w io.Writer, h *report.Heat, f *heatFlags) error {
	if h.Missing != "" {
		return fmt.Errorf("no hours: %s", h.Missing)
	}
	out := csv.NewWriter(w)
	celsius := func(v float64) string { return strconv.FormatFloat(math.Round((v-273.15)*1000)/1000, 'f', -1, 64) }
	if f.year {
		if err := out.Write([]string{"hour", "outside_c", "coldest_c", "hottest_c", "blocked"}); err != nil {
			return err
		}
		y := h.Year
		for n := range y.Coldest {
			if err := out.Write([]string{fmt.Sprint(n), celsius(y.Outside[n]), celsius(y.Coldest[n]), celsius(y.Hottest[n]), strconv.FormatBool(y.Blocked[n])}); err != nil {
				return err
			}
		}
		out.Flush()
		return out.Error()
	}
	for n, week := range []*report.HeatWeek{h.Cold, h.Hot} {
		if f.week != "" && f.week != week.Name {
			continue
		}
		if err := weekCSV(out, week, n == 0 || f.week != "", celsius); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func weekCSV(out *csv.Writer, w *report.HeatWeek, head bool, celsius func(float64) string) error {
	if head {
		row := []string{"week", "hour", "outside_c"}
		for _, s := range w.Air {
			row = append(row, "air_"+s.ID+"_c")
		}
		for _, s := range w.Cores {
			row = append(row, s.ID+"_c")
		}
		for _, s := range w.Heaters {
			row = append(row, s.ID+"_w")
		}
		if err := out.Write(append(row, "blocked")); err != nil {
			return err
		}
	}
	for n := range w.Outside {
		row := []string{w.Name, fmt.Sprint(n), celsius(w.Outside[n])}
		for _, list := range [][]report.NamedSeries{w.Air, w.Cores} {
			for _, s := range list {
				row = append(row, celsius(s.Values[n]))
			}
		}
		for _, s := range w.Heaters {
			row = append(row, strconv.FormatFloat(math.Round(s.Values[n]*1000)/1000, 'f', -1, 64))
		}
		if err := out.Write(append(row, strconv.FormatBool(w.Blocked[n]))); err != nil {
			return err
		}
	}
	return nil
}
