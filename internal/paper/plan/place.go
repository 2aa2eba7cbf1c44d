package plan

import (
	"bankwright/internal/paper/sheet"
)

// line is one line of a label: words, or a bar of the battery's share.
type line struct {
	text  string
	size  float64
	font  sheet.Font
	role  sheet.Role // ink if none
	share float64    // over nil: a bar of this share of the mean instead of words
	width float64    // of the bar
}

// pending is a label that waits for its place. Each kind of choice has its own
// lines.
type pending struct {
	id     string
	lines  []line
	kinds  [][]line // by Choice.Kind, where choices differ
	label  sheet.Label
	dotted bool // the leader ends on an area, in a dot
	minor  bool // it may be left out without a word
	alert  bool // a warning triangle before them
}

const leading = 1.3 // ems from one line of a label to the next

// barHigh is the room of a share bar in a label, mm.
const barHigh = 2.4

// measure gives the room that lines take.
func measure(lines []line) (w, h float64) {
	for i, l := range lines {
		if l.width > 0 {
			w, h = max(w, l.width), h+barHigh
			continue
		}
		w = max(w, sheet.TextWidth(l.font, l.size, l.text))
		h += float64(l.size * leading)
		if i == len(lines)-1 {
			h -= float64(l.size * (leading - sheet.Ascent - sheet.Descent))
		}
	}
	return w, h
}

// place settles all labels and sets them. It gives those for which there was
// no room.
func (d *drawing) place() (lost []string) {
	labels := make([]sheet.Label, len(d.labels))
	for i, p := range d.labels {
		labels[i] = p.label
	}
	for i, c := range d.board.Settle(labels) {
		p := d.labels[i]
		if c < 0 && p.minor {
			continue
		}
		if c < 0 {
			words := ""
			for _, l := range p.lines {
				if l.text != "" {
					words += " " + l.text
				}
			}
			lost = append(lost, words[min(1, len(words)):])
			continue
		}
		choice := p.label.Choices[c]
		if p.kinds != nil {
			p.lines = p.kinds[choice.Kind]
		}
		d.set(p, choice)
	}
	return lost
}

func (d *drawing) set(p pending, c sheet.Choice) {
	ground := sheet.Item{Layer: sheet.Cases} // outlines and hatching stop at a label, cables do not
	ground.Rect(sheet.Filled(sheet.Paper), c.Box.Grown(0.15))
	d.s.Add(ground)
	it := sheet.Item{ID: p.id, Layer: sheet.Words}
	if len(c.Leader) == 2 {
		it.Line(sheet.Line(sheet.Ink, sheet.W018), c.Leader[0], c.Leader[1])
		if p.dotted { // ISO 128-2:2022: a leader that ends within an outline ends in a dot (from memory)
			it.Circle(sheet.Filled(sheet.Ink), c.Leader[1], 0.45)
			it.Circle(sheet.Line(sheet.Paper, sheet.W013), c.Leader[1], 0.5)
		}
	}
	y, mid, anchor := c.Box.Y0, (c.Box.X0+c.Box.X1)/2, sheet.Middle
	if p.alert { // from the left, so that another font never runs into the sign
		alert(&it, c.Box)
		mid, anchor = c.Box.X0+alertRoom, sheet.Start
	}
	for _, l := range p.lines {
		if l.width > 0 {
			bar(&it, pt(mid-l.width/2, y+barHigh/2-0.2), l)
			y += barHigh
			continue
		}
		role := l.role
		if role == sheet.None {
			role = sheet.Ink
		}
		it.Text(sheet.Text{At: pt(mid, y+float64(sheet.Ascent*l.size)), S: l.text, Size: l.size, Font: l.font, Role: role, Anchor: anchor})
		y += float64(l.size * leading)
	}
	d.s.Add(it)
}

// obstacles tells the board what is on the sheet already.
func (d *drawing) obstacles(lanes []lane) {
	d.owner = map[string]string{}
	pins := d.pins()
	for i, p := range pins {
		d.owner[p.name] = p.name
		for _, q := range pins[:i] {
			if p.at.Minus(q.at).Length() < d.style.post { // one behind the other
				d.owner[p.name] = d.owner[q.name]
				break
			}
		}
		r := p.radius + 0.2
		if d.takesOff(p.name) {
			r += d.ringRoom()
		}
		d.board.Block(sheet.Around(p.at, 2*r, 2*r), d.owner[p.name])
	}
	for _, l := range lanes {
		d.board.Stroke(l.width, costCable, l.points...)
		if mid, u, ok := d.arrowAt(d.runs[l.run], l); ok {
			k := d.head(l)
			d.board.Stroke(2*k, costCable, mid.Minus(u.Times(k)), mid.Plus(u.Times(1.1*k)))
		}
	}
	for _, c := range d.cells {
		d.edges(d.view.box(c.b.Body.Box()))
	}
	for _, c := range d.bank.Compartments {
		d.edges(d.view.box(c.Box))
		d.edges(d.view.box(c.Box).Grown(d.style.wall))
	}
	for _, b := range d.partBoxes() {
		d.board.Cover(b)
	}
}

// What it costs a label to cover a square millimetre of a cable or of an
// outline, against a millimetre farther from what it names. Found by trying.
const (
	costCable = 8
	costEdge  = 3
)

func (d *drawing) edges(b sheet.Box) {
	d.board.Stroke(0.3, costEdge, pt(b.X0, b.Y0), pt(b.X1, b.Y0), pt(b.X1, b.Y1), pt(b.X0, b.Y1), pt(b.X0, b.Y0))
}
