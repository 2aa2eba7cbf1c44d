package wiring

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"
)

// ladder is n equal strings whose rails are chains of equal links, taken off
// at the given posts (from 0).
func ladder(n int, ohm, link, emf, current float64, positive, negative int) (Question, Tree, Tree) {
	q := Question{Current: current}
	var trees [2]Tree
	for k, r := range []*Rail{&q.Positive, &q.Negative} {
		root := []int{positive, negative}[k]
		r.Roots = []int{root}
		trees[k].Root = root
		for i := range n {
			r.Names = append(r.Names, fmt.Sprintf("B%d%c", i+1, "+-"[k]))
			r.String = append(r.String, i)
			if i > 0 {
				r.Pairs = append(r.Pairs, Pair{A: i - 1, B: i, Length: 0.3, Resistance: link})
				trees[k].Pairs = append(trees[k].Pairs, i-1)
			}
		}
	}
	for range n {
		q.Strings = append(q.Strings, String{Resistance: ohm, EMF: emf, Capacity: 100})
	}
	return q, trees[0], trees[1]
}

func mustEvaluate(t *testing.T, q Question, p, n Tree) Wiring {
	t.Helper()
	w, err := Evaluate(&q, p, n)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The worked example of four 20 mΩ batteries with 1.5 mΩ links at 100 A, and
// four 5 mΩ batteries with 0.5 mΩ links: computed by a nodal solve and by a
// circuit simulator, which agree to 0.0005 A; tolerance of the table 0.01 A.
func TestEvaluateKnown(t *testing.T) {
	for _, c := range []struct {
		name        string
		ohm, link   float64
		amps        float64
		pos, neg    int
		want        []float64
		voltage     float64 // 0: not given
		tolerance   float64
		tolerantVol float64
	}{
		{"same end", 0.02, 0.0015, 100, 0, 0, []float64{35.753, 26.116, 20.396, 17.736}, 12.0849, 0.001, 5e-5},
		{"opposite ends", 0.02, 0.0015, 100, 0, 3, []float64{26.744, 23.256, 23.256, 26.744}, 12.0401, 0.001, 5e-5},
		{"both on the second", 0.02, 0.0015, 100, 1, 1, []float64{26.116, 30.033, 23.455, 20.396}, 0, 0.001, 0},
		{"second and third", 0.02, 0.0015, 100, 1, 2, []float64{23.256, 26.744, 26.744, 23.256}, 0, 0.001, 0},
		{"300 A, opposite ends", 0.005, 0.0005, 300, 0, 3, []float64{81.82, 68.18, 68.18, 81.82}, 0, 0.005, 0},
		{"300 A, same end", 0.005, 0.0005, 300, 0, 0, []float64{115.62, 78.75, 57.62, 48.02}, 0, 0.006, 0}, // the source rounds 115.625 down
	} {
		t.Run(c.name, func(t *testing.T) {
			q, p, n := ladder(4, c.ohm, c.link, 12.8, c.amps, c.pos, c.neg)
			w := mustEvaluate(t, q, p, n)
			for i, want := range c.want {
				if math.Abs(w.Currents[i]-want) > c.tolerance {
					t.Errorf("string %d: %.4f A, want %.4f", i+1, w.Currents[i], want)
				}
			}
			if c.voltage != 0 && math.Abs(w.TakeoffVoltage-c.voltage) > c.tolerantVol {
				t.Errorf("take-off %.5f V, want %.4f", w.TakeoffVoltage, c.voltage)
			}
		})
	}
}

// Closed form of N equal strings on two equal chains: with ρ = 2·link/R and
// θ = acosh(1 + ρ/2), same end gives cosh((N−k+½)θ), opposite ends
// cosh((k−(N+1)/2)θ), each over its sum. From Kirchhoff: I(k+1) − 2·I(k) +
// I(k−1) = ρ·I(k). The largest share of opposite ends with N strings is that
// of the same end with N/2.
func TestClosedForm(t *testing.T) {
	for _, rho := range []float64{0.01, 0.02, 0.05, 0.1, 0.15, 0.2, 0.4} {
		same := map[int]float64{}
		for n := 2; n <= 12; n++ {
			theta := math.Acosh(1 + rho/2)
			for _, far := range []int{0, n - 1} {
				q, p, m := ladder(n, 0.01, 0.01*rho/2, 13, 100, 0, far)
				w := mustEvaluate(t, q, p, m)
				want, sum := make([]float64, n), 0.0
				for k := range n {
					want[k] = math.Cosh((float64(n-1-k) + 0.5) * theta)
					if far > 0 {
						want[k] = math.Cosh((float64(k+1) - float64(n+1)/2) * theta)
					}
					sum += want[k]
				}
				for k := range n {
					if math.Abs(w.Currents[k]-100*want[k]/sum) > 1e-9 {
						t.Errorf("ρ %v, %d strings, take-off at %d: string %d %.10f A, want %.10f", rho, n, far, k, w.Currents[k], 100*want[k]/sum)
					}
				}
				if far == 0 {
					same[n] = w.Imbalance
				} else if half, ok := same[n/2]; ok && n%2 == 0 && math.Abs(w.Imbalance-half) > 1e-10 {
					t.Errorf("ρ %v: opposite ends of %d is %.12f, same end of %d %.12f", rho, n, w.Imbalance, n/2, half)
				}
			}
		}
	}
}

// Currents of random wirings are those of the full circuit, also on charge,
// with EMFs apart and a string off; power is conserved; the flow at each root
// is the whole current.
func TestEvaluateAgainstCircuit(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for run := range 300 {
		s := bankShape{n: 2 + rng.IntN(4), rows: 1 + rng.IntN(2), stud: rng.IntN(2) == 0, jitter: 0.08, unequal: true, emfSpread: 0.1 * rng.Float64(), capSpread: true,
			current: (5 + 100*rng.Float64()) * float64(1-2*rng.IntN(2)), off: rng.IntN(4) == 0}
		q := randomQuestion(rng, s)
		ps, ns := oracleTrees(&q.Positive), oracleTrees(&q.Negative)
		p, n := ps[rng.IntN(len(ps))], ns[rng.IntN(len(ns))]
		w := mustEvaluate(t, q, Tree{Pairs: p.pairs, Root: p.root}, Tree{Pairs: n.pairs, Root: n.root})
		full := newNetwork(&q)
		full.solve(p, n)
		compareCircuit(t, &q, w, full)
		power := w.TakeoffVoltage*q.Current + w.Loss
		for i, str := range q.Strings {
			if math.Abs(w.Currents[i]-full.current(i)) > 1e-8 {
				t.Errorf("run %d: string %d %.10f A, circuit %.10f", run, i, w.Currents[i], full.current(i))
			}
			power -= str.EMF * w.Currents[i]
		}
		if math.Abs(power) > 1e-9*math.Abs(w.TakeoffVoltage*q.Current) {
			t.Errorf("run %d: %g W are made of nothing", run, power)
		}
		for _, out := range w.Outs {
			q2 := q
			q2.Strings = slices.Clone(q.Strings)
			q2.Strings[out.String].Off = true
			w2 := mustEvaluate(t, q2, w.Positive, w.Negative)
			if math.Abs(w2.Imbalance+1-out.Share) > 1e-9 || math.Abs(w2.Currents[out.Worst]-out.Current) > 1e-9 {
				t.Errorf("run %d, %d out: share %v and %v A, evaluated apart %v and %v", run, out.String, out.Share, out.Current, w2.Imbalance+1, w2.Currents[out.Worst])
			}
		}
	}
}

// The number of wirings is Cayley's: (n+1)^(n-1) trees with a stud, n^(n-2) on
// a post, n^(n-1) with any post.
func TestCayley(t *testing.T) {
	power := func(a, b int) *big.Int { return new(big.Int).Exp(big.NewInt(int64(a)), big.NewInt(int64(b)), nil) }
	most := 6
	if testing.Short() {
		most = 5
	}
	for n := 2; n <= most; n++ {
		for name, c := range map[string]struct {
			shape bankShape
			trees *big.Int
		}{
			"stud": {bankShape{n: n, rows: 1, stud: true, jitter: 0.05}, power(n+1, n-1)},
			"post": {bankShape{n: n, rows: 1, jitter: 0.05}, power(n, n-2)},
			"any":  {bankShape{n: n, rows: 1, any: true, jitter: 0.05}, power(n, n-1)},
		} {
			a := mustSearch(t, randomQuestion(rand.New(rand.NewPCG(1, uint64(n))), c.shape))
			if want := new(big.Int).Mul(c.trees, c.trees); a.Space.Cmp(want) != 0 || !a.Exact {
				t.Errorf("%d strings, %s: %v wirings, Cayley says %v; exact %v", n, name, a.Space, want, a.Exact)
			}
		}
	}
}

// A question over the budget is answered for the pairs it names, exactly, and
// never called exact.
func TestTooLarge(t *testing.T) {
	q := randomQuestion(rand.New(rand.NewPCG(7, 7)), bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true})
	q.Budget.Trees = 40
	a := mustSearch(t, q)
	if a.Exact || a.Examined.Cmp(a.Space) >= 0 || a.Smaller == "" || a.Space.Int64() != 125*125 || a.Examined.Int64() > 40*40 {
		t.Fatalf("exact %v, examined %v of %v, %q", a.Exact, a.Examined, a.Space, a.Smaller)
	}
	part := q
	part.Budget.Trees = 0
	for _, side := range []struct {
		rail *Rail
		use  []int
	}{{&part.Positive, a.PositiveUsed}, {&part.Negative, a.NegativeUsed}} {
		var pairs []Pair
		for _, i := range side.use {
			pairs = append(pairs, side.rail.Pairs[i])
		}
		side.rail.Pairs = pairs
	}
	want := mustSearch(t, part)
	if !want.Exact || want.Space.Cmp(a.Examined) != 0 || len(want.Front) != len(a.Front) {
		t.Fatalf("the part alone: exact %v, %v wirings, front %d; within the whole %v, %d", want.Exact, want.Space, len(want.Front), a.Examined, len(a.Front))
	}
	for i := range want.Front {
		if want.Front[i].Copper != a.Front[i].Copper || want.Front[i].Imbalance != a.Front[i].Imbalance || want.Front[i].Ties != a.Front[i].Ties {
			t.Errorf("wiring %d: %v %v, alone %v %v", i, a.Front[i].Copper, a.Front[i].Imbalance, want.Front[i].Copper, want.Front[i].Imbalance)
		}
	}
	compareFront(t, &part, want)
}

func TestCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Search(ctx, trialSix(0)); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled search gives %v", err)
	}
}

// The answer is the same to the last bit at any number of processors.
func TestSameBits(t *testing.T) {
	q := trialSix(1)
	if testing.Short() {
		q = randomQuestion(rand.New(rand.NewPCG(5, 5)), bankShape{n: 5, rows: 2, stud: true, jitter: 0.08})
	}
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	one := mustSearch(t, q)
	for _, n := range []int{2, 5} {
		runtime.GOMAXPROCS(n)
		if more := mustSearch(t, q); !reflect.DeepEqual(one, more) {
			t.Errorf("another answer with %d processors", n)
		}
	}
}

// Mirroring the bank, and measuring resistance, EMF or capacity in another
// unit, leaves the front as it is.
func TestInvariance(t *testing.T) {
	q := randomQuestion(rand.New(rand.NewPCG(8, 8)), bankShape{n: 4, rows: 2, stud: true, jitter: 0.08, unequal: true, emfSpread: 0.05, capSpread: true})
	base := mustSearch(t, q)
	for name, change := range map[string]func(*Question){
		"rails swapped": func(q *Question) { q.Positive, q.Negative = q.Negative, q.Positive },
		"capacity in another unit": func(q *Question) {
			for i := range q.Strings {
				q.Strings[i].Capacity *= 3600
			}
		},
		"all EMFs raised": func(q *Question) {
			for i := range q.Strings {
				q.Strings[i].EMF += 5
			}
		},
		"resistance doubled, current halved": func(q *Question) {
			q.Current /= 2
			for i := range q.Strings {
				q.Strings[i].Resistance *= 2
			}
			for _, r := range []*Rail{&q.Positive, &q.Negative} {
				r.Pairs = slices.Clone(r.Pairs)
				for i := range r.Pairs {
					r.Pairs[i].Resistance *= 2
				}
			}
		},
		"charge instead, EMFs mirrored": func(q *Question) {
			q.Current = -q.Current
			for i := range q.Strings {
				q.Strings[i].EMF = 26 - q.Strings[i].EMF
			}
		},
	} {
		other := q
		other.Strings = slices.Clone(q.Strings)
		change(&other)
		a := mustSearch(t, other)
		if len(a.Front) != len(base.Front) {
			t.Errorf("%s: front of %d, was %d", name, len(a.Front), len(base.Front))
			continue
		}
		for i := range a.Front {
			if math.Abs(a.Front[i].Copper-base.Front[i].Copper) > 1e-9 || math.Abs(a.Front[i].Imbalance-base.Front[i].Imbalance) > 1e-9 {
				t.Errorf("%s: wiring %d %v m %v, was %v m %v", name, i, a.Front[i].Copper, a.Front[i].Imbalance, base.Front[i].Copper, base.Front[i].Imbalance)
			}
		}
	}
}

