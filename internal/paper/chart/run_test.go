package chart

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// still is options without a marked time.
var still = RunOptions{At: nan}

// right fails the test where text meets text or leaves the sheet, or where a
// mark does.
func right(t *testing.T, s *sheet.Sheet) {
	t.Helper()
	if wrong := s.Misplaced(); wrong != nil {
		t.Error(strings.Join(wrong, "\n"))
	}
	edge := sheet.Box{X1: s.Width, Y1: s.Height}
	for _, it := range s.Items {
		for _, m := range it.Marks {
			if b := m.Box(); !edge.Contains(b) {
				t.Errorf("a %T of %q reaches over the edge: %.2f of %.0f by %.0f", m, it.ID, b, s.Width, s.Height)
			}
		}
	}
	bytesOf(t, s) // fails where a mark has no finite place
}

// texts lists what is set on a sheet for an item, all items for "*".
func texts(s *sheet.Sheet, id string) []string {
	var list []string
	for _, it := range s.Items {
		for _, m := range it.Marks {
			if x, ok := m.(sheet.Text); ok && (id == "*" || it.ID == id) {
				list = append(list, x.S)
			}
		}
	}
	return list
}

func says(s *sheet.Sheet, words string) bool {
	return slices.ContainsFunc(texts(s, "*"), func(x string) bool { return strings.Contains(x, words) })
}

// names lists the names of an item's parts.
func names(s *sheet.Sheet, id string) []string {
	var list []string
	for _, it := range s.Items {
		if it.ID == id && it.Name != "" {
			list = append(list, it.Name)
		}
	}
	return list
}

// kindsOf are the sizes and kinds in which every run must be readable.
func kindsOf(r *report.Run) map[string]RunOptions {
	first, last := RunSpan(r)
	id := ""
	if len(r.Batteries) > 0 {
		id = r.Batteries[len(r.Batteries)/2].ID
	}
	return map[string]RunOptions{
		"plain":       {At: nan, Title: "Through the hours"},
		"marked":      {At: first + 0.4*(last-first), Emphasise: id},
		"at its end":  {At: last},
		"at its head": {At: first, Small: true},
		"phone":       {At: nan, Small: true, Title: "Through the hours", Show: quantity.Show{Temperature: "°F"}},
		"framed":      {At: nan, Frame: &sheet.TitleBlock{Title: "Run"}, Title: "Run"},
		"framed 2":    {At: last / 2, Frame: &sheet.TitleBlock{}, Width: 190, Height: 260},
		"too small":   {At: last / 2, Width: 10, Height: 10},
		"wide":        {At: nan, Width: 400, Height: 150},
	}
}

func TestLetteringOfRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	for round, n := range []int{1, 2, 4, 6, 11, 16, 17, 40} {
		r := discharge(made{batteries: n, every: 240, draw: 45 * float64(n), capacity: 360000, uneven: rng.Float64() / 3, hours: 1 + 11*rng.Float64(), warm: 8 * rng.Float64()})
		for i := range rng.IntN(40) {
			r.Events = append(r.Events, report.Event{Time: rng.Float64() * r.Time[len(r.Time)-1], Battery: r.Batteries[i%n].ID, What: report.TripVoltage, Opens: "charge", Because: "voltage", Value: 14.81, Limit: 14.6})
		}
		for kind, opt := range kindsOf(r) {
			t.Run(fmt.Sprintf("%d of %d, %s", round, n, kind), func(t *testing.T) {
				s := Run(r, opt)
				right(t, s)
				if bytesOf(t, s) != bytesOf(t, Run(r, opt)) {
					t.Error("drawn twice, the bytes differ")
				}
			})
		}
	}
}

func TestTheTitleBlockStaysFree(t *testing.T) {
	for _, opt := range []RunOptions{{At: nan}, {At: 9000}, {At: nan, Width: 190, Height: 270}, {At: nan, Small: true}} {
		opt.Frame = &sheet.TitleBlock{Title: "Currents", Sheet: "23"}
		s := Run(six(), opt)
		var block sheet.Box
		for _, it := range s.Items {
			if it.Layer != sheet.Ground {
				continue
			}
			for _, m := range it.Marks {
				if x, ok := m.(sheet.Text); ok && x.S == "title" {
					block = sheet.Box{X0: x.At.X - 1, Y0: x.At.Y - 2, X1: s.Width - 9, Y1: s.Height - 9}
				}
			}
		}
		if block == (sheet.Box{}) {
			t.Fatal("no title block")
		}
		for _, it := range s.Items {
			for _, m := range it.Marks {
				if it.Layer != sheet.Ground && m.Box().Overlaps(block) {
					t.Errorf("%.0f mm wide: a %T of %q lies over the title block", s.Width, m, it.ID)
				}
			}
		}
	}
}

