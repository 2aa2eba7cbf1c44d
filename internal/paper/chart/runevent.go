package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// event is one event with its number and its words.
type event struct {
	report.Event
	number int // from 1, in order of time
	when   string
	words  string
	trip   bool
}

// numbered is how many events have a number; three figures fit no balloon.
const numbered = 99

// collectEvents takes the events in order of time, those without a time last.
func (c *runChart) collectEvents() {
	sorted := slices.Clone(c.r.Events)
	slices.SortStableFunc(sorted, func(a, b report.Event) int { return cmp.Compare(orLast(a.Time), orLast(b.Time)) })
	for i, e := range sorted {
		trip := strings.HasPrefix(e.What, "trip")
		c.events = append(c.events, event{e, i + 1, clock(e.Time), c.happened(e), trip})
	}
}

func orLast(t float64) float64 {
	if !counts(t) {
		return math.Inf(1)
	}
	return t
}

// happened says what happened to which battery.
func (c *runChart) happened(e report.Event) string {
	value, limit := c.measure(e.Because, e.Value), c.measure(e.Because, e.Limit)
	text, side := sheet.Clean(e.Battery)+" ", " "+opens(e.Opens)
	switch e.What {
	case report.Empty:
		text += "empty" + reached(value)
		limit = ""
	case report.Full:
		text += "full" + reached(value)
		limit = ""
	case report.TripCurrent, report.TripVoltage, report.TripTemperature:
		text += "trips, opens" + side + reached(value)
	case report.Reconnect:
		text += "closes" + side + " again" + reached(value)
		limit = ""
	default:
		text += strings.ReplaceAll(sheet.Clean(e.What), "_", " ") + reached(value)
	}
	if limit != "" {
		text += ", limit " + limit
	}
	if e.Assumed {
		text += ", limit assumed"
	}
	return text
}

func opens(side string) string {
	switch side {
	case "both":
		return "both ways"
	case "":
		return "its switch"
	}
	return sheet.Clean(side)
}

func reached(value string) string {
	if value == "" {
		return ""
	}
	return " at " + value
}

// measure prints what an event was judged by, "" where that is no number.
func (c *runChart) measure(because string, v float64) string {
	if !counts(v) {
		return ""
	}
	switch because {
	case "current":
		return figures(v) + " A"
	case "voltage":
		return sheet.Decimal(v, 2) + " V"
	case "temperature":
		return sheet.Signs(c.opt.Show.FormatTemperature(quantity.Temperature(v)))
	case "charge", "floor":
		return figures(max(0, math.Round(1000*v)/10)) + " %" // rounding may leave a little less than none
	}
	return ""
}

// draws says what a case asks for.
func draws(k bank.Case) string {
	v, unit := float64(k.Current), " A"
	if k.ByPower {
		v, unit = float64(k.Power), " W"
	}
	text := ""
	switch {
	case v > 0:
		text = "draw " + figures(v) + unit
	case v < 0:
		text = "charge " + figures(-v) + unit
	case v == 0:
		text = "at rest"
	}
	if k.Origin == source.Assumed {
		text += " (assumed)"
	}
	return text
}

// strip draws the cases over the panels and their ends through them.
func (c *runChart) strip() {
	if len(c.steps) == 0 {
		return
	}
	bottom := c.top()
	if len(c.events) > 0 {
		bottom -= ems(balloonRow, c.text.body)
	}
	row := sheet.Box{X0: c.x.from, X1: c.x.to, Y0: bottom - ems(stripRow, c.text.body), Y1: bottom - ems(0.2*stripRow, c.text.body)}
	edges := sheet.Item{Layer: sheet.Cases}
	drawn := math.Inf(-1)
	for i, s := range c.steps {
		a, b := c.x.at(s.Start), c.x.at(s.End)
		it := sheet.Item{ID: fmt.Sprintf("step%d", i+1), Layer: sheet.Cases, Name: c.stepName(s)}
		it.Rect(sheet.Line(sheet.Ink, sheet.W025).On(sheet.Paper), sheet.Box{X0: a, X1: b, Y0: row.Y0, Y1: row.Y1})
		c.s.Add(it, c.stepWords(it.ID, s, sheet.Box{X0: a, X1: b, Y0: row.Y0, Y1: row.Y1}))
		if i > 0 && a-drawn > 0.5 && a > c.x.from+0.1 && a < c.x.to-0.1 {
			edges.Line(sheet.Line(sheet.Ink, sheet.W018), sheet.Point{X: a, Y: row.Y1}, sheet.Point{X: a, Y: c.bottom().Y1})
			drawn = a
		}
	}
	c.s.Add(edges)
}

