package protect

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

// TestPassesSurge: a bolt-in fuse of 200 A is sure to carry twice that for 1 s
// and to have opened after 15 s: just under, at and just over both.
func TestPassesSurge(t *testing.T) {
	d := fuse(t, "bolt 51", 200)
	for _, row := range []struct {
		name         string
		amps, length float64
		pass         Pass
		verdict      Verdict
		margin       float64
	}{
		{"well under", 400, 0.5, Carries, Within, 2},
		{"just under", 400, 1 - 1e-6, Carries, Within, 1 / (1 - 1e-6)},
		{"at the least time", 400, 1, Carries, Within, 1},
		{"just over", 400, 1 + 1e-6, MayOpen, Outside, 1 / (1 + 1e-6)},
		{"just under the most time", 400, 15 - 1e-5, MayOpen, Outside, 1 / (15 - 1e-5)},
		{"at the most time", 400, 15, Opens, Outside, 1.0 / 15},
		{"over it", 400, 20, Opens, Outside, 0.05},
		{"the other way", -400, 1, Carries, Within, 1},
		{"its rating for good", 200, inf, Carries, Within, nan},
		{"110 % for its time", 220, 14400, Carries, Within, 1},
		{"110 % for longer", 220, 14401, MayOpen, Outside, 14400.0 / 14401},
		{"120 % for good", 240, inf, MayOpen, Outside, 0},
		{"beyond what is told, short", 1300, 0.05, NotTold, NotChecked, nan},
		{"beyond what is told, long", 1300, 1, Opens, Outside, nan}, // opened after 1 s at six times already
		{"for no time", 5000, 0, Carries, Within, nan},
		{"no number", nan, 1, NotTold, NotChecked, nan},
		{"no time", 400, nan, NotTold, NotChecked, nan},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := Passes(d, []Step{{row.amps, row.length}}, LoadOptions{})
			if r.Pass != row.pass || r.Steps[0].Pass != row.pass || r.Worst != 0 {
				t.Errorf("%+v", r)
			}
			near(t, "margin", r.Margin, row.margin, 1e-9)
			verdict(t, row.name, r.Outcome, row.verdict)
			if !r.Memory || r.Assumed || r.Grounds[0] != fromMemory {
				t.Errorf("its times are from memory, but it is marked %+v", r.Outcome)
			}
		})
	}
	// A melting I²t of 8000 A²s carries 1300 A for 4.73 ms where the band tells nothing.
	d.Melting = source.Of(8000.0)
	within, over := Passes(d, []Step{{1300, 0.0047}}, LoadOptions{}), Passes(d, []Step{{1300, 0.0048}}, LoadOptions{})
	verdict(t, "by melting", within.Outcome, Within)
	verdict(t, "by melting, over", over.Outcome, Outside, "may open")
}

// TestPassesSteady: a lasting load against 75 % of the rating, just under, at
// and over; a load of two hours is not lasting, one of three is.
func TestPassesSteady(t *testing.T) {
	d := fuse(t, "bolt 30", 100)
	practice := source.Ref{Title: "lasting load of a vehicle fuse at most 75 to 80 % of its rating", How: source.Practice}
	o := LoadOptions{Continuous: source.Assume(0.75, practice, "the lower end")}
	for _, row := range []struct {
		name         string
		amps, length float64
		verdict      Verdict
	}{
		{"just under", 75 - 1e-6, inf, Within},
		{"at", 75, inf, Within},
		{"over", 75 + 1e-6, inf, Outside},
		{"over, two hours", 90, 7200, Within},
		{"over, three hours", 90, 10800, Outside},
		{"rating, two hours", 100, 7200, Within},
		{"over the rating", 101, 7200, Within}, // carried for 4 h at 110 %
	} {
		t.Run(row.name, func(t *testing.T) {
			r := Passes(d, []Step{{row.amps, row.length}}, o)
			verdict(t, row.name, r.Outcome, row.verdict)
			near(t, "lasting", r.Continuous, 75, 0)
			if r.Pass != Carries || !r.Assumed || !r.Memory {
				t.Errorf("%+v", r)
			}
		})
	}
	eighty := Passes(d, []Step{{80, inf}}, LoadOptions{Continuous: source.Of(0.8), Long: 60})
	verdict(t, "at 80 %", eighty.Outcome, Within)
	if eighty.Assumed {
		t.Error("a part that was given counts as assumed")
	}
	near(t, "not asked", Passes(d, []Step{{100, inf}}, LoadOptions{}).Continuous, nan, 0)
}

