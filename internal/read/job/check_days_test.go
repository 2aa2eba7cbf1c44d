package job

import (
	"strings"
	"testing"
)

// daysPair is the good pair with an inverter, a load, a charger, panels and an
// alternator among its parts, and a balance of days.
var daysPair = swap("  - {id: S1, kind: stud}\n", `  - {id: S1, kind: stud}
  - {id: I1, kind: inverter, power: 1 kW}
  - {id: L1, kind: load, current: 5 A}
  - {id: L2, kind: load}
  - {id: C1, kind: charger, current: 30 A, voltage: 14.2 V}
  - {id: C2, kind: solar, current: 20 A}
  - {id: A1, kind: alternator, current: 90 A}
loads:
  - {id: fridge, part: L1, duty: 35 %}
  - {id: lamps, power: 20 W, from: 18:00, to: 01:30, months: [nov, dec]}
  - {id: kettle, power: 900 W, at: [06:30, 18:30], for: 5 min, through: I1}
sun: [{id: roof, part: C2, peak: 300 W}]
mains: {from: 20:00, to: 07:00, days: 2}
drive: {part: A1, hours: 2 h}
days: {floor: 20 %, start: 90 %}
`)

func TestDaysFaults(t *testing.T) {
	if _, err := Read("job.yaml", []byte(daysPair)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, now, words string }{
		{"more than a day", "{id: fridge, part: L1, duty: 35 %}", "{id: fridge, part: L1, hours: §25 h}", "a day has no more"},
		{"a day exactly and a bit", "to: 01:30", "to: §24:01", `"24:01" is no clock time: 00:00 to 24:00, as in 18:30`},
		{"clock with a unit", "from: 18:00", "from: §18 h", "is no clock time"},
		{"clock of sixty minutes", "from: 18:00", "from: §18:60", "is no clock time"},
		{"no end", ", to: 01:30", "", "from needs to"},
		{"equal clocks", "to: 01:30", "to: §18:00", "from and to are the same"},
		{"said twice", "{id: lamps, power: 20 W,", "§{id: lamps, power: 20 W, hours: 2 h,", "when lamps runs is said twice"},
		{"at without for", ", for: 5 min", "", "at needs for"},
		{"for without at", "at: [06:30, 18:30], for: 5 min", "for: §5 min", "for needs at"},
		{"too many times", "for: 5 min", "for: §13 h", "2 times of this are more than the 24 h of a day"},
		{"no power", "{id: lamps, power: 20 W,", "§{id: lamps,", "lamps needs its power"},
		{"part without power", "part: L1", "part: L2", "fridge needs its power"},
		{"through a charger", "through: I1", "through: §C1", "C1 is a charger, not an inverter"},
		{"through nothing", "through: I1", "through: §I9", "there is no part I9"},
		{"both", "through: I1", "through: I1, part: §L1", "not both"},
		{"no month", "months: [nov, dec]", "months: [§brumaire]", "is not a month: jan"},
		{"a month twice", "months: [nov, dec]", "months: [nov, §nov]", "nov stands twice"},
		{"duty over one", "duty: 35 %", "duty: §135 %", "0 % to 100 %"},
		{"panels on a charger", "part: C2", "part: §C1", "C1 is a charger, not a solar charger"},
		{"tilted beyond upright", "peak: 300 W", "peak: 300 W, tilt: §95 °", "90 °, upright"},
		{"no panels", "peak: 300 W", "peak: §0 W", "peak must be above 0 W"},
		{"eight days", "days: 2}", "days: §8}", "a whole number from 1 to 7"},
		{"no alternator", "drive: {part: A1", "drive: {part: §C1", "C1 is a charger, not an alternator"},
		{"a drive of 25 h", "hours: 2 h}", "hours: §25 h}", "a day has no more"},
		{"nothing to use", "floor: 20 %", "floor: §100 %", "leaves nothing to use"},
		{"start below floor", "start: 90 %", "start: §10 %", "start lies below floor"},
		{"an ID twice", "{id: lamps,", "{id: §fridge,", "the ID fridge is used twice"},
		{"no mains charger", "kind: charger, current: 30 A, voltage: 14.2 V", "kind: solar, current: 30 A, voltage: 14.2 V", "the job has no mains charger"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Count(daysPair, c.old) != 1 {
				t.Fatalf("%q is not there once", c.old)
			}
			src, places := unmark(strings.Replace(daysPair, c.old, c.now, 1))
			if places == nil { // the place is the entry, which other rows show
				_, err := Read("job.yaml", []byte(src))
				if err == nil || !strings.Contains(err.Error(), c.words) || strings.Count(err.Error(), "\n") > 0 {
					t.Fatalf("%v", err)
				}
				return
			}
			checkFaults(t, src, places, []string{c.words})
		})
	}
}

// Days without loads have nothing to be held against.
func TestDaysWithoutLoads(t *testing.T) {
	src, places := unmark(add("days: §{floor: 20 %}\n"))
	checkFaults(t, src, places, []string{"days needs something to hold against"})
}

func TestClock(t *testing.T) {
	for text, want := range map[string]float64{"0:00": 0, "06:30": 23400, "6:30": 23400, "23:59": 86340, "24:00": 86400} {
		if got, err := parseClock(text); err != nil || float64(got) != want {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "6", "630", "06.30", "-6:30", "006:30", "24:01", "6:3", "6:300", "a6:30", "+6:30"} {
		if got, err := parseClock(text); err == nil {
			t.Errorf("%q is %v", text, got)
		}
	}
}
