package network

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
)

func TestBranchError(t *testing.T) {
	good := Branch{From: 0, To: 1, Resistance: 1}
	nan, inf := math.NaN(), math.Inf(1)
	rows := []struct {
		name string
		bad  Branch
		says string
	}{
		{"no resistance", Branch{From: 0, To: 1}, "resistance is 0 ohm"},
		{"negative resistance", Branch{From: 0, To: 1, Resistance: -2}, "resistance is -2 ohm"},
		{"resistance NaN", Branch{From: 0, To: 1, Resistance: nan}, "resistance is NaN ohm"},
		{"resistance infinite", Branch{From: 0, To: 1, Resistance: inf}, "resistance is +Inf ohm"},
		{"resistance below float range of its inverse", Branch{From: 0, To: 1, Resistance: 1e-320}, "give 1e-100 to 1e+100 ohm"},
		{"EMF NaN", Branch{From: 0, To: 1, Resistance: 1, EMF: nan}, "EMF is NaN V"},
		{"EMF infinite", Branch{From: 0, To: 1, Resistance: 1, EMF: -inf}, "EMF is -Inf V"},
		{"From below zero", Branch{From: -1, To: 1, Resistance: 1}, "node -1"},
		{"To beyond the last", Branch{From: 1, To: 3, Resistance: 1}, "node 3; the nodes are 0 to 2"},
		{"both ends at one node", Branch{From: 2, To: 2, Resistance: 1}, "both ends are at node 2"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			_, err := Solve(Network{Nodes: 3, Branches: []Branch{good, r.bad, good}}, nil)
			var branch *BranchError
			if !errors.As(err, &branch) || branch.Branch != 1 || !strings.Contains(err.Error(), r.says) {
				t.Errorf("got %v, want branch 1 and %q", err, r.says)
			}
		})
	}
}

func TestSolveErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	// Parts {0, 2} and {1, 3, 4}; node 5 alone.
	n := Network{Nodes: 6, Branches: []Branch{
		{From: 0, To: 2, Resistance: 1}, {From: 3, To: 1, Resistance: 1}, {From: 4, To: 3, Resistance: 1}}}
	f, err := Factorize(n)
	if err != nil {
		t.Fatal(err)
	}
	rows := []struct {
		name          string
		emf, injected []float64
		want          error // nil: any, with the text below
		says          string
	}{
		{"a part left floating", nil, []float64{1, 0, -1, 0, 5, 0}, &FloatingError{Nodes: []int{1, 3, 4}, Injected: 5}, "5 A put in at nodes joined to nothing else (1, 3, 4)"},
		{"sum zero over the parts only", nil, []float64{1, -1, 0, 0, 0, 0}, &FloatingError{Nodes: []int{0, 2}, Injected: 1}, ""},
		{"into a lone node", nil, []float64{0, 0, 0, 0, 0, 2}, &FloatingError{Nodes: []int{5}, Injected: 2}, ""},
		{"a millionth too much", nil, []float64{1, 0, -1.000001, 0, 0, 0}, nil, "-1e-06 A put in"},
		{"more than any sum holds", nil, []float64{math.MaxFloat64, 0, math.MaxFloat64, 0, 0, 0}, &FloatingError{Nodes: []int{0, 2}, Injected: inf}, ""},
		{"injected NaN", nil, []float64{0, nan, 0, 0, 0, 0}, nil, "node 1: injected current is NaN A"},
		{"injected infinite", nil, []float64{0, 0, 0, 0, 0, inf}, nil, "node 5: injected current is +Inf A"},
		{"injected too short", nil, []float64{0}, nil, "1 injected currents for 6 nodes"},
		{"EMF NaN", []float64{0, nan, 0}, nil, &BranchError{Branch: 1, Reason: emfFault(nan)}, "branch 1"},
		{"EMFs too many", make([]float64, 4), nil, nil, "4 EMFs for 3 branches"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			_, err := f.Solve(r.emf, r.injected)
			if err == nil || !strings.Contains(err.Error(), r.says) {
				t.Fatalf("got %v, want %q", err, r.says)
			}
			if r.want != nil && !reflect.DeepEqual(err, r.want) {
				t.Errorf("got %#v, want %#v", err, r.want)
			}
		})
	}
}

