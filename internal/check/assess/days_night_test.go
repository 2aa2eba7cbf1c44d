package assess

import (
	"strings"
	"testing"

	"bankwright/internal/model/bank"
)

// Plugged in from 20:00 to 07:00 on two days of the week, the sixth and the
// seventh: the night after the seventh runs into the first day, and the morning
// of the sixth has nothing yet.
func TestOverMidnight(t *testing.T) {
	const hour = 3600
	spans := []bank.Span{{From: 20 * hour, To: 24 * hour}, {From: 0, To: 7 * hour}}
	var on []int
	for day := range 7 {
		for h := range 24 {
			if new(dayTable).on(day, h, 2, spans) > 0 {
				on = append(on, day*24+h)
			}
		}
	}
	if len(on) != 2*11 {
		t.Fatalf("%d hours: %v", len(on), on)
	}
	if on[0] != 0 || on[6] != 6 || on[7] != 5*24+20 || on[len(on)-1] != 6*24+23 {
		t.Errorf("hours of the week: %v", on)
	}
	// A span that ends in the day is that day's, also from midnight on.
	if f := new(dayTable).on(6, 3, 1, []bank.Span{{From: 0, To: 7 * hour}}); f != 1 {
		t.Errorf("%g of an hour", f)
	}
	if f := new(dayTable).on(5, 3, 1, []bank.Span{{From: 0, To: 7 * hour}}); f != 0 {
		t.Errorf("%g of an hour of the day before", f)
	}
}

// Days that differ become sequences of their own; an hour of nothing is rest,
// not zero power, and the job with them is read and run.
func TestDayCasesOfAWeek(t *testing.T) {
	text := strings.Replace(daysJob, "cases: [{id: rest, draw: 0 A}]\n", "", 1) + "loads: [{id: b, part: L2, from: 18:00, to: 22:00}]\nmains: {from: 23:00, to: 03:00, days: 2}\n"
	j, d := daysOf(t, text)
	more, err := j.DayCases(d, 3)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(more, "draw: 0 A") || strings.Contains(more, " 0 W") || !strings.Contains(more, "id: apr-typicalb") {
		t.Errorf("%s", more)
	}
	k, err := Load("job.yaml", []byte(text+more))
	if err != nil {
		t.Fatalf("%v\n%s", err, more)
	}
	for _, id := range []string{"apr-typical", "apr-typicalb"} {
		if _, err := k.Run(id, RunOptions{}); err != nil {
			t.Error(err)
		}
	}
}
