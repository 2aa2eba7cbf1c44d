package assemble

import (
	"math"
	"os"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
)

func daysBank(t *testing.T, pairs ...string) *bank.Bank {
	t.Helper()
	src, err := os.ReadFile("../job/testdata/good/days.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(src)
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(text, pairs[n]) {
			t.Fatalf("the sample lacks %q", pairs[n])
		}
		text = strings.Replace(text, pairs[n], pairs[n+1], 1)
	}
	b, _, err := Read("days.yaml", []byte(text), catalog.Default())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Everything that the sample gives comes through as given.
func TestDaysGiven(t *testing.T) {
	d := daysBank(t).Days
	for name, origin := range map[string]source.Origin{"floor": d.Floor.Origin, "start": d.Start.Origin, "wish": d.Wish.Origin, "dark": d.Dark.Origin, "kept": d.Kept.Origin, "tail": d.Tail.Origin,
		"tilt": d.Sun[0].Tilt.Origin, "azimuth": d.Sun[0].Azimuth.Origin, "mounting": d.Sun[0].Mounting.Origin, "loss": d.Sun[0].Loss.Origin, "coefficient": d.Sun[0].Coefficient.Origin, "from": d.Drive.From.Origin, "power": d.Loads[1].Power.Origin} {
		if origin != source.Given {
			t.Errorf("%s is %q", name, origin)
		}
	}
	if len(d.Loads) != 4 || d.Loads[0].Power.V != 60 || d.Loads[0].Name != "compressor fridge" || d.Loads[1].Name != "kettle" || d.Mains.Days != 2 || d.Drive.Days != 5 || !d.InvertersOff {
		t.Errorf("%+v", d)
	}
	// Lamps from 18:00 to 1:30 in four months: seven hours and a half.
	sum, months := 0.0, 0
	for _, s := range d.Loads[2].Spans {
		sum += s.To - s.From
	}
	for _, on := range d.Loads[2].Months {
		if on {
			months++
		}
	}
	if sum != 7.5*3600 || months != 4 || !d.Loads[2].Months[0] || d.Loads[2].Months[5] {
		t.Errorf("%g h in %d months", sum/3600, months)
	}
	if float64(d.Loads[0].BadDuty) != 0.4 || d.Loads[1].BadDuty != 1 || !d.Loads[3].Hours.Known() || d.Loads[3].Spans != nil {
		t.Errorf("%+v", d.Loads)
	}
	if math.Abs(float64(d.Sun[0].Azimuth.V)-170*math.Pi/180) > 1e-12 {
		t.Errorf("%v", d.Sun[0].Azimuth.V)
	}
}

// What the job leaves out is assumed, by the chemistry, or is what the batteries
// have of their own.
func TestDaysAssumed(t *testing.T) {
	const ask = "days: {floor: 20 %, start: 90 %, wish: 4 d, dark: 20 %, kept: 99 %, tail: 12 min, inverters_off: true}\n"
	for _, c := range []struct {
		name         string
		pairs        []string
		floor, start float64
		tail         float64
		origin       source.Origin
	}{
		{"lithium", nil, 0.2, 1, 900, source.Assumed},
		{"lead", []string{"chemistry: lfp", "chemistry: agm"}, 0.5, 1, 7200, source.Assumed},
		{"its own", []string{"capacity: 100 Ah}", "capacity: 100 Ah, limits: {floor: 12 %}}", "type: block100}", "type: block100, start: 80 %}"}, 0.12, 0.8, 900, source.Given},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := daysBank(t, append([]string{ask, ""}, c.pairs...)...).Days
			if math.Abs(float64(d.Floor.V)-c.floor) > 1e-12 || math.Abs(float64(d.Start.V)-c.start) > 1e-12 || float64(d.Tail.V) != c.tail {
				t.Errorf("floor %v, start %v, tail %v", d.Floor.V, d.Start.V, d.Tail.V)
			}
			if d.Floor.Origin != c.origin || d.Start.Origin != c.origin || d.Wish.Origin != source.Assumed || d.Kept.Known() {
				t.Errorf("%+v", d)
			}
		})
	}
	d := daysBank(t, ", tilt: 10 °, azimuth: 170 °, mounting: roof, loss: 15 %, coefficient: 0.37 %", "", "mains: {from: 20:00, to: 07:00, days: 2}", "mains: {}", ", from: 08:00, days: 5", "").Days
	// 1 − (1 − 0.140757)·(1 − 0.03): the reference's default list and 3 %.
	if f := d.Sun[0]; f.Tilt.V != 0 || f.Azimuth.Known() || f.Mounting.V != bank.OnRoof || math.Abs(float64(f.Loss.V)-(1-(1-0.140757)*0.97)) > 1e-6 || f.Loss.Origin != source.Assumed || f.Loss.Ref.Check() != nil {
		t.Errorf("%+v", f)
	}
	if d.Mains.Days != 7 || d.Mains.Spans[0] != (bank.Span{From: 0, To: 86400}) || d.Drive.From.V != 9*3600 || d.Drive.From.Origin != source.Assumed || d.Drive.Days != 7 {
		t.Errorf("%+v %+v", d.Mains, d.Drive)
	}
}

func TestEndless(t *testing.T) {
	for _, c := range []struct {
		from, hours float64
		want        int // spans
	}{{8, 2, 1}, {23, 2, 2}, {22, 2, 1}, {0, 24, 1}, {5, 30, 1}, {24, 1, 1}, {3, 0, 0}} {
		sum := 0.0
		all := endless(c.from*3600, c.hours*3600)
		for _, s := range all {
			sum += s.To - s.From
		}
		if len(all) != c.want || sum != min(24, c.hours)*3600 {
			t.Errorf("%g h from %g:00: %v", c.hours, c.from, all)
		}
	}
}