func TestLongFloatingListIsCut(t *testing.T) {
	e := &FloatingError{Nodes: []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, Injected: 1}
	if got := e.Error(); !strings.Contains(got, "(0, 1, 2, 3, 4, 5, 6, 7 and 2 more)") {
		t.Error(got)
	}
}

func TestFactorizeErrors(t *testing.T) {
	for _, nodes := range []int{-1, maxNodes + 1} {
		if _, err := Factorize(Network{Nodes: nodes}); err == nil || !strings.Contains(err.Error(), "nodes") {
			t.Errorf("%d nodes: got %v", nodes, err)
		}
	}
	// A network that fills up is refused, not left to take all memory.
	n := Network{Nodes: 30}
	for a := range n.Nodes {
		for b := range a {
			n.Branches = append(n.Branches, Branch{From: a, To: b, Resistance: 1})
		}
	}
	if f, err := factorize(n, limits{hub: 64, stored: 900}); f != nil || err == nil || !strings.Contains(err.Error(), "so densely") {
		t.Errorf("got %v, %v", f, err)
	}
	if _, err := factorize(n, defaultLimits); err != nil {
		t.Error(err)
	}
}

// TestParts: several parts side by side, each with its own ground, and nodes
// that nothing joins.
func TestParts(t *testing.T) {
	n := Network{Nodes: 7, Branches: []Branch{
		{From: 5, To: 3, Resistance: 2, EMF: 10}, {From: 3, To: 5, Resistance: 3}, // a battery on 3 ohm: 2 A
		{From: 1, To: 6, Resistance: 0.5}}} // 4 A put in at 6, out at 1: 2 V
	s := mustSolve(t, n, []float64{0, -4, 0, 0, 0, 0, 4})
	wantClose(t, "current", s.Current, []float64{2, 2, -4}, 1e-15)
	wantClose(t, "potential", s.Potential, []float64{0, 0, 0, 0, 0, -6, 2}, 1e-14)
	if s.Condition < 1 {
		t.Errorf("condition %g", s.Condition)
	}
}

func TestNothingToSolve(t *testing.T) {
	for _, nodes := range []int{0, 1, 3} {
		s := mustSolve(t, Network{Nodes: nodes}, make([]float64, nodes))
		if len(s.Potential) != nodes || largest(s.Potential) != 0 || len(s.Current) != 0 || s.Residual != 0 || s.Condition != 1 {
			t.Errorf("%d nodes: %+v", nodes, s)
		}
	}
}

// TestAtRest: equal batteries and no load. What flows is rounding, and Check
// does not take its imbalance for a fault.
func TestAtRest(t *testing.T) {
	s := mustSolve(t, ladder(6, 12.8, 0.005, 1e-5, 1e-5), nil)
	if largest(s.Current) > 1e-10 {
		t.Errorf("%g A at rest", largest(s.Current))
	}
}

func TestCheck(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	rows := []struct {
		name string
		s    Solution
		ok   bool
	}{
		{"empty", Solution{}, true},
		{"below the limit", Solution{Current: []float64{3, -100}, Residual: 0.99e-4}, true},
		{"above the limit", Solution{Current: []float64{3, -100}, Residual: 1.01e-4}, false},
		{"rest", Solution{Current: []float64{1e-14}, Residual: 1e-13}, true},
		{"residual with no current", Solution{Current: []float64{0}, Residual: 1e-11}, false},
		{"residual NaN", Solution{Current: []float64{1}, Residual: nan}, false},
		{"current NaN", Solution{Current: []float64{1, nan, 2}}, false},
		{"current infinite", Solution{Current: []float64{-inf}}, false},
		{"potential NaN", Solution{Potential: []float64{nan, 0}, Current: []float64{1}}, false},
	}
	for _, r := range rows {
		if err := r.s.Check(); (err == nil) != r.ok {
			t.Errorf("%s: got %v", r.name, err)
		}
	}
	// And one that overflows on the way.
	s, err := Solve(Network{Nodes: 2, Branches: []Branch{{From: 0, To: 1, Resistance: 1e-100, EMF: 1e300}, {From: 1, To: 0, Resistance: 1}}}, nil)
	if err != nil || s.Check() == nil {
		t.Errorf("overflow: %v, %+v", err, s)
	}
}
