package chart

import "bankwright/internal/paper/sheet"

// grid is a small table of numbers.
type grid struct {
	corner  string   // over the names of the rows
	rows    []string // names
	heads   []string // of the columns
	cells   [][]string
	ids     []string // of what a column shows
	byRow   bool     // the ids are those of the rows
	widths  []float64
	nameCol float64
}

// add appends a column.
func (g *grid) add(id, head string, cells []string) {
	g.ids, g.heads, g.cells = append(g.ids, id), append(g.heads, head), append(g.cells, cells)
}

// turned gives the table with rows for columns.
func (g grid) turned() grid {
	t := grid{corner: g.corner, rows: g.heads, heads: g.rows, ids: g.ids, byRow: true}
	for r := range g.rows {
		var column []string
		for k := range g.cells {
			column = append(column, g.cells[k][r])
		}
		t.cells = append(t.cells, column)
	}
	return t
}

// measure sets the widths of the columns; names that take too much are cut.
func (g *grid) measure(size, width float64) {
	g.widths = nil
	g.nameCol = sheet.TextWidth(sheet.Bold, size, g.corner)
	for i, r := range g.rows {
		g.rows[i] = sheet.Fit(sheet.Regular, size, width/3, r)
		g.nameCol = max(g.nameCol, sheet.TextWidth(sheet.Regular, size, g.rows[i]))
	}
	for k := range g.heads {
		g.heads[k] = sheet.Fit(sheet.Regular, size, width/4, g.heads[k])
		w := sheet.TextWidth(sheet.Regular, size, g.heads[k])
		for i, cell := range g.cells[k] {
			cell = sheet.Fit(sheet.Regular, size, width/4, cell)
			g.cells[k][i] = cell
			w = max(w, sheet.TextWidth(sheet.Regular, size, cell))
		}
		g.widths = append(g.widths, w)
	}
}

// Room between columns of a table, mm, and the height of a row, ems.
const (
	columnGap = 3.2
	gridStep  = 1.5
)

// wide gives the width of the whole table in one piece.
func (g *grid) wide() float64 {
	sum := g.nameCol
	for _, w := range g.widths {
		sum += columnGap + w
	}
	return sum
}

// bands parts the columns so that each part fits a width.
func (g *grid) bands(width float64) [][2]int {
	var list [][2]int
	from, x := 0, g.nameCol
	for k, w := range g.widths {
		if x += columnGap + w; x > width && k > from {
			list = append(list, [2]int{from, k})
			from, x = k, g.nameCol+columnGap+w
		}
	}
	return append(list, [2]int{from, len(g.widths)})
}

// part makes a piece of the foot of the table.
func (g *grid) part(p *page, width float64) part {
	size := p.text.body
	step := ems(gridStep, size)
	g.measure(size, width)
	bands := g.bands(width)
	high := float64(step * float64(len(g.rows)+1))
	return part{float64(high*float64(len(bands))) + ems(0.6*float64(len(bands)-1), size), func(at sheet.Point) {
		for i, b := range bands {
			g.band(p, at.Plus(sheet.Point{Y: float64((high + ems(0.6, size)) * float64(i))}), b[0], b[1])
		}
	}}
}

// band draws the columns from to to.
func (g *grid) band(p *page, at sheet.Point, from, to int) {
	size := p.text.body
	step, base := ems(gridStep, size), ems(1.1, size)
	words := sheet.Item{Layer: sheet.Words}
	words.Text(sheet.Text{At: at.Plus(sheet.Point{Y: base}), S: g.corner, Size: size, Font: sheet.Bold, Role: sheet.Ink})
	row := func(i int) float64 { return at.Y + float64(step*float64(i+1)) }
	items := make([]sheet.Item, len(g.ids))
	for i := range items {
		items[i] = sheet.Item{ID: g.ids[i], Layer: sheet.Words}
	}
	for i, r := range g.rows {
		t := sheet.Text{At: sheet.Point{X: at.X, Y: row(i) + base}, S: r, Size: size, Role: sheet.Grey}
		if g.byRow {
			items[i].Text(t)
		} else {
			words.Text(t)
		}
	}
	x := at.X + g.nameCol
	for k := from; k < to; k++ {
		x += columnGap + g.widths[k]
		head := sheet.Text{At: sheet.Point{X: x, Y: at.Y + base}, S: g.heads[k], Size: size, Role: sheet.Grey, Anchor: sheet.End}
		if g.byRow {
			words.Text(head)
		} else {
			items[k].Text(head)
		}
		for i, cell := range g.cells[k] {
			of := k
			if g.byRow {
				of = i
			}
			items[of].Text(sheet.Text{At: sheet.Point{X: x, Y: row(i) + base}, S: cell, Size: size, Role: sheet.Ink, Anchor: sheet.End})
		}
	}
	words.Line(sheet.Line(sheet.Grey, sheet.W018), sheet.Point{X: at.X, Y: row(0)}, sheet.Point{X: x, Y: row(0)})
	p.s.Add(words)
	p.s.Add(items...)
}
