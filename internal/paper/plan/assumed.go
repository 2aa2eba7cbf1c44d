package plan

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/paper/sheet"
)

// claims gathers assumed values: what was assumed, and for which things.
type claims struct {
	what []string
	of   map[string][]string
}

func (c *claims) add(what, id string) {
	if c.of == nil {
		c.of = map[string][]string{}
	}
	if c.of[what] == nil {
		c.what = append(c.what, what)
	}
	if ids := c.of[what]; len(ids) == 0 || ids[len(ids)-1] != id {
		c.of[what] = append(ids, id)
	}
}

// text says them all, naming the things unless they are all of their kind.
func (c *claims) text(kind string, all int) []string {
	var parts []string
	for _, what := range c.what {
		ids := c.of[what]
		switch {
		case kind == "":
			parts = append(parts, what)
		case len(ids) == all && all > 1:
			parts = append(parts, what+" of every "+kind)
		default:
			parts = append(parts, what+" of "+list(ids))
		}
	}
	return parts
}

// assumed says which values behind the drawing nobody gave.
func (d *drawing) assumed() string {
	parts := d.assumedBatteries()
	if d.opt.Wiring == nil {
		parts = append(parts, d.assumedCables()...)
	} else {
		parts = append(parts, d.assumedQuestion()...)
	}
	if c := d.report.Sharing.Case; d.live && d.opt.Wiring == nil {
		if c.CableTemperature.Origin == source.Assumed {
			parts = append(parts, "cables at "+d.bank.Show.FormatTemperature(c.CableTemperature.V))
		}
		if c.Origin == source.Assumed {
			parts = append(parts, "the case "+sheet.Clean(c.ID))
		}
	}
	return strings.Join(append(parts, d.assumedRouting()...), "; ")
}

func (d *drawing) assumedBatteries() []string {
	var c claims
	for i := range d.bank.Batteries {
		b := &d.bank.Batteries[i]
		note(&c, "resistance", b.Resistance, 2, b.ID)
		note(&c, "open-circuit voltage", b.EMF, 4, b.ID)
		note(&c, "capacity", b.Capacity, 3, b.ID)
		if b.Start.Origin == source.Assumed && b.EMF.Origin != source.Given {
			c.add("start at "+quantity.Format(b.Start.V, 3), b.ID)
		}
	}
	return c.text("battery", len(d.bank.Batteries))
}

func note[Q quantity.Quantity](c *claims, what string, v source.Value[Q], digits int, id string) {
	if v.Origin == source.Assumed {
		c.add(what+" "+quantity.Format(v.V, digits), id)
	}
}

func (d *drawing) assumedCables() []string {
	var c claims
	for i := range d.bank.Cables {
		cable := &d.bank.Cables[i]
		for _, j := range cable.Joints {
			if j.Origin == source.Assumed {
				c.add("joints of "+quantity.Format(j.V, 2), cable.ID)
			}
		}
		note(&c, "resistance per length", cable.PerLength, 3, cable.ID)
		if cable.Length.Origin == source.Assumed {
			c.add("length "+d.bank.Show.FormatLength(cable.Length.V), cable.ID)
		}
	}
	return c.text("cable", len(d.bank.Cables))
}

func (d *drawing) assumedQuestion() []string {
	q := d.bank.Question
	var parts []string
	if q.Joint.Origin == source.Assumed {
		parts = append(parts, "joints of "+quantity.Format(q.Joint.V, 2))
	}
	for i, rail := range []string{"positive", "negative"} {
		if q.SizeOrigin[i] == source.Assumed {
			parts = append(parts, fmt.Sprintf("cable of the %s rail", rail))
		}
	}
	return parts
}

// assumedRouting says what the shape of the routes rests on.
func (d *drawing) assumedRouting() []string {
	routed := false
	for _, r := range d.runs {
		routed = routed || len(r.points) > 1
	}
	if !routed {
		return nil
	}
	var parts []string
	for _, v := range []struct {
		what string
		v    source.Value[quantity.Length]
	}{{"rise over the posts", d.bank.Routing.Rise}, {"clearance", d.bank.Routing.Clearance}, {"allowance at each end", d.bank.Routing.Allowance}} {
		if v.v.Origin == source.Assumed {
			parts = append(parts, v.what+" "+d.bank.Show.FormatLength(v.v.V))
		}
	}
	return parts
}

// caution puts the warning where the hazard is: at the positive take-off, or
// at the first positive post. The words are ours.
func (d *drawing) caution() {
	end := d.takeoff.Positive
	if end.IsZero() {
		end = d.bank.Batteries[0].Plus()
	}
	place, ok := d.bank.Locate(end)
	if !ok {
		place, _ = d.bank.Batteries[0].Post(true)
	}
	say := func(role sheet.Font, words ...string) (lines []line) {
		for _, w := range words {
			lines = append(lines, line{text: w, size: sheet.Fine, font: role, role: sheet.Attention})
		}
		return lines
	}
	kinds := [][]line{
		append(say(sheet.Bold, "A tool across + and − welds itself on."), say(sheet.Regular, "Load off and posts covered, then touch a lug.")...),
		append(say(sheet.Bold, "A tool across + and −", "welds itself on."), say(sheet.Regular, "Load off and posts covered,", "then touch a lug.")...),
	}
	tip := d.style.post + d.ringRoom()
	var choices []sheet.Choice
	for k, lines := range kinds {
		w, h := measure(lines)
		for _, c := range sheet.Beside(d.view.at(place), w+alertRoom, h, tip, tip+1, 220) {
			c.Kind = k
			choices = append(choices, c)
		}
	}
	d.labels = append(d.labels, pending{lines: kinds[0], kinds: kinds, alert: true, label: sheet.Label{Owner: d.owner[end.String()], Choices: choices, Shy: 30}})
}

// alertRoom is what the warning triangle takes before its words, mm.
const alertRoom = 5.2

// alert draws the triangle with its bar and dot.
func alert(it *sheet.Item, b sheet.Box) {
	const half = 2.1
	c := pt(b.X0+half, (b.Y0+b.Y1)/2)
	style := sheet.Line(sheet.Attention, sheet.W035)
	it.Polygon(style, c.Plus(pt(0, -1.9)), c.Plus(pt(half, 1.6)), c.Plus(pt(-half, 1.6)))
	it.Line(sheet.Line(sheet.Attention, sheet.W050), c.Plus(pt(0, -0.6)), c.Plus(pt(0, 0.5)))
	it.Circle(sheet.Filled(sheet.Attention), c.Plus(pt(0, 1.05)), 0.28)
}
