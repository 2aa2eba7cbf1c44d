package chart

import (
	"math"
	"slices"
	"strconv"

	"bankwright/internal/paper/sheet"
)

// tick is a mark on an axis with its number.
type tick struct {
	at    float64
	label string
}

// axis maps numbers to millimetres of paper.
type axis struct {
	lo, hi   float64 // in the axis's own unit
	from, to float64 // mm
	log      bool
	zero     float64 // mm, where exact zeros lie on a log axis
	hasZero  bool
	ticks    []tick
}

// at gives the place of a number. On a log axis nothing but a number above nil
// has one, save nil itself where the axis says so.
func (a *axis) at(v float64) float64 {
	if !a.log {
		return a.from + float64((a.to-a.from)*((v-a.lo)/(a.hi-a.lo)))
	}
	if v <= 0 {
		return a.zero
	}
	return a.from + float64((a.to-a.from)*(math.Log(v/a.lo)/math.Log(a.hi/a.lo)))
}

// steps are the digits of a nice step.
var steps = [...]int{1, 2, 5}

// nice gives the least step of 1, 2 or 5 times a power of ten that parts a
// span into at most n.
func nice(span float64, n int) (digit, exp int) {
	least := span / float64(n)
	exp = int(math.Floor(math.Log10(least)))
	for _, d := range steps {
		if float64(d)*math.Pow10(exp) >= least*(1-1e-12) {
			return d, exp
		}
	}
	return 1, exp + 1
}

// linearTicks gives ticks at whole steps within lo and hi, some n of them.
func linearTicks(lo, hi float64, n int, unit string) []tick {
	digit, exp := nice(hi-lo, n)
	step := float64(digit) * math.Pow10(exp)
	slack := step * 1e-9
	var list []tick
	for k := int(math.Ceil((lo - slack) / step)); float64(float64(k)*step) <= hi+slack; k++ {
		list = append(list, tick{float64(k) * step, decimal(k*digit, exp) + unit})
	}
	return list
}

// logTicks gives ticks at round numbers within lo and hi: at 1, 2 and 5, at 1
// and 3, or at 1 of every or every other decade and so on, as there is room.
func logTicks(lo, hi float64, most int, unit string) []tick {
	first, last := int(math.Floor(math.Log10(lo))), int(math.Ceil(math.Log10(hi)))
	list := func(digits []int, every int) []tick {
		var list []tick
		for e := first; e <= last; e++ {
			if e%every != 0 {
				continue
			}
			for _, d := range digits {
				if v := float64(d) * math.Pow10(e); v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
					list = append(list, tick{v, decimal(d, e) + unit})
				}
			}
		}
		return list
	}
	var ticks []tick
	for _, try := range []struct {
		digits []int
		every  int
	}{{[]int{1, 2, 5}, 1}, {[]int{1, 3}, 1}, {[]int{1}, 1}, {[]int{1}, 2}, {[]int{1}, 4}} {
		if ticks = list(try.digits, try.every); len(ticks) <= most {
			break
		}
	}
	return ticks
}

// decimal writes n times ten to the power exp without rounding.
func decimal(n, exp int) string {
	digits := strconv.Itoa(n)
	if n == 0 || exp == 0 {
		return digits
	}
	text, _ := strconv.ParseFloat(digits+"e"+strconv.Itoa(exp), 64) // its own digits, so it always parses
	return sheet.Signs(strconv.FormatFloat(text, 'f', max(0, -exp), 64))
}

// spread gives the least and largest of numbers, at least one.
func spread(v []float64) (lo, hi float64) { return slices.Min(v), slices.Max(v) }

// tickLong is the length of a tick, mm.
const tickLong = 1.2

// level draws the grid line and tick of a number on an upright axis, left of a
// plot, and the number at a size of text.
func level(lines, words *sheet.Item, plot sheet.Box, y float64, label string, size float64) {
	lines.Line(sheet.Line(sheet.Faint, sheet.W018), sheet.Point{X: plot.X0, Y: y}, sheet.Point{X: plot.X1, Y: y})
	lines.Line(sheet.Line(sheet.Ink, sheet.W025), sheet.Point{X: plot.X0 - tickLong, Y: y}, sheet.Point{X: plot.X0, Y: y})
	words.Text(sheet.Text{At: sheet.Point{X: plot.X0 - tickLong - 0.6, Y: y + float64(0.36*size)}, S: label, Size: size, Role: sheet.Ink, Anchor: sheet.End})
}

// upright draws the same of a level axis under a plot; without words only the
// grid line.
func upright(lines, words *sheet.Item, plot sheet.Box, x float64, label string, size float64) {
	lines.Line(sheet.Line(sheet.Faint, sheet.W018), sheet.Point{X: x, Y: plot.Y0}, sheet.Point{X: x, Y: plot.Y1})
	if words == nil {
		return
	}
	lines.Line(sheet.Line(sheet.Ink, sheet.W025), sheet.Point{X: x, Y: plot.Y1}, sheet.Point{X: x, Y: plot.Y1 + tickLong})
	words.Text(sheet.Text{At: sheet.Point{X: x, Y: plot.Y1 + tickLong + float64(size)}, S: label, Size: size, Role: sheet.Ink, Anchor: sheet.Middle})
}
