package main

import (
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

type dayKindJSON struct {
	ByLoad    map[string]float64 `json:"by_load"` // J a day
	Loads     float64            `json:"loads"`
	Inverters float64            `json:"inverters"`
	Idle      float64            `json:"idle"`
	Wiring    float64            `json:"wiring"`
	Asked     float64            `json:"asked"`
	Offered   map[string]float64 `json:"offered"`
	Given     map[string]float64 `json:"given"`
	SOC       []float64          `json:"soc"` // each hour of the week
	Least     float64            `json:"least"`
	Reaches   *float64           `json:"reaches_floor"` // s; null: not within 60 days
	Missed    float64            `json:"missed"`        // J a week
}

type dayMonthJSON struct {
	Month       string      `json:"month"`
	Temperature *float64    `json:"temperature"` // K
	Battery     *float64    `json:"battery_temperature"`
	Cold        int         `json:"cold_hours"` // of the week, too cold to be charged
	Factor      float64     `json:"capacity_factor"`
	Typical     dayKindJSON `json:"typical"`
	Bad         dayKindJSON `json:"bad"`
	NoSun       *float64    `json:"no_sun"` // s
	Alone       *float64    `json:"no_source"`
}

type daySourceJSON struct {
	ID    string   `json:"id"`
	Part  string   `json:"part"`
	Kind  string   `json:"kind"`
	Watts *float64 `json:"power"`
	Label float64  `json:"label_current"`
	Hot   float64  `json:"lasting_current"`
	Days  int      `json:"days_a_week"`
	Bound string   `json:"bound,omitempty"`
}

type dayStopJSON struct {
	ID     string   `json:"id"`
	SOC    *float64 `json:"soc"` // null: it does not stop by this
	Volts  *float64 `json:"voltage"`
	Amps   float64  `json:"current"`
	Always bool     `json:"always"`
}

type dayFullJSON struct {
	Source string   `json:"source"`
	Month  string   `json:"month,omitempty"`
	Amps   *float64 `json:"current"`
	Whole  *float64 `json:"time"` // s; null: not within 60 days
	Tail   *float64 `json:"tail"`
}

type daySideJSON struct {
	Device    string   `json:"device"`
	Way       *float64 `json:"length"` // m one way
	Have      string   `json:"cable_now,omitempty"`
	Volts     float64  `json:"voltage"`
	Amps      float64  `json:"current"`
	Loss      *float64 `json:"loss"`
	Drop      *float64 `json:"drop"`
	Terminals *float64 `json:"terminals_empty"`
	Cutout    float64  `json:"cutout"`
	Cable     string   `json:"cable,omitempty"`
	Warm      *float64 `json:"cable_temperature"`
	Fuse      float64  `json:"fuse"`
}

type daysJSON struct {
	Voltage  float64         `json:"voltage"`
	Capacity float64         `json:"capacity"` // C
	Floor    float64         `json:"floor"`
	Start    float64         `json:"start"`
	Wish     float64         `json:"wish"` // s
	Months   []dayMonthJSON  `json:"months"`
	Sources  []daySourceJSON `json:"sources"`
	Stops    []dayStopJSON   `json:"stops"`
	Full     []dayFullJSON   `json:"full"`
	Dry      [][2]int        `json:"dry_days"` // of the year, first and last
	Sides    []daySideJSON   `json:"voltages"`
	Notes    []string        `json:"notes"`
	Assumed  []string        `json:"assumed"`
}

func daysJSONOf(d *report.Days) daysJSON {
	out := daysJSON{Voltage: d.Nominal, Capacity: d.Capacity, Floor: d.Floor, Start: d.Start, Wish: d.Wish, Sources: []daySourceJSON{}, Stops: []dayStopJSON{},
		Full: []dayFullJSON{}, Dry: [][2]int{}, Sides: []daySideJSON{}, Notes: append(append([]string{}, d.Notes...), report.DaysLimits(d)...), Assumed: []string{}}
	for m := range d.Months {
		one := &d.Months[m]
		out.Months = append(out.Months, dayMonthJSON{string(bank.MonthNames[m]), orNull(one.Kelvin), orNull(one.Battery), one.Cold, one.Factor, dayKindOf(d, &one.Typical), dayKindOf(d, &one.Bad), orNull(one.NoSun), orNull(one.Alone)})
	}
	for n := range d.Sources {
		s := &d.Sources[n]
		out.Sources = append(out.Sources, daySourceJSON{s.ID, s.Part, string(s.Kind), orNull(s.Watts), s.Label, s.Hot, s.Days, s.Bound})
	}
	for n := range d.Stops {
		s := &d.Stops[n]
		one := dayStopJSON{ID: s.ID, Volts: orNull(s.Volts), Amps: s.Amps, Always: s.Charge >= 1}
		if s.Charge >= 0 {
			one.SOC = &s.Charge
		}
		out.Stops = append(out.Stops, one)
	}
	for n := range d.Full {
		f := &d.Full[n]
		out.Full = append(out.Full, dayFullJSON{f.Source, f.In, orNull(f.Amps), orNull(f.Whole), orNull(f.Tail)})
	}
	for _, s := range d.Dry {
		out.Dry = append(out.Dry, [2]int{s.First, s.Last})
	}
	for n := range d.Sides {
		row := &d.Sides[n]
		for k := range row.Each {
			s := &row.Each[k]
			out.Sides = append(out.Sides, daySideJSON{row.ID, orNull(row.Way), row.Have, s.Volts, s.Amps, orNull(s.Loss), orNull(s.Drop), orNull(s.Terminals), s.Cutout, s.Cable, orNull(s.Warm), s.Fuse})
		}
	}
	for _, a := range d.Assumed {
		for _, p := range a.Places {
			out.Assumed = append(out.Assumed, a.What+" of "+p+": "+a.Value)
		}
	}
	return out
}

func dayKindOf(d *report.Days, k *report.DayKind) dayKindJSON {
	out := dayKindJSON{ByLoad: map[string]float64{}, Offered: map[string]float64{}, Given: map[string]float64{}, Loads: k.Loads, Inverters: k.Inverters, Idle: k.Idle,
		Wiring: k.Wiring, Asked: k.Asked(), SOC: k.Charge, Least: k.Least, Reaches: orNull(k.Reaches), Missed: k.Missed}
	for n, v := range k.ByLoad {
		out.ByLoad[d.Loads[n].ID] = v
	}
	for n := range d.Sources {
		out.Offered[d.Sources[n].ID], out.Given[d.Sources[n].ID] = k.Offered[n], k.Given[n]
	}
	return out
}
