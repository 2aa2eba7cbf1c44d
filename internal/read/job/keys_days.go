package job

import (
	"fmt"
	"strconv"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

var (
	spans    = physical[quantity.Duration](0, 86400, "0 to 24 h; a day has no more")
	wishes   = physical[quantity.Duration](86400, 60*86400, "1 d to 60 d")
	tails    = physical[quantity.Duration](0, 86400, "0 to 24 h")
	tilts    = physical[quantity.Angle](0, 1.5708, "0 °, facing up, to 90 °, upright")
	azimuths = physical[quantity.Angle](0, 6.2832, "0 ° to 360 °, from north over east")
	losses   = physical[quantity.Ratio](0, 0.99, "0 % to 99 %")
	slopes   = physical[quantity.Ratio](0, 0.02, "0 % to 2 % a kelvin")
)

var clocks = plain[Clock]{scalarShape[Clock]{name: "clock time", types: []string{"string", "integer"}, pattern: `^([0-9]|[01][0-9]|2[0-3]):[0-5][0-9]$|^24:00$`, parse: parseClock}}

// parseClock reads 6:30, 06:30 or 24:00.
func parseClock(s string) (Clock, error) {
	n := len(s)
	if n == 4 || n == 5 {
		h, errH := strconv.Atoi(s[:n-3])
		m, errM := strconv.Atoi(s[n-2:])
		if s[n-3] == ':' && errH == nil && errM == nil && digits(s[:n-3]) && digits(s[n-2:]) && m < 60 && (h < 24 || h == 24 && m == 0) {
			return Clock(3600*h + 60*m), nil
		}
	}
	return 0, fmt.Errorf("%q is no clock time: 00:00 to 24:00, as in 18:30", clip(s))
}

func digits(s string) bool {
	for _, r := range s {
		if r < '0' || r > '9' {
			return false
		}
	}
	return s != ""
}

var monthNames = oneOf("month", bank.MonthNames[:]...)

var loadKeys = &objectShape[DayLoad]{
	name: "load of the day", title: "loads",
	intro: "What is used of a day, for the balance of days. When it runs is said by hours, by from and to, or by at and for; without any it runs all day.",
	place: func(l *DayLoad, p Pos) { l.Pos = p },
	props: []property[DayLoad]{
		prop("id", func(l *DayLoad) *Field[string] { return &l.ID }, shape[Field[string]](ids), doc{Meaning: "its name in answers", Example: "id: fridge"}).need(),
		prop("name", func(l *DayLoad) *Field[string] { return &l.Name }, shape[Field[string]](text("name", 60)), doc{Meaning: "what it is, for people", Default: "its id", Example: "name: compressor fridge"}),
		prop("power", func(l *DayLoad) *Field[quantity.Power] { return &l.Power }, shape[Field[quantity.Power]](powers),
			doc{Meaning: "what it takes while it runs, on its own side of the inverter", Default: "that of its part; needed without one", Mistake: "the average over the day, with a duty as well", Example: "power: 55 W"}),
		prop("hours", func(l *DayLoad) *Field[quantity.Duration] { return &l.Hours }, shape[Field[quantity.Duration]](spans),
			doc{Meaning: "how long a day, no matter when; spread evenly over the day, assumed", Default: "by from and to, or by at; else all day", Example: "hours: 4 h"}),
		prop("from", func(l *DayLoad) *Field[Clock] { return &l.From }, shape[Field[Clock]](clocks), doc{Meaning: "clock time at which it begins", Default: "by hours or at", Example: "from: 18:00"}),
		prop("to", func(l *DayLoad) *Field[Clock] { return &l.To }, shape[Field[Clock]](clocks), doc{Meaning: "clock time at which it ends; before from: on the next day", Default: "needed beside from", Example: "to: 22:30"}),
		prop("at", func(l *DayLoad) *[]Field[Clock] { return &l.At }, shape[[]Field[Clock]](listOf[Field[Clock]](clocks, 1, 48)),
			doc{Meaning: "clock times at which it begins, each time for the time of for", Default: "by hours, or from and to", Example: "at: [06:30, 12:00, 18:30]"}),
		prop("for", func(l *DayLoad) *Field[quantity.Duration] { return &l.For }, shape[Field[quantity.Duration]](spans), doc{Meaning: "how long each time of at lasts", Default: "needed beside at", Example: "for: 10 min"}),
		prop("duty", func(l *DayLoad) *Field[quantity.Ratio] { return &l.Duty }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "part of that time in which it really takes its power", Default: "100 %", Example: "duty: 35 %"}),
		prop("bad_duty", func(l *DayLoad) *Field[quantity.Ratio] { return &l.BadDuty }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "the same on a bad day, cold and dark", Default: "as duty", Example: "bad_duty: 60 %"}),
		prop("months", func(l *DayLoad) *[]Field[bank.MonthName] { return &l.Months }, shape[[]Field[bank.MonthName]](listOf[Field[bank.MonthName]](monthNames, 1, 12)),
			doc{Meaning: "months in which it is used", Default: "all", Example: "months: [nov, dec, jan, feb]"}),
		prop("through", func(l *DayLoad) *Field[string] { return &l.Through }, shape[Field[string]](ids), doc{Meaning: "the inverter of parts that feeds it", Default: "it is fed straight from the bank", Example: "through: I1"}),
		prop("part", func(l *DayLoad) *Field[string] { return &l.Part }, shape[Field[string]](ids), doc{Meaning: "the load of parts that it is: its power, its cables", Default: "none; then no cable loss is counted for a load without an inverter", Example: "part: L1"}),
	},
}

