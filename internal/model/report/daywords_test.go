package report

import (
	"math"
	"strings"
	"testing"
)

func TestDayWords(t *testing.T) {
	for day, want := range map[int]string{1: "1 January", 31: "31 January", 32: "1 February", 59: "28 February", 60: "1 March", 365: "31 December", 366: "day 1 after the year"} {
		if got := DayWords(day); got != want {
			t.Errorf("%d: %s, want %s", day, got, want)
		}
	}
}

func TestDryWords(t *testing.T) {
	d := &Days{Dry: []DaySpan{{1, 1}, {32, 34}}}
	if got := DryWords(d); got != "1 January, 1 February to 3 February" || DryDays(d) != 4 {
		t.Errorf("%s, %d", got, DryDays(d))
	}
	for n := range 6 {
		d.Dry = append(d.Dry, DaySpan{100 + 10*n, 101 + 10*n})
	}
	if got := DryWords(d); !strings.HasSuffix(got, ", and 4 times more") || DryDays(d) != 16 {
		t.Errorf("%s, %d", got, DryDays(d))
	}
}

func TestLastsWords(t *testing.T) {
	for s, want := range map[float64]string{3600: "1 h", 47.4 * 3600: "47 h", 2 * 86400: "2.0 days", 1e6: "11.6 days", math.Inf(1): "more than 60 days"} {
		if got := LastsWords(s); got != want {
			t.Errorf("%g: %s, want %s", s, got, want)
		}
	}
}

// The hardest month is the one whose bad days are over first; where none are,
// the one that asks most beyond what it is offered.
func TestHardestMonth(t *testing.T) {
	d := &Days{Sources: []DaySource{{}}}
	for m := range d.Months {
		d.Months[m].Bad.Reaches, d.Months[m].NoSun = math.Inf(1), math.Inf(1)
		d.Months[m].Bad.Loads, d.Months[m].Bad.Offered = 100, []float64{50}
	}
	d.Months[3].Bad.Offered[0] = 20
	if HardestMonth(d) != 3 || !strings.Contains(DaysHeading(d), "within 60 days in any month") {
		t.Errorf("%d: %s", HardestMonth(d), DaysHeading(d))
	}
	d.Months[8].NoSun = 5e5
	if HardestMonth(d) != 8 {
		t.Errorf("%d", HardestMonth(d))
	}
	d.Months[10].Bad.Reaches = 4e5
	if HardestMonth(d) != 10 || !strings.Contains(DaysHeading(d), "soonest in November: after 4.6 days") {
		t.Errorf("%d: %s", HardestMonth(d), DaysHeading(d))
	}
	for _, c := range []struct {
		dry  []DaySpan
		says string
	}{{nil, "carries the loads all year"}, {[]DaySpan{{1, 365}}, "on every day of the year"}, {[]DaySpan{{1, 2}}, "on 2 days of the year: 1 January to 2 January"}} {
		if d.Dry = c.dry; !strings.Contains(DaysHeading(d), c.says) {
			t.Errorf("%s does not say %q", DaysHeading(d), c.says)
		}
	}
	if d.Sources = nil; !strings.Contains(DaysHeading(d), "has no source") {
		t.Error(DaysHeading(d))
	}
}

func TestStopWords(t *testing.T) {
	for _, c := range []struct {
		stop DayStop
		says string
	}{
		{DayStop{ID: "floor", Charge: 0.2, Volts: math.NaN()}, "the floor, at 20 %"},
		{DayStop{ID: "I1", Charge: -1, Volts: 10.5}, "I1 does not stop by its cut-out of 10.5 V"},
		{DayStop{ID: "I1", Charge: 1, Volts: 10.5, Amps: 200}, "stops even with a full bank: its 200 A bring"},
		{DayStop{ID: "I1", Charge: 0.34, Volts: 10.5, Amps: 200, Surge: true}, "I1, at 34 %: its 200 A of surge bring"},
	} {
		if got := StopWords(&c.stop); !strings.Contains(got, c.says) {
			t.Errorf("%s does not say %q", got, c.says)
		}
	}
	if got := FullWords(&DayFull{Source: "sun", In: "dec", Amps: math.NaN(), Whole: math.Inf(1)}); got != "sun in dec: not within 60 days" {
		t.Error(got)
	}
	if got := FullWords(&DayFull{Source: "C1", Amps: 30, Whole: 7200, Tail: 1800}); got != "C1 at 30.0 A: 2.0 h, of which 0.5 h in the tail" {
		t.Error(got)
	}
}
