package sheet

import "strconv"

// TitleBlock holds the words of the title block. The fields are those of ISO
// 7200:2004 (from memory) as far as a job has them, and what a reader of this
// trade asks for besides. Empty fields show a dash.
type TitleBlock struct {
	Title, Document, Scale, Revision, Sheet string
	Job, Compared, Drawn, Checked, Units    string
}

// Sizes of frame and title block in mm. ISO 5457:1999 (from memory) leaves
// 10 mm round the frame, and 20 mm on the left for filing; the book decides
// about that, so all sides are alike here.
const (
	frameMargin = 8
	blockHigh   = 9.0 // a row
	blockWide   = 168.0
	zoneAcross  = 8
	zoneDown    = 6
)

// Frame draws the frame with its zone marks, 1 to 8 across and A to F down,
// and the title block in the lower right corner. It gives the room inside the
// frame and the box of the title block, which reaches into that room.
func (s *Sheet) Frame(b TitleBlock) (room, block Box) {
	it := Item{Layer: Ground}
	outer := Box{0, 0, s.Width, s.Height}
	room = outer.Grown(-frameMargin)
	it.Rect(Line(Grey, W018), outer.Grown(-W018))
	it.Rect(Line(Ink, W050), room)
	zones(&it, room)
	block = titleBlock(&it, room, b)
	s.Add(it)
	return room, block
}

// zones marks the margin so that a place on the sheet can be named, as B3.
func zones(it *Item, room Box) {
	const tick = 2.0
	thin := Line(Grey, W018)
	mark := func(p Point, name string) {
		p.Y += Fine * (Ascent - Descent) / 2
		it.Text(Text{At: p, S: name, Size: Fine, Role: Grey, Anchor: Middle})
	}
	for i := range zoneAcross {
		x := room.X0 + float64(room.Width()*float64(i)/zoneAcross)
		if i > 0 {
			it.Line(thin, Point{x, room.Y0 - tick}, Point{x, room.Y0})
			it.Line(thin, Point{x, room.Y1}, Point{x, room.Y1 + tick})
		}
		mark(Point{x + room.Width()/zoneAcross/2, room.Y0 - frameMargin/2}, strconv.Itoa(i+1))
	}
	for i := range zoneDown {
		y := room.Y0 + float64(room.Height()*float64(i)/zoneDown)
		if i > 0 {
			it.Line(thin, Point{room.X0 - tick, y}, Point{room.X0, y})
			it.Line(thin, Point{room.X1, y}, Point{room.X1 + tick, y})
		}
		mark(Point{room.X0 - frameMargin/2, y + room.Height()/zoneDown/2}, string(rune('A'+i)))
	}
}

// titleBlock draws the fields in two rows of five.
func titleBlock(it *Item, room Box, b TitleBlock) Box {
	wide := min(blockWide, room.Width())
	block := Box{room.X1 - wide, room.Y1 - 2*blockHigh, room.X1, room.Y1}
	share := [...]float64{0.36, 0.25, 0.17, 0.1, 0.12}
	rows := [...][5][2]string{
		{{"title", b.Title}, {"document", b.Document}, {"scale", b.Scale}, {"rev", b.Revision}, {"sheet", b.Sheet}},
		{{"job", b.Job}, {"compared with", b.Compared}, {"drawn", b.Drawn}, {"checked", b.Checked}, {"units", b.Units}},
	}
	it.Rect(Line(Ink, W035).On(Paper), block)
	it.Line(Line(Ink, W025), Point{block.X0, block.Y0 + blockHigh}, Point{block.X1, block.Y0 + blockHigh})
	x := block.X0
	for i, part := range share {
		cell := wide * part
		if i > 0 {
			it.Line(Line(Ink, W025), Point{x, block.Y0}, Point{x, block.Y1})
		}
		for j, row := range rows {
			bold := j == 0 && (row[i][0] == "title" || row[i][0] == "sheet")
			field(it, Point{x + 1.4, block.Y0 + float64(blockHigh*float64(j))}, cell-2.8, row[i], bold)
		}
		x += cell
	}
	return block
}

func field(it *Item, corner Point, width float64, f [2]string, bold bool) {
	const small = 1.9
	font := Regular
	if bold {
		font = Bold
	}
	value := Clean(f[1])
	if value == "" {
		value = "–"
	}
	it.Text(Text{At: corner.Plus(Point{0, 2.7}), S: Fit(Regular, small, width, f[0]), Size: small, Role: Grey})
	it.Text(Text{At: corner.Plus(Point{0, 7}), S: Fit(font, Body, width, value), Size: Body, Font: font, Role: Ink})
}