// TestPassesSteps: steps on end. Each alone is carried; together the largest
// for the time of all, else the sum of parts.
func TestPassesSteps(t *testing.T) {
	d := fuse(t, "bolt 51", 100) // 200 A: 1 s, 350 A: 0.3 s
	for _, row := range []struct {
		name      string
		load      []Step
		pass      Pass
		estimated bool
		worst     int
	}{
		{"largest for all", []Step{{200, 0.1}, {350, 0.1}, {200, 0.1}}, Carries, false, 1},
		{"by sum", []Step{{350, 0.1}, {200, 0.5}}, Carries, true, 1},
		{"sum at one", []Step{{350, 0.15}, {200, 0.5}}, Carries, true, 0},
		{"sum over one", []Step{{350, 0.16}, {200, 0.5}}, MayOpen, true, 0},
		{"with rest between", []Step{{350, 0.2}, {100, 60}, {200, 0.9}}, Carries, false, 2},
		{"one opens", []Step{{350, 0.16}, {200, 0.5}, {200, 20}}, Opens, true, 2},
		{"one is not told", []Step{{200, 0.5}, {700, 0.01}}, NotTold, false, 0},
		{"not told and over one", []Step{{700, 0.01}, {350, 0.2}, {200, 0.5}}, MayOpen, true, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := Passes(d, row.load, LoadOptions{})
			if r.Pass != row.pass || r.Estimated != row.estimated || r.Worst != row.worst {
				t.Errorf("%s, estimated %v, worst %d: %v", r.Pass, r.Estimated, r.Worst, r.Reasons)
			}
			want := map[Pass]Verdict{Carries: Within, MayOpen: Outside, Opens: Outside, NotTold: NotChecked}[row.pass]
			verdict(t, row.name, r.Outcome, want)
			if row.estimated && row.pass == Carries && !strings.Contains(strings.Join(r.Reasons, " "), "estimate") {
				t.Errorf("no word of the estimate: %v", r.Reasons)
			}
		})
	}
	// Without a step above the rating there is no margin, and the worst is that of
	// most current.
	rest := Passes(d, []Step{{90, 60}, {100, 60}, {40, 60}}, LoadOptions{})
	near(t, "margin at rest", rest.Margin, nan, 0)
	if rest.Worst != 1 {
		t.Errorf("worst at rest is %d", rest.Worst)
	}
	// The reason is of the step that decides, not of the least margin.
	verdict(t, "reason", Passes(d, []Step{{200, 14}, {350, 6}, {111, 1e9}}, LoadOptions{}).Outcome, Outside, "F1 opens: 350.0 A for 6.00 s")
	verdict(t, "no load", Passes(d, nil, LoadOptions{}).Outcome, NotChecked, "no load")
	verdict(t, "no rating", Passes(Device{Band: d.Band}, []Step{{1, 1}}, LoadOptions{}).Outcome, NotChecked, "rating of the device")
	verdict(t, "no band", Passes(Device{Rating: source.Of(100.0)}, []Step{{120, 1}}, LoadOptions{}).Outcome, NotChecked, "not told")
}

// TestPassesMonotonic: more current or more time never passes better.
func TestPassesMonotonic(t *testing.T) {
	rng := rand.New(rand.NewPCG(42, 1))
	// A step beyond what is told ranks as not told; then it says nothing.
	told := func(p Pass) int {
		if p == NotTold {
			return -1
		}
		return p.rank()
	}
	for range 3000 {
		d := fuse(t, []string{"blade", "blade high", "bolt 30", "bolt 51"}[rng.IntN(4)], 100)
		s := Step{100 * math.Exp(2*rng.Float64()), math.Exp(-5 + 15*rng.Float64())}
		more := Step{s.Current * (1 + rng.Float64()), s.Seconds * (1 + rng.Float64())}
		a, b := Passes(d, []Step{s}, LoadOptions{}), Passes(d, []Step{more}, LoadOptions{})
		if told(a.Pass) >= 0 && told(b.Pass) >= 0 && told(b.Pass) < told(a.Pass) {
			t.Errorf("%v %s, but %v %s", s, a.Pass, more, b.Pass)
		}
	}
}