func TestEveryThingHasItsID(t *testing.T) {
	r := four()
	s := Run(r, RunOptions{At: 3000})
	lines := map[string]int{}
	for _, it := range s.Items {
		if it.Layer == sheet.Conductors {
			lines[it.ID]++
		}
	}
	for _, b := range r.Batteries {
		if lines[b.ID] != 4 {
			t.Errorf("%s has %d lines, want one in each of four panels", b.ID, lines[b.ID])
		}
	}
	if lines["takeoff"] != 1 {
		t.Errorf("the take-off has %d lines, want one", lines["takeoff"])
	}
	for id, want := range map[string]string{
		"event1": "event 1, 1 h 43 min, B1 empty at 9.9 %, limit assumed", "event3": "event 3, 1 h 47 min, B1 trips, opens both ways at 212.4 A, limit 200 A",
		"step1": "case evening, draw 180 A, from 0 to 1 h 47 min, ended: bank out", "step2": "case shore, charge 90 A (assumed), from 1 h 47 min to 4 h, ended: time",
		"at": "values at 50 min", "panel-charge": "state of charge over time, 9.6 to 95.0 %",
	} {
		if got := names(s, id); !slices.Contains(got, want) {
			t.Errorf("%s is named %q, want %q", id, got, want)
		}
	}
	// The closed form: 180/4·(1 + 0.18·e^(−3000/5400)) A.
	want := fmt.Sprintf("at 50 min %.1f", 45*(1+0.18*math.Exp(-3000.0/5400)))
	if got := names(s, "B1"); len(got) != 4 || !strings.HasSuffix(got[0], want) {
		t.Errorf("B1 is named %q, want an end in %q", got, want)
	}
}

func TestEventsAreListedInOrder(t *testing.T) {
	r := four()
	r.Events = append(r.Events, report.Event{Time: 600, Battery: "B4", What: report.Reconnect, Opens: "discharge", Because: "voltage", Value: 13.2},
		report.Event{Time: nan, Battery: "B4", What: report.Full, Because: "charge", Value: 1})
	want := []string{"10 min B4 closes discharge again at 13.20 V", "1 h 43 min B1 empty at 9.9 %, limit assumed", "1 h 47 min B2 empty at 9.6 %",
		"1 h 47 min B1 trips, opens both ways at 212.4 A, limit 200 A", "– B4 full at 100 %"}
	for _, opt := range []RunOptions{still, {At: nan, Small: true}} {
		s := Run(r, opt)
		low := 0.0
		for i, w := range want {
			id := fmt.Sprintf("event%d", i+1)
			var said []string
			var at sheet.Point
			for _, it := range s.Items {
				for _, m := range it.Marks {
					// The last with the number is the list's; the one before is the balloon's.
					if x, ok := m.(sheet.Text); ok && it.ID == id {
						if x.S == fmt.Sprint(i+1) {
							at, said = x.At, nil
						} else {
							said = append(said, x.S)
						}
					}
				}
			}
			if got := strings.Join(said, " "); got != w {
				t.Errorf("%s is listed as %q, want %q", id, got, w)
			}
			// Five events stand in two columns on a wide sheet, the fourth on top.
			if wide := !opt.Small && i == 3; at.Y <= low && !wide {
				t.Errorf("%s is listed at %.0f mm, above the one before at %.0f", id, at.Y, low)
			}
			low = at.Y
		}
	}
}

