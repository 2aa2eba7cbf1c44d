package holding

import "math"

// wrench is a force and a moment about the group's middle, the moment divided
// by the group's size so that all six are newtons and weigh alike.
type wrench [6]float64

func (w *wrench) dot(v *wrench) float64 {
	sum := 0.0
	for i := range w {
		sum += float64(w[i] * v[i])
	}
	return sum
}

func (w *wrench) add(v *wrench, times float64) {
	for i := range w {
		w[i] += float64(v[i] * times)
	}
}

// spring is one act as the solver sees it: the wrench of one newton, the
// stiffness, and whether it acts both ways.
type spring struct {
	unit wrench
	k    float64
	both bool
}

// reaction gives the newtons of a spring at a displacement of the group.
func (s *spring) reaction(u *wrench) float64 {
	r := -s.k * s.unit.dot(u)
	if !s.both && r < 0 {
		return 0
	}
	return r
}

// frame turns places into wrenches.
type frame struct {
	origin Vec
	size   float64 // m
}

func (f frame) wrench(at, force Vec) wrench {
	m := at.Sub(f.origin).Cross(force).Times(1 / f.size)
	return wrench{force.X, force.Y, force.Z, m.X, m.Y, m.Z}
}

// Stiffness of the floor and of the ground springs that keep a group with no
// hold-down in place, relative to a hold-down. The floor is rigid for all
// practical ends: the first puts an error of one in 10⁵ on how redundant hold-
// downs share and none on equilibrium.
const (
	floorStiffness  = 1e5
	groundStiffness = 1e-6
)

// settle finds the reactions of springs to a load and what of the load they
// leave. A rigid block on springs that act one way comes to rest where its
// energy, convex and piecewise quadratic, is least; Newton's method with an
// exact step finds it. The ground springs are moved after the block until they
// carry nothing where the springs alone can hold it (proximal points); what is
// then left is what nothing holds.
func settle(springs []spring, load *wrench) (reactions []float64, left wrench) {
	u := start(springs, load)
	reactions = make([]float64, len(springs))
	const most, still = 10, 1e-9 // more steps would carry a loose block off to where digits are lost
	for range most {
		anchor, before := u, left
		u = rest(springs, load, u, &anchor)
		left = *load
		for i := range springs {
			reactions[i] = springs[i].reaction(&u)
			left.add(&springs[i].unit, reactions[i])
		}
		before.add(&left, -1)
		if before.dot(&before) <= still*still*load.dot(load) {
			break
		}
	}
	return reactions, left
}

// start gives the displacement with every spring acting both ways.
func start(springs []spring, load *wrench) wrench {
	var h [6][6]float64
	for i := range springs {
		stiffen(&h, &springs[i])
	}
	return solve(&h, load)
}

// stiffen adds k·w·wᵀ.
func stiffen(h *[6][6]float64, s *spring) {
	for i := range h {
		for j := range h {
			h[i][j] += float64(float64(s.k*s.unit[i]) * s.unit[j])
		}
	}
}

// rest minimises from u with the ground springs tied to anchor.
func rest(springs []spring, load *wrench, u wrench, anchor *wrench) wrench {
	const most = 200 // far more than the active sets that Newton passes through
	before, settled := make([]bool, len(springs)), 0
	for n := 0; n < most && settled < 2; n++ { // a full step on the same springs is exact; one more rounds it off
		var h [6][6]float64
		down := *load // minus the gradient
		same := n > 0
		for i := range springs {
			s := &springs[i]
			down.add(&s.unit, s.reaction(&u))
			active := s.both || s.unit.dot(&u) < 0
			if active {
				stiffen(&h, s)
			}
			same = same && active == before[i]
			before[i] = active
		}
		for i := range u {
			down[i] += float64(groundStiffness * (anchor[i] - u[i]))
		}
		step := solve(&h, &down)
		t := reach(springs, load, &u, &step, anchor)
		u.add(&step, t)
		if same {
			settled++
		}
	}
	return u
}

// reach finds how far along a step the energy falls: the root of its slope,
// which rises along the step, by halving.
func reach(springs []spring, load, u, step, anchor *wrench) float64 {
	slope := func(t float64) float64 {
		v := *u
		v.add(step, t)
		g := *load
		for i := range springs {
			g.add(&springs[i].unit, springs[i].reaction(&v))
		}
		for i := range v {
			g[i] += float64(groundStiffness * (anchor[i] - v[i]))
		}
		return -g.dot(step)
	}
	if slope(1) <= 0 {
		return 1
	}
	low, high := 0.0, 1.0
	for range 50 {
		if mid := (low + high) / 2; slope(mid) > 0 {
			high = mid
		} else {
			low = mid
		}
	}
	return low
}

// solve gives x of (h + ground)·x = b by Cholesky; h is symmetric and not
// negative, so that with the ground it always has a root.
func solve(h *[6][6]float64, b *wrench) wrench {
	var l [6][6]float64
	for j := range 6 {
		for i := j; i < 6; i++ {
			sum := h[i][j]
			if i == j {
				sum += groundStiffness
			}
			for k := range j {
				sum -= float64(l[i][k] * l[j][k])
			}
			if i == j {
				l[i][i] = math.Sqrt(math.Max(sum, groundStiffness/2)) // rounding may eat the ground
			} else {
				l[i][j] = sum / l[j][j]
			}
		}
	}
	x := *b
	for i := range 6 {
		for k := range i {
			x[i] -= float64(l[i][k] * x[k])
		}
		x[i] /= l[i][i]
	}
	for i := 5; i >= 0; i-- {
		for k := i + 1; k < 6; k++ {
			x[i] -= float64(l[k][i] * x[k])
		}
		x[i] /= l[i][i]
	}
	return x
}