var sunKeys = &objectShape[SunField]{
	name: "field of solar panels", title: "sun",
	intro: "Solar panels, for the balance of days. How much sun there is comes from place.",
	place: func(s *SunField, p Pos) { s.Pos = p },
	props: []property[SunField]{
		prop("id", func(s *SunField) *Field[string] { return &s.ID }, shape[Field[string]](ids), doc{Meaning: "its name in answers", Example: "id: roof"}).need(),
		prop("part", func(s *SunField) *Field[string] { return &s.Part }, shape[Field[string]](ids), doc{Meaning: "the solar charger of parts that it feeds", Example: "part: C2"}).need(),
		prop("peak", func(s *SunField) *Field[quantity.Power] { return &s.Peak }, shape[Field[quantity.Power]](powers), doc{Meaning: "its power at 1000 W/m² and 25 °C, all panels together", Example: "peak: 400 W"}).need(),
		prop("tilt", func(s *SunField) *Field[quantity.Angle] { return &s.Tilt }, shape[Field[quantity.Angle]](tilts), doc{Meaning: "from level", Default: "0 °, flat, assumed", Example: "tilt: 10 °"}),
		prop("azimuth", func(s *SunField) *Field[quantity.Angle] { return &s.Azimuth }, shape[Field[quantity.Angle]](azimuths), doc{Meaning: "where a tilted one faces, from north over east: south is 180 °", Default: "towards the equator, assumed", Mistake: "counted from south", Example: "azimuth: 180 °"}),
		prop("mounting", func(s *SunField) *Field[string] { return &s.Mounting }, shape[Field[string]](oneOf("mounting", bank.OnRack, bank.OnRoof, bank.OnBack)),
			doc{Meaning: "how air reaches its back: rack, free; roof, close above one; back, glued on", Default: "roof, assumed", Example: "mounting: roof"}),
		prop("loss", func(s *SunField) *Field[quantity.Ratio] { return &s.Loss }, shape[Field[quantity.Ratio]](losses),
			doc{Meaning: "what of it never reaches the battery side of its controller: dirt, shade, mismatch, wiring, the controller", Default: "14.1 % and 3 % in the controller, assumed", Example: "loss: 15 %"}),
		prop("coefficient", func(s *SunField) *Field[quantity.Ratio] { return &s.Coefficient }, shape[Field[quantity.Ratio]](slopes),
			doc{Meaning: "power lost for each kelvin above 25 °C", Default: "0.4 %, assumed", Mistake: "a minus sign", Example: "coefficient: 0.37 %"}),
	},
}

