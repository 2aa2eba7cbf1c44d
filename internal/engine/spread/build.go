package spread

import "math"

// builder computes one build after the other. It is of one goroutine.
type builder struct {
	*layout
	machine  *machine
	shapes   [kindCount]shape
	branch   []float64 // S, by branch
	emf      []float64
	capacity []float64
	x        []float64 // potentials, of all sets
	current  []float64
	column   []float64 // of each battery: what its EMF does to all, less its own conductance
	lost     []float64
	sums     []sum // by group
}

type sum struct{ current, capacity float64 }

// outcome is what one build comes to.
type outcome struct {
	worst, out float64 // largest share less one, all in and with the worst one out; NaN: none
	most       int32   // battery of that share, all in
	over, gone bool    // a battery passes its limit, all in and with any one out
}

func newBuilder(l *layout, shapes [kindCount]shape) *builder {
	n := len(l.batteries)
	return &builder{layout: l, machine: newMachine(l.program), shapes: shapes,
		branch: make([]float64, n+len(l.cables)+len(l.parts)), emf: make([]float64, n), capacity: make([]float64, n),
		x: make([]float64, l.program.nodes*(n+1)), current: make([]float64, n), column: make([]float64, n*n),
		lost: make([]float64, n), sums: make([]sum, l.groups)}
}

// all says that every kind varies.
const all = -1

// set makes the parts of a build, with one kind or all of them off by v.
func (b *builder) set(v *values, kind int) {
	off := func(k, i int) float64 {
		if kind != all && kind != k {
			return 1
		}
		return b.shapes[k].factor(v[k][i])
	}
	for i := range b.batteries {
		bat := &b.batteries[i]
		b.branch[i] = 1 / (bat.resistance * off(ofResistance, i))
		b.capacity[i] = bat.capacity * off(ofCapacity, i)
		b.emf[i] = bat.emf
		if kind == all || kind == ofEMF {
			b.emf[i] += float64(b.shapes[ofEMF].spread * v[ofEMF][i])
		}
	}
	n := len(b.batteries)
	for i := range b.cables {
		c := &b.cables[i]
		r := c.fixed + float64(c.length*off(ofLengths, i))
		r += float64(c.joints[0]*off(ofJoints, 2*i)) + float64(c.joints[1]*off(ofJoints, 2*i+1))
		b.branch[n+i] = 1 / r
	}
	copy(b.branch[n+len(b.cables):], b.parts)
}

// solve fills in the currents, and with losses also the columns. Set 0 of x is
// the case, set 1+k is 1 V in battery k alone.
func (b *builder) solve(losses bool) {
	n, sets := len(b.batteries), 1
	if losses {
		sets += n
	}
	b.machine.factor(b.branch)
	x := b.x[:b.program.nodes*sets]
	clear(x)
	x[int(b.takeoff[0])*sets] -= b.draw
	x[int(b.takeoff[1])*sets] += b.draw
	for i, posts := range b.ends {
		minus, plus, g := int(posts[0])*sets, int(posts[1])*sets, b.branch[i]
		x[minus] -= float64(g * b.emf[i])
		x[plus] += float64(g * b.emf[i])
		if losses {
			x[minus+1+i] -= g
			x[plus+1+i] += g
		}
	}
	b.machine.solve(x, sets)
	for i, posts := range b.ends {
		minus, plus, g := x[int(posts[0])*sets:][:sets], x[int(posts[1])*sets:][:sets], b.branch[i]
		b.current[i] = float64(g * (minus[0] - plus[0] + b.emf[i]))
		for k := range sets - 1 {
			own := 0.0
			if i == k {
				own = 1
			}
			b.column[k*n+i] = float64(g * (minus[1+k] - plus[1+k] + own))
		}
	}
}

// alone gives the worst share of a build in which one kind is off.
func (b *builder) alone(v *values, kind int) float64 {
	b.set(v, kind)
	b.solve(false)
	worst, _ := b.worst(b.current, -1)
	return worst
}

// build gives the outcome of a build in which all are off.
func (b *builder) build(v *values) outcome {
	b.set(v, all)
	b.solve(true)
	o := outcome{out: math.NaN(), over: b.over(b.current)}
	o.worst, o.most = b.worst(b.current, -1)
	for k := range b.batteries {
		if !b.bears[k] {
			continue
		}
		b.lose(k)
		if worst, _ := b.worst(b.lost, k); !(worst <= o.out) && !math.IsNaN(worst) {
			o.out = worst
		}
		o.gone = o.gone || b.over(b.lost)
	}
	return o
}

// lose fills in the currents with battery k out: as if its EMF had moved until
// its current is nil.
func (b *builder) lose(k int) {
	copy(b.lost, b.current)
	if !b.bridge[k] {
		n := len(b.batteries)
		column := b.column[k*n:][:n]
		move := b.current[k] / column[k]
		for i, g := range column {
			b.lost[i] -= float64(g * move)
		}
	}
	b.lost[k] = 0
}

// nilPart is the part of the largest battery current below which a group's
// sum is what rounding left; same is that by which two numbers may differ and
// count as equal, as in package outage.
const (
	nilPart = 1e-9
	same    = 1e-9
)

// worst gives the largest share less one and its battery, of equals the first;
// NaN and -1 where no battery has one. Battery out counts in no group.
func (b *builder) worst(current []float64, out int) (worst float64, most int32) {
	clear(b.sums)
	largest := 1.0
	for i, amps := range current {
		if g := b.batteries[i].group; g >= 0 && i != out {
			b.sums[g].current += amps
			b.sums[g].capacity += b.capacity[i]
			largest = max(largest, math.Abs(amps))
		}
	}
	worst, most = math.NaN(), -1
	for i, amps := range current {
		g := b.batteries[i].group
		if g < 0 || i == out || math.Abs(b.sums[g].current) <= nilPart*largest {
			continue
		}
		if share := amps/b.capacity[i]/(b.sums[g].current/b.sums[g].capacity) - 1; !(share <= worst+same) {
			worst, most = share, int32(i)
		}
	}
	return worst, most
}

// over reports whether a battery passes its limit; exactly at it, it does not.
func (b *builder) over(current []float64) bool {
	for i, amps := range current {
		bat := &b.batteries[i]
		if amps > bat.discharge*(1+same) || -amps > bat.charge*(1+same) {
			return true
		}
	}
	return false
}
