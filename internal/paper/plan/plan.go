// Package plan draws a bank to scale: the compartment from above and from the
// front, with batteries, posts, parts and cables as wide as their current.
package plan

import (
	"fmt"
	"math"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// Options say what is drawn and how large.
type Options struct {
	// Width and Height are those of the sheet in mm. A width of nil is 297, or
	// 100 for a small picture. A height of nil is what the drawing needs, at
	// most 210, or 80 for a small picture.
	Width, Height float64
	// Small leaves out dimensions, labels of cables, legend and notes, and fits
	// the picture to the sheet instead of to a round scale.
	Small bool
	Title string // over the drawing; the bank's own if empty
	// Wiring, if set, is drawn instead of the job's own cables on the rails.
	// Search is the answer it comes from: its currents are of the strings there,
	// its routes those of the lengths there. Without it the wiring is drawn
	// without currents and routes.
	Wiring *report.Wiring
	Search *report.Wirings
	// Frame, if set, draws frame and title block; an empty scale is filled in.
	Frame *sheet.TitleBlock
}

// Draw gives the plan, seen from above. Every battery, cable and part is an
// item with its ID, a cable of a wiring with its two ends as "B1+/B2+", a post
// or other end with its name, as "B1+". Cables that lie over one another in
// the plan are drawn side by side. Without currents in the report all cables
// are of one width.
//
// It fails, naming the batteries, where one has no place or no posts, where a
// place is no finite number, and where the sheet is too small.
func Draw(r *report.Report, opt Options) (*sheet.Sheet, error) { return draw(r, opt, false) }

// Front gives the elevation, seen from the front: x to the right, z up. What
// stands farther back is drawn first. It fails as [Draw] does.
func Front(r *report.Report, opt Options) (*sheet.Sheet, error) { return draw(r, opt, true) }

// drawing is a sheet in the making.
type drawing struct {
	*scene
	opt    Options
	s      *sheet.Sheet
	style  style
	view   view
	room   sheet.Box // where the drawing and its labels may be
	board  *sheet.Board
	labels []pending
	drawn  sheet.Box         // what walls, batteries, parts and cables cover
	owner  map[string]string // of ends that lie on one another, the first
	said   []sheet.Box       // the lettering of the dimensions
}

// style holds the sizes of one kind of drawing, in mm.
type style struct {
	post  float64 // radius of a post
	wide  float64 // width of the largest current
	least float64 // width of the smallest, so that its kind can be told
	wall  float64
	big   float64 // text of the batteries' IDs
	text  float64
}

func draw(r *report.Report, opt Options, front bool) (*sheet.Sheet, error) {
	d, lanes, err := compose(r, opt, front)
	if err != nil {
		return nil, err
	}
	d.label(lanes)
	return d.s, nil
}

// compose draws all but the words that have to look for a place.
func compose(r *report.Report, opt Options, front bool) (*drawing, []lane, error) {
	if opt.Search == nil {
		opt.Search = &report.Wirings{}
	}
	sc, err := newScene(r, opt)
	if err != nil {
		return nil, nil, err
	}
	d := &drawing{scene: sc, opt: opt, s: &sheet.Sheet{}}
	d.style = style{post: 2, wide: 4.4, least: 0.9, wall: 2.6, big: sheet.Large, text: sheet.Body}
	if opt.Small {
		d.style = style{post: 1.5, wide: 2.8, least: 0.95, wall: 1.4, big: sheet.Large, text: sheet.Body}
	}
	d.view.front = front
	d.words()
	if err := d.layout(); err != nil {
		return nil, nil, err
	}
	d.fitStyle()
	d.walls()
	d.cases()
	d.partBodies()
	lanes := d.lanes()
	d.cables(lanes)
	d.drawn = d.covered(lanes)
	d.posts()
	return d, lanes, nil
}

// label finds places for all words and sets them.
func (d *drawing) label(lanes []lane) {
	small := d.opt.Small
	d.board = sheet.NewBoard(d.room)
	d.obstacles(lanes)
	if !small {
		d.dimensions()
	}
	d.batteryLabels()
	d.partLabels()
	d.takeoffLabels()
	if !small {
		d.caution()
		d.compartmentLabels()
		d.cableLabels(lanes)
	}
	lost := d.place()
	d.footer(lost)
}

// words sets the sheet's own name and description.
func (d *drawing) words() {
	d.s.Title = sheet.Clean(d.opt.Title)
	if d.s.Title == "" {
		d.s.Title = sheet.Clean(d.bank.Title)
	}
	what := "plan"
	if d.view.front {
		what = "front view"
	}
	if d.s.Title == "" {
		d.s.Title = what
	}
	d.s.Description = fmt.Sprintf("%s of %d batteries and %d cables. %s", what, len(d.cells), len(d.runs), d.subtitle())
}

// fitStyle makes posts and cables smaller where batteries are small on paper.
func (d *drawing) fitStyle() {
	side := math.Inf(1)
	var posts []sheet.Point
	for _, c := range d.cells {
		b := d.view.box(c.b.Body.Box())
		side = min(side, b.Width(), b.Height())
		for _, plus := range []bool{true, false} {
			p, _ := c.b.Post(plus)
			posts = append(posts, d.view.at(p))
		}
	}
	apart := math.Inf(1)
	for i, p := range posts {
		for _, q := range posts[:i] {
			if l := p.Minus(q).Length(); l > 0.5 { // in a front view posts may lie behind one another
				apart = min(apart, l)
			}
		}
	}
	const leastPost = 0.9 // mm; its sign could not be seen on a smaller one
	d.style.post = max(leastPost, min(d.style.post, 0.4*apart, 0.2*side))
	d.style.wide = min(d.style.wide, 0.3*side)
	if most, total := d.widest(), math.Abs(d.total); d.live && most < total {
		d.style.wide *= math.Sqrt(most / total) // many small cables need the room
	}
	d.style.wide = max(1.6*d.style.least, d.style.wide)
}

// covered gives the box of all that is drawn to scale.
func (d *drawing) covered(lanes []lane) sheet.Box {
	b := d.view.box(extent(d.bank, d.runs)).Grown(d.style.wall)
	for _, l := range lanes {
		for _, p := range l.points {
			b = b.Union(sheet.Around(p, l.width, l.width))
		}
	}
	return b
}
