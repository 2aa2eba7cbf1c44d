package sharing

import (
	"math"

	"bankwright/internal/model/bank"
)

// FuseFlow is what a fuse or breaker carries, from its end a to b, as a sum over
// the batteries' currents and what is drawn at the take-off:
//
//	I  =  Σ Battery[i]·Iᵢ + Takeoff·D
//
// Kirchhoff's current law for what lies on its one side, without its
// resistance: each factor is 1, -1 or 0.
type FuseFlow struct {
	Part    string
	Rating  float64   // A
	Battery []float64 // by battery, whose current is positive on discharge
	Takeoff float64
}

// Of gives the current, A, for these battery currents and this draw.
func (f *FuseFlow) Of(currents []float64, draw float64) float64 {
	sum := float64(f.Takeoff * draw)
	for i, by := range f.Battery {
		if by != 0 {
			sum += float64(by * currents[i])
		}
	}
	return sum
}

// InLine gives the battery whose whole current the fuse carries and nothing
// else, -1 where there is none.
func (f *FuseFlow) InLine() int {
	at := -1
	for i, by := range f.Battery {
		switch {
		case by == 0:
		case at >= 0:
			return -1
		default:
			at = i
		}
	}
	if f.Takeoff != 0 {
		return -1
	}
	return at
}

// FuseFlows gives the fuses and breakers with a rating that something flows
// through, in job order, and those that other copper bridges, of which the law
// alone does not tell the current.
func FuseFlows(b *bank.Bank) (flows []FuseFlow, bridged []string) {
	for i := range b.Parts {
		p := &b.Parts[i]
		if p.Kind != bank.Fuse && p.Kind != bank.Breaker || !(p.Rated.Current > 0) {
			continue
		}
		side := sideOf(b, i)
		if side(p.Ends()[1]) {
			bridged = append(bridged, p.ID)
			continue
		}
		one := FuseFlow{Part: p.ID, Rating: float64(p.Rated.Current), Battery: make([]float64, len(b.Batteries))}
		some := false
		for k := range b.Batteries {
			one.Battery[k] = count(side(b.Batteries[k].Plus())) - count(side(b.Batteries[k].Minus()))
			some = some || one.Battery[k] != 0
		}
		one.Takeoff = count(side(b.Takeoff.Negative)) - count(side(b.Takeoff.Positive))
		if some {
			flows = append(flows, one)
		}
	}
	return flows, bridged
}

func count(in bool) float64 {
	if in {
		return 1
	}
	return 0
}

// sideOf says what hangs together with end a of a part, batteries and the part
// itself left out.
func sideOf(b *bank.Bank, part int) func(bank.End) bool {
	next := map[bank.End][]bank.End{}
	join := func(x, y bank.End) { next[x], next[y] = append(next[x], y), append(next[y], x) }
	for i := range b.Cables {
		join(b.Cables[i].From, b.Cables[i].To)
	}
	for i := range b.Parts {
		ends := b.Parts[i].Joined()
		for k := 1; k < len(ends) && i != part; k++ {
			join(ends[k-1], ends[k])
		}
	}
	start := b.Parts[part].Ends()[0]
	seen, todo := map[bank.End]bool{start: true}, []bank.End{start}
	for len(todo) > 0 {
		e := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, n := range next[e] {
			if !seen[n] {
				seen[n] = true
				todo = append(todo, n)
			}
		}
	}
	return func(e bank.End) bool { return seen[e] }
}

// Cap is the largest size of draw at which the fuse carries no more than its
// rating, for battery currents rest + per·x and a draw of sign·x; NaN where it
// is over at none drawn already, +Inf where the draw does not matter.
func (f *FuseFlow) Cap(rest, per []float64, sign float64) float64 {
	at0, slope := f.Of(rest, 0), f.Of(per, sign)
	switch {
	case math.Abs(at0) > f.Rating*(1+1e-9):
		return math.NaN()
	case slope == 0:
		return math.Inf(1)
	}
	return (math.Copysign(f.Rating, slope) - at0) / slope
}