func (c *runChart) stepName(s report.RunStep) string {
	text := "case " + sheet.Clean(s.Case.ID) + ", " + draws(s.Case) + fmt.Sprintf(", from %s to %s", clock(s.Start), clock(s.End))
	if why := sheet.Clean(s.Ended); why != "" {
		text += ", ended: " + why
	}
	return text
}

// stepWords sets as much of a case's name and draw as has room in its part of
// the strip, beside the marked time if that runs through it.
func (c *runChart) stepWords(id string, s report.RunStep, box sheet.Box) sheet.Item {
	it := sheet.Item{ID: id, Layer: sheet.Words}
	if c.marked {
		if x := c.x.at(c.opt.At); x > box.X0 && x < box.X1 {
			if x-box.X0 > box.X1-x {
				box.X1 = x
			} else {
				box.X0 = x
			}
		}
	}
	name := sheet.Clean(s.Case.ID)
	width := box.Width() - 1.6
	for _, words := range []string{name + ", " + draws(s.Case), name + ", " + strings.TrimPrefix(draws(s.Case), "draw "), name, sheet.Fit(sheet.Regular, c.text.body, width, name)} {
		if len([]rune(words)) < 2 || sheet.TextWidth(sheet.Regular, c.text.body, words) > width {
			continue
		}
		mid := box.Centre()
		it.Text(sheet.Text{At: sheet.Point{X: mid.X, Y: mid.Y + drop(c.text.body)}, S: words, Size: c.text.body, Role: sheet.Ink, Anchor: sheet.Middle})
		break
	}
	return it
}

// balloon is the number of one event, or of some that stand together.
type balloon struct {
	first, last int // indices of events
	want        float64
	words       string
	width       float64
}

// balloons draws a thin line at every event and its number over the panels.
func (c *runChart) balloons() {
	if len(c.events) == 0 {
		return
	}
	list := c.gather()
	want, size := make([]float64, len(list)), make([]float64, len(list))
	for i, b := range list {
		want[i], size[i] = b.want, b.width
	}
	y := c.top() - ems(balloonRow/2+0.1, c.text.body)
	for i, x := range apart(want, size, c.x.from-2, c.x.to+2) {
		c.balloon(list[i], sheet.Point{X: x, Y: y})
	}
	c.unnumbered(y)
}

// gather makes balloons, one an event while each can stand near its line.
func (c *runChart) gather() []balloon {
	const reach = 9.0 // mm off its line at most
	var list []balloon
	for i, e := range c.events[:min(len(c.events), numbered)] {
		if counts(e.Time) {
			list = append(list, c.join(balloon{first: i, last: i, want: c.x.at(e.Time)}))
		}
	}
	for len(list) > 1 {
		want, size := make([]float64, len(list)), make([]float64, len(list))
		closest, farthest := 1, 0.0
		for i, b := range list {
			want[i], size[i] = b.want, b.width
			if i > 0 && b.want-list[i-1].want < list[closest].want-list[closest-1].want {
				closest = i
			}
		}
		for i, x := range apart(want, size, c.x.from-2, c.x.to+2) {
			farthest = max(farthest, math.Abs(x-want[i]))
		}
		if farthest <= reach {
			break
		}
		a, b := list[closest-1], list[closest]
		n, m := float64(a.last-a.first+1), float64(b.last-b.first+1)
		list[closest-1] = c.join(balloon{first: a.first, last: b.last, want: (float64(a.want*n) + float64(b.want*m)) / (n + m)})
		list = slices.Delete(list, closest, closest+1)
	}
	return list
}