func TestWhatHappened(t *testing.T) {
	c := newRunChart(nil, RunOptions{Show: quantity.Show{Temperature: "°F"}})
	for want, e := range map[string]report.Event{
		"B1 empty at 10.00 V": {What: report.Empty, Because: "voltage", Value: 10, Limit: 10, Opens: "discharge"},
		"B1 full at 100 %":    {What: report.Full, Because: "charge", Value: 1, Limit: 1, Opens: "charge"},
		"B1 trips, opens charge at 14.72 V, limit 14.60 V, limit assumed": {What: report.TripVoltage, Because: "voltage", Value: 14.72, Limit: 14.6, Opens: "charge", Assumed: true},
		"B1 trips, opens both ways at −4 °F, limit 32 °F":                 {What: report.TripTemperature, Because: "temperature", Value: 253.15, Limit: 273.15, Opens: "both"},
		"B1 closes discharge again":                                       {What: report.Reconnect, Because: "time", Value: 900, Limit: 900, Opens: "discharge"},
		"B1 trips, opens its switch":                                      {What: report.TripCurrent, Because: "current", Value: nan, Limit: nan},
	} {
		e.Battery = "B1"
		if got := c.happened(e); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for want, k := range map[string]bank.Case{
		"draw 180 A": {Current: 180}, "charge 1500 W (assumed)": {Power: -1500, ByPower: true, Origin: "assumed"}, "at rest": {}, "": {Current: quantity.Current(nan)},
	} {
		if got := draws(k); got != want {
			t.Errorf("case %q, want %q", got, want)
		}
	}
}

// rows makes a run of n batteries whose numbers come from a function of
// battery and sample.
func rows(n, samples int, every float64, of func(b, k int) float64) *report.Run {
	r := &report.Run{ID: "made up"}
	for k := range samples {
		r.Time = append(r.Time, float64(k)*every)
		r.Voltage = append(r.Voltage, 13)
		r.Current = append(r.Current, 100)
	}
	for b := range n {
		one := report.BatteryRun{ID: fmt.Sprintf("B%d", b+1)}
		for k := range samples {
			v := of(b, k)
			one.Current, one.Charge = append(one.Current, v), append(one.Charge, 0.5+v/1000)
			one.Voltage, one.Temperature = append(one.Voltage, 12+v/100), append(one.Temperature, 290+v)
		}
		r.Batteries = append(r.Batteries, one)
	}
	return r
}

func TestPoorRuns(t *testing.T) {
	flat := func(int, int) float64 { return 30 }
	all := func(v float64) *report.Run { return rows(3, 5, 60, func(int, int) float64 { return v }) }
	short := rows(2, 9, 60, flat)
	short.Batteries[1].Current = short.Batteries[1].Current[:3]
	short.Batteries[0].Voltage = nil
	noTime := rows(2, 3, nan, flat)
	hostile := rows(3, 4, 60, flat)
	bad := `</text><script>x</script>"&` + "\u202e" + strings.Repeat("long ", 80)
	hostile.ID, hostile.Ended, hostile.Batteries[1].ID = bad, bad, bad
	hostile.Steps = []report.RunStep{{Case: bank.Case{ID: bad, Current: 4}, End: 100, Ended: bad}}
	hostile.Events = []report.Event{{Time: 30, Battery: bad, What: bad, Because: bad, Opens: bad}}
	mixed := rows(3, 40, 60, func(b, k int) float64 {
		if b == 1 || k%7 == 3 {
			return nan
		}
		return float64(b + k)
	})
	for name, row := range map[string]struct {
		r    *report.Run
		want string
	}{
		"nil":           {nil, "Nothing to draw"},
		"empty":         {&report.Run{}, "Nothing to draw"},
		"no batteries":  {rows(0, 5, 60, flat), "take-off"},
		"one sample":    {rows(2, 1, 60, flat), "B1 B2"},
		"one battery":   {rows(1, 5, 60, flat), "B1"},
		"NaN":           {all(nan), "battery current: no number in this run"},
		"infinite":      {all(math.Inf(1)), "battery current: no number in this run"},
		"huge":          {all(1e300), "battery current: no number in this run"},
		"large":         {all(9e11), "all 3"},
		"tiny":          {all(1e-300), "all 3"},
		"uneven series": {short, "B2"},
		"no time":       {noTime, "Nothing to draw"},
		"gaps":          {mixed, "no number for B2"},
		"hostile":       {hostile, "B1"},
		"equal lines":   {rows(6, 50, 60, flat), "all 6"},
		"many equal":    {rows(40, 50, 60, flat), "least B1"},
	} {
		for kind, opt := range kindsOf(orEmpty(row.r)) {
			t.Run(name+", "+kind, func(t *testing.T) {
				s := Run(row.r, opt)
				right(t, s)
				// A phone breaks lines where it must.
				if all := strings.Join(texts(s, "*"), " "); opt.Emphasise == "" && !strings.Contains(all, row.want) {
					t.Errorf("%q is not said: %q", row.want, all)
				}
				d := xml.NewDecoder(strings.NewReader(bytesOf(t, s)))
				for {
					tok, err := d.Token()
					if err == io.EOF {
						break
					}
					if err != nil {
						t.Fatal(err)
					}
					if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "script" {
						t.Error("a script got in")
					}
				}
			})
		}
	}
}

func orEmpty(r *report.Run) *report.Run {
	if r == nil {
		return &report.Run{}
	}
	return r
}

func TestTemperaturesThatStayAreLeftOut(t *testing.T) {
	for _, row := range []struct {
		move, want float64
		show, said string
	}{
		{0.49, 3, "", "none moves by 0.5 °C"}, {0.49, 3, "°F", "none moves by 0.9 °F"}, {0.51, 4, "", "battery temperature, °C"}, {0.51, 4, "K", "battery temperature, K"},
	} {
		r := rows(2, 20, 60, func(b, k int) float64 { return float64(b) + row.move*float64(k)/19 })
		s := Run(r, RunOptions{At: nan, Show: quantity.Show{Temperature: row.show}})
		panels := 0
		for _, it := range s.Items {
			if strings.HasPrefix(it.ID, "panel-") {
				panels++
			}
		}
		if float64(panels) != row.want || !says(s, row.said) {
			t.Errorf("moved by %g K: %d panels, want %g and %q", row.move, panels, row.want, row.said)
		}
	}
	f := Run(rows(1, 3, 60, func(_, k int) float64 { return float64(8 * k) }), RunOptions{At: 0, Show: quantity.Show{Temperature: "degF"}})
	if !says(f, "62.3") { // 290 K = 16.85 °C = 62.33 °F
		t.Errorf("290 K is not read off as 62.3 °F: %q", texts(f, "B1"))
	}
}

func TestAssumedIsSaid(t *testing.T) {
	for _, row := range []struct {
		assumed []int
		want    string
	}{{nil, ""}, {[]int{1, 3}, "assumed: values in the model of B2, B4"}, {[]int{0, 1, 2, 3}, "assumed: values in the models of all batteries"}} {
		r := four()
		for _, i := range row.assumed {
			r.Batteries[i].Assumed = true
		}
		got := ""
		for _, x := range Run(r, still).Texts() {
			if strings.HasPrefix(x.S, "assumed") && x.Role == sheet.Attention {
				got = x.S
			}
		}
		if got != row.want {
			t.Errorf("%v: %q, want %q", row.assumed, got, row.want)
		}
	}
}

func TestManyEventsAreCounted(t *testing.T) {
	r := rows(2, 100, 60, func(b, k int) float64 { return float64(b*k) / 9 })
	for i := range 300 {
		r.Events = append(r.Events, report.Event{Time: float64(20 * i), Battery: "B1", What: report.Reconnect, Because: "time", Opens: "charge"})
	}
	for kind, opt := range kindsOf(r) {
		s := Run(r, opt)
		right(t, s)
		listed := 0
		for _, x := range texts(s, "*") {
			if strings.HasPrefix(x, "B1 closes charge again") {
				listed++
			}
		}
		if want := fmt.Sprintf("%d more events", 300-listed); !says(s, want) {
			t.Errorf("%s: %d are listed, but %q is not said", kind, listed, want)
		}
	}
}

func TestRunSpan(t *testing.T) {
	for name, row := range map[string]struct {
		r           *report.Run
		first, last float64
	}{
		"nil":     {nil, 0, 1},
		"samples": {&report.Run{Time: []float64{5, 9}}, 5, 9},
		"cases":   {&report.Run{Time: []float64{0, 60}, Steps: []report.RunStep{{End: 90}}, Events: []report.Event{{Time: 95}, {Time: nan}}}, 0, 95},
		"instant": {&report.Run{Time: []float64{3}}, 3, 4},
	} {
		if first, last := RunSpan(row.r); first != row.first || last != row.last {
			t.Errorf("%s: %g to %g, want %g to %g", name, first, last, row.first, row.last)
		}
	}
}
