package fault

import (
	"math"
	"math/rand/v2"
	"testing"
)

// closed gives the sides of a closed polygon.
func closed(radius float64, corners ...[3]float64) []Filament {
	var all []Filament
	for i, c := range corners {
		all = append(all, Filament{c, corners[(i+1)%len(corners)], radius})
	}
	return all
}

// TestParallelRoundWires: per metre of way µ₀/π·(ln(s/r) + ¼), the textbook's
// two round conductors; 100 m of them, so that the ends are worth s/l at most.
func TestParallelRoundWires(t *testing.T) {
	for _, row := range [][2]float64{{0.03, 0.006}, {0.012, 0.006}, {0.3, 0.005}} {
		s, r := row[0], row[1]
		const length = 100
		pair := []Filament{{[3]float64{}, [3]float64{length, 0, 0}, r}, {[3]float64{length, s, 0}, [3]float64{0, s, 0}, r}}
		want, err := LoopInductance(s, r)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "H/m", Inductance(pair, pair)/length, want, 2*mu0OverPi*s/length)
	}
}

// TestRectangle: Grover's rectangle of round wire,
// µ₀/π·(a·ln(2a/r) + b·ln(2b/r) + 2d − a·asinh(a/b) − b·asinh(b/a) − 1.75(a + b)),
// which leaves out what is of the order of the radius (from memory): 4 µ₀/π·r.
// Turned and moved in space it stays the same.
func TestRectangle(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	for range 50 {
		a, b, r := 0.2+2*rng.Float64(), 0.2+2*rng.Float64(), 0.002+0.006*rng.Float64()
		loop := closed(r, [3]float64{}, [3]float64{a, 0, 0}, [3]float64{a, b, 0}, [3]float64{0, b, 0})
		want := mu0OverPi * (a*math.Log(2*a/r) + b*math.Log(2*b/r) + 2*math.Hypot(a, b) - a*math.Asinh(a/b) - b*math.Asinh(b/a) - 1.75*(a+b))
		got := Inductance(loop, loop)
		near(t, "rectangle", got, want, 4*mu0OverPi*r)
		sin, cos := math.Sincos(6 * rng.Float64())
		turn := func(p [3]float64) [3]float64 {
			x, y := p[0]*cos-p[1]*sin, p[0]*sin+p[1]*cos
			return [3]float64{x + 1, y*cos - p[2]*sin - 2, y*sin + p[2]*cos + 3}
		}
		for i := range loop {
			loop[i].From, loop[i].To = turn(loop[i].From), turn(loop[i].To)
		}
		near(t, "turned", Inductance(loop, loop), got, 1e-9*got)
	}
}

// TestCircle: a polygon of 96 sides against Maxwell's circle of round wire,
// µ₀R·(ln(8R/r) − 1.75) (from memory); 1 %, for the sides are not much longer
// than the wire is thick.
func TestCircle(t *testing.T) {
	const n, big, r = 96, 1.0, 0.005
	var corners [][3]float64
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		corners = append(corners, [3]float64{big * cos, big * sin, 0})
	}
	loop := closed(r, corners...)
	want := 4e-7 * math.Pi * big * (math.Log(8*big/r) - 1.75)
	near(t, "circle", Inductance(loop, loop), want, 0.01*want)
}

// TestMutual: against the double integral summed in small steps, where two
// filaments keep a distance; symmetric; turned round, of the other sign; cut in
// two, the sum of the halves.
func TestMutual(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	at := func(z float64) [3]float64 { return [3]float64{rng.Float64(), rng.Float64(), z + 0.3*rng.Float64()} }
	for range 60 {
		a, b := &Filament{at(0), at(0), 0.003}, &Filament{at(0.5), at(0.5), 0.006}
		got := Mutual(a, b)
		const scale, steps = 1e-7, 120
		near(t, "in small steps", got, summed(a, b, steps), 2e-4*scale)
		near(t, "symmetric", Mutual(b, a), got, 1e-4*scale)
		back := &Filament{b.To, b.From, b.Radius}
		near(t, "turned round", Mutual(a, back), -got, 1e-9*scale)
		var mid [3]float64
		for i := range mid {
			mid[i] = (a.From[i] + a.To[i]) / 2
		}
		near(t, "in halves", Mutual(&Filament{a.From, mid, a.Radius}, b)+Mutual(&Filament{mid, a.To, a.Radius}, b), got, 1e-4*scale)
	}
	none := &Filament{Radius: 0.001}
	if m := Mutual(none, &Filament{To: [3]float64{1, 0, 0}, Radius: 0.001}); m != 0 || none.Check() != nil {
		t.Errorf("a filament without length: %g", m)
	}
	for _, bad := range []Filament{{}, {Radius: math.NaN()}, {Radius: 1, To: [3]float64{math.Inf(1)}}} {
		if bad.Check() == nil {
			t.Errorf("%+v passes", bad)
		}
	}
}

// summed is Neumann's integral by the middles of equal steps.
func summed(a, b *Filament, steps int) float64 {
	la, ua := a.axis()
	lb, ub := b.axis()
	sum := 0.0
	place := func(f *Filament, along [3]float64, s float64) [3]float64 {
		return [3]float64{f.From[0] + s*along[0], f.From[1] + s*along[1], f.From[2] + s*along[2]}
	}
	for i := range steps {
		p := place(a, ua, la*(float64(i)+0.5)/float64(steps))
		for k := range steps {
			d := minus(place(b, ub, lb*(float64(k)+0.5)/float64(steps)), p)
			sum += 1 / math.Sqrt(dot(d, d))
		}
	}
	return 1e-7 * dot(ua, ub) * sum * la * lb / float64(steps*steps)
}