var mainsKeys = &objectShape[Mains]{
	name: "time on mains", title: "mains",
	intro: "When the mains chargers of parts are plugged in, for the balance of days. What they can take is bounded by inlet and by their own input.",
	place: func(m *Mains, p Pos) { m.Pos = p },
	props: []property[Mains]{
		prop("from", func(m *Mains) *Field[Clock] { return &m.From }, shape[Field[Clock]](clocks), doc{Meaning: "clock time at which it is plugged in", Default: "all day", Example: "from: 20:00"}),
		prop("to", func(m *Mains) *Field[Clock] { return &m.To }, shape[Field[Clock]](clocks), doc{Meaning: "clock time at which it is pulled; before from: on the next day", Default: "needed beside from", Example: "to: 07:00"}),
		prop("days", func(m *Mains) *Field[int] { return &m.Days }, shape[Field[int]](whole("count of days", 1, 7)), doc{Meaning: "days a week; the last ones of the week count", Default: "7", Example: "days: 2"}),
	},
}

var driveKeys = &objectShape[Drive]{
	name: "time of driving", title: "drive",
	intro: "When an engine turns an alternator of parts, for the balance of days.",
	place: func(d *Drive, p Pos) { d.Pos = p },
	props: []property[Drive]{
		prop("part", func(d *Drive) *Field[string] { return &d.Part }, shape[Field[string]](ids), doc{Meaning: "the alternator", Example: "part: A1"}).need(),
		prop("hours", func(d *Drive) *Field[quantity.Duration] { return &d.Hours }, shape[Field[quantity.Duration]](spans), doc{Meaning: "how long on each such day", Example: "hours: 2 h"}).need(),
		prop("from", func(d *Drive) *Field[Clock] { return &d.From }, shape[Field[Clock]](clocks), doc{Meaning: "clock time at which it begins", Default: "09:00, assumed", Example: "from: 08:00"}),
		prop("days", func(d *Drive) *Field[int] { return &d.Days }, shape[Field[int]](whole("count of days", 1, 7)), doc{Meaning: "days a week; the last ones of the week count", Default: "7", Example: "days: 3"}),
	},
}

var daysKeys = &objectShape[DaysAsk]{
	name: "question of days", title: "days",
	intro: "What the balance of days is held against.",
	place: func(d *DaysAsk, p Pos) { d.Pos = p },
	props: []property[DaysAsk]{
		prop("floor", func(d *DaysAsk) *Field[quantity.Ratio] { return &d.Floor }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "state of charge at which the loads are to go off", Default: "the batteries' own floor; else 20 % for lithium, 50 % for lead, assumed", Example: "floor: 20 %"}),
		prop("start", func(d *DaysAsk) *Field[quantity.Ratio] { return &d.Start }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "state of charge with which a week begins", Default: "the batteries' start; else 100 %, assumed", Example: "start: 90 %"}),
		prop("wish", func(d *DaysAsk) *Field[quantity.Duration] { return &d.Wish }, shape[Field[quantity.Duration]](wishes),
			doc{Meaning: "days that it shall last on bad days, one after the other", Default: "3 d, assumed", Example: "wish: 4 d"}),
		prop("dark", func(d *DaysAsk) *Field[quantity.Ratio] { return &d.Dark }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "sun of a bad day, as a part of a mean day's", Default: "20 %, assumed", Example: "dark: 20 %"}),
		prop("kept", func(d *DaysAsk) *Field[quantity.Ratio] { return &d.Kept }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "of the ampere hours put in, the part that comes out again", Default: "the chemistry's, assumed", Example: "kept: 85 %"}),
		prop("tail", func(d *DaysAsk) *Field[quantity.Duration] { return &d.Tail }, shape[Field[quantity.Duration]](tails),
			doc{Meaning: "time constant with which the current falls at the end of a charge", Default: "15 min for lithium, 2 h for lead, assumed", Example: "tail: 2 h"}),
		prop("inverters_off", func(d *DaysAsk) *Field[bool] { return &d.InvertersOff }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "inverters are switched off while nothing runs on them", Default: "false: they idle all day", Example: "inverters_off: true"}),
	},
}