// What cannot be worked with is an error that says where.
func TestRefused(t *testing.T) {
	good := func() Question {
		return randomQuestion(rand.New(rand.NewPCG(1, 2)), bankShape{n: 3, rows: 1, stud: true})
	}
	for name, spoil := range map[string]func(*Question){
		"no current":         func(q *Question) { q.Current = 0 },
		"current NaN":        func(q *Question) { q.Current = math.NaN() },
		"no resistance":      func(q *Question) { q.Strings[1].Resistance = 0 },
		"capacity negative":  func(q *Question) { q.Strings[1].Capacity = -1 },
		"EMF infinite":       func(q *Question) { q.Strings[2].EMF = math.Inf(1) },
		"all off":            func(q *Question) { q.Strings[0].Off, q.Strings[1].Off, q.Strings[2].Off = true, true, true },
		"two alike names":    func(q *Question) { q.Positive.Names[1] = q.Positive.Names[2] },
		"pair to itself":     func(q *Question) { q.Positive.Pairs[0].B = q.Positive.Pairs[0].A },
		"pair twice":         func(q *Question) { q.Positive.Pairs = append(q.Positive.Pairs, q.Positive.Pairs[0]) },
		"pair out of range":  func(q *Question) { q.Negative.Pairs[0].B = 9 },
		"length NaN":         func(q *Question) { q.Negative.Pairs[0].Length = math.NaN() },
		"resistance below 0": func(q *Question) { q.Negative.Pairs[0].Resistance = -1 },
		"no root":            func(q *Question) { q.Negative.Roots = nil },
		"not connected":      func(q *Question) { q.Positive.Pairs = q.Positive.Pairs[:1] },
		"string without post": func(q *Question) {
			q.Positive.String[1] = -1
		},
	} {
		q := good()
		spoil(&q)
		if _, err := Search(context.Background(), q); err == nil {
			t.Errorf("%s: answered", name)
		}
	}
	q := good()
	if _, err := Evaluate(&q, Tree{Pairs: []int{0, 1}}, Tree{Pairs: []int{0, 1, 2}}); err == nil {
		t.Error("a tree that does not reach every node was evaluated")
	}
}