// join gives a balloon its words and width.
func (c *runChart) join(b balloon) balloon {
	b.words = fmt.Sprint(b.first + 1)
	if b.last > b.first {
		b.words = fmt.Sprintf("%d–%d", b.first+1, b.last+1)
	}
	b.width = max(c.balloonHigh(), sheet.TextWidth(sheet.Regular, c.text.fine, b.words)+2) + 0.6
	return b
}

func (c *runChart) balloonHigh() float64 { return ems(1.7, c.text.fine) }

// balloon draws one with the lines of its events.
func (c *runChart) balloon(b balloon, at sheet.Point) {
	low := at.Y + c.balloonHigh()/2
	trip := false
	drawn := math.NaN()
	for i := b.first; i <= b.last; i++ {
		e := c.events[i]
		x := c.x.at(e.Time)
		it := sheet.Item{ID: fmt.Sprintf("event%d", e.number), Layer: sheet.Cases, Name: fmt.Sprintf("event %d, %s, %s", e.number, e.when, e.words)}
		style := sheet.Line(e.role(sheet.Grey), sheet.W018)
		from := sheet.Point{X: x, Y: c.top() + 0.2}
		if x != drawn {
			it.Line(style, sheet.Point{X: at.X, Y: low}, from)
		}
		drawn = x
		it.Line(style, from, sheet.Point{X: x, Y: c.bottom().Y1})
		c.s.Add(it)
		trip = trip || e.trip
	}
	it := sheet.Item{ID: fmt.Sprintf("event%d", b.first+1), Layer: sheet.Words}
	c.glyph(&it, at, b.width-0.6, b.words, trip)
	c.s.Add(it)
}

// role is a colour, that of attention for a trip.
func (e *event) role(otherwise sheet.Role) sheet.Role {
	if e.trip {
		return sheet.Attention
	}
	return otherwise
}

// glyph draws a number in its frame: rounded, or square and coloured for a
// trip.
func (c *runChart) glyph(it *sheet.Item, at sheet.Point, width float64, words string, trip bool) {
	high := c.balloonHigh()
	role := sheet.Ink
	if trip {
		role = sheet.Attention
	}
	style := sheet.Line(role, sheet.W025).On(sheet.Paper)
	if trip {
		it.Rect(style, sheet.Around(at, width, high))
	} else {
		path := sheet.Path{Style: style}
		r := high / 2
		path.Arc(at.Minus(sheet.Point{X: width/2 - r}), r, math.Pi/2, 3*math.Pi/2)
		path.Arc(at.Plus(sheet.Point{X: width/2 - r}), r, -math.Pi/2, math.Pi/2)
		path.Close()
		it.Marks = append(it.Marks, path)
	}
	it.Text(sheet.Text{At: sheet.Point{X: at.X, Y: at.Y + drop(c.text.fine)}, S: words, Size: c.text.fine, Role: role, Anchor: sheet.Middle})
}

// unnumbered marks the events beyond those with a number by short strokes over
// the panels.
func (c *runChart) unnumbered(y float64) {
	it := sheet.Item{Layer: sheet.Cases}
	drawn := math.Inf(-1)
	for _, e := range c.events[min(len(c.events), numbered):] {
		if x := c.x.at(e.Time); counts(e.Time) && x-drawn > 0.3 {
			it.Line(sheet.Line(e.role(sheet.Grey), sheet.W018), sheet.Point{X: x, Y: y}, sheet.Point{X: x, Y: c.top() + 1})
			drawn = x
		}
	}
	c.s.Add(it)
}
