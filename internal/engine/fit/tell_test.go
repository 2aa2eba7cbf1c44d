package fit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Each log that cannot tell something says so, and one that can says nothing
// of it.
func TestUntold(t *testing.T) {
	fine := func(b *truth) { b.branches = []Branch{{1.5e-3, 25}, {6e-3, 400}} }
	discharge := []pulse{{0, 60}, {40, 1800}, {0, 1200}, {20, 3600}, {0, 1200}, {60, 1500}, {0, 1200}}
	for _, row := range []struct {
		name   string
		change func(*truth)
		pulses []pulse
		spoil  func(*Log)
		option Options
		say    string // "": nothing at all
	}{
		{"all can be told", fine, round(80, 8), nil, Options{}, ""},
		{"begins under load", fine, append([]pulse{{50, 900}}, round(80, 8)...), nil, Options{}, "begins under a current of 50.0 A"},
		{"current hardly varies", fine, []pulse{{40, 7200}}, nil, Options{}, "never changes by more than 0 A"},
		{"never rests", fine, []pulse{{20, 600}, {80, 300}, {10, 1200}, {60, 600}, {30, 1200}, {-30, 900}, {50, 900}, {20, 900}}, nil, Options{}, "never rests (below 1.00 A)"},
		{"never charges", fine, discharge, nil, Options{}, "hysteresis is unknown and was left out: charge does not go on"},
		{"never discharges", func(b *truth) { fine(b); b.Start = 0.2 }, []pulse{{0, 60}, {-40, 1800}, {0, 1200}, {-20, 3600}, {0, 1200}}, nil, Options{}, "discharge does not go on"},
		{"hardly moves", func(b *truth) { fine(b); b.Start = 0.6 }, []pulse{{0, 600}, {40, 60}, {0, 600}, {-40, 60}, {0, 600}, {20, 60}, {0, 1200}}, nil, Options{}, "neither charge nor discharge goes on"},
		{"swings little", func(b *truth) { fine(b); b.Start = 0.6 }, round(3, 40), nil, Options{}, "neither charge nor discharge goes on"},
		{"narrow", func(b *truth) { fine(b); b.Start = 0.6 }, round(40, 2), nil, Options{}, "of charge are covered"},
		{"rows far apart", func(b *truth) { b.step = 20; b.branches[0].Tau = 60 }, round(80, 8), nil, Options{}, "Rows are 20.0 s apart: r0 holds all that is faster"},
		{"slow branch, short rests", func(b *truth) { b.branches[1].Tau = 1500 }, round(80, 8), nil, Options{}, "longer than the longest rest, of 15.0 min"},
		{"gap", fine, round(80, 8), func(l *Log) { cut(l, 2000, 2120) }, Options{}, "a gap of 9.83 min before row 2001"},
		{"coarse voltage", fine, round(80, 8), func(l *Log) {
			for k, v := range l.Voltage {
				l.Voltage[k] = math.Round(v*10) / 10
			}
		}, Options{}, "read in steps of 100 mV"},
		{"voltage stands still", fine, round(80, 8), func(l *Log) {
			for k := range l.Voltage {
				l.Voltage[k] = 13.2
			}
		}, Options{}, "never changes"},
		{"no r0", func(b *truth) { fine(b); b.r0 = -1e-5 }, round(80, 8), nil, Options{}, "r0 came out at nil"},
		{"counted below empty", func(b *truth) { fine(b); b.Start = 0.5 }, append(round(80, 3), pulse{80, 1500}), nil, Options{FitCurve: true}, "would go from -"},
		{"efficiency not given", func(b *truth) { fine(b); b.assume = true }, round(80, 8), nil, Options{}, "put in 99.62 % was taken"},
		{"efficiency not given, no curve", func(b *truth) { fine(b); b.assume, b.unknown = true, true }, round(80, 8), nil, Options{}, "put in 100.0 % was taken to come out again (lead-acid"},
		{"curve fitted", fine, round(80, 8), nil, Options{FitCurve: true}, "The curve was fitted from the same log, over the charge counted with 100.0 Ah"},
		{"fast end", func(b *truth) { b.branches = []Branch{{1.5e-3, 3}, {6e-3, 400}} }, round(80, 8), nil, Options{}, "of 10.0 s is at the fast end"},
		{"slow end", func(b *truth) { b.branches = []Branch{{1.5e-3, 25}, {50e-3, 30000}} }, round(80, 8), nil, Options{}, "is at the slow end"},
		{"no second branch", func(b *truth) { b.branches = nil }, round(80, 8), nil, Options{}, "hardly shows"},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := lfp()
			b.noise = 2e-4
			row.change(&b)
			log := b.log(row.pulses)
			if row.spoil != nil {
				row.spoil(&log)
			}
			checkUntold(t, log, b, row.option, row.say)
		})
	}
}

func checkUntold(t *testing.T, log Log, b truth, o Options, say string) {
	t.Helper()
	if b.assume {
		b.Efficiency = 0
	}
	if b.unknown {
		b.OCV = nil
	}
	r, err := Fit(log, b.Battery, o)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(r.Untold, "\n")
	if say == "" && all != "" || !strings.Contains(all, say) {
		t.Errorf("says %q, want %q", all, say)
	}
	if told := !strings.Contains(all, "hysteresis is unknown"); told == math.IsNaN(r.Hysteresis) {
		t.Errorf("hysteresis %g, says %q", r.Hysteresis, all)
	}
	if !(r.R0 >= 0) || !(r.RMS >= 0) || len(r.Curve) < 2 {
		t.Errorf("r0 %g, rms %g, %d points", r.R0, r.RMS, len(r.Curve))
	}
}

// cut takes rows out of a log.
func cut(l *Log, from, to int) {
	for _, column := range []*[]float64{&l.Time, &l.Current, &l.Voltage} {
		*column = slices.Delete(*column, from, to)
	}
}

// What cannot be done is an error that says what would mend it.
func TestErrors(t *testing.T) {
	for _, row := range []struct {
		name string
		make func(l *Log, b *Battery, o *Options)
		want string
	}{
		{"columns differ", func(l *Log, b *Battery, o *Options) { l.Voltage = l.Voltage[1:] }, "one of each a row"},
		{"no rows", func(l *Log, b *Battery, o *Options) { *l = Log{} }, "a log of 0 rows"},
		{"time not finite", func(l *Log, b *Battery, o *Options) { l.Time[2] = math.NaN() }, "row 3: a time of NaN"},
		{"current not finite", func(l *Log, b *Battery, o *Options) { l.Current[0] = math.Inf(-1) }, "row 1: a current of -Inf A"},
		{"voltage past all measure", func(l *Log, b *Battery, o *Options) { l.Voltage[4] = 1e7 }, "row 5: a voltage of 1e+07 V"},
		{"time back", func(l *Log, b *Battery, o *Options) { l.Time[10] = -1 }, "row 11: time goes back"},
		{"time stands still", func(l *Log, b *Battery, o *Options) { clear(l.Time) }, "all rows are of one time"},
		{"rows too far apart", func(l *Log, b *Battery, o *Options) {
			for k := range l.Time {
				l.Time[k] *= 1000
			}
		}, "no room for branches"},
		{"no capacity", func(l *Log, b *Battery, o *Options) { b.Capacity = 0 }, "capacity of 0 C"},
		{"capacity NaN", func(l *Log, b *Battery, o *Options) { b.Capacity = math.NaN() }, "capacity of NaN C"},
		{"start", func(l *Log, b *Battery, o *Options) { b.Start = 90 }, "start at a charge of 90"},
		{"temperature", func(l *Log, b *Battery, o *Options) { b.Kelvin = -5 }, "temperature of -5 K"},
		{"cells", func(l *Log, b *Battery, o *Options) { b.Cells = 0 }, "0 cells"},
		{"efficiency", func(l *Log, b *Battery, o *Options) { b.Efficiency = 1.1 }, "efficiency of 1.1"},
		{"two at once", func(l *Log, b *Battery, o *Options) { b.Cells, b.Start = 0, 2 }, "start at a charge of 2"},
		{"branches", func(l *Log, b *Battery, o *Options) { o.Branches = 3 }, "3 branches; 1 or 2"},
		{"curve not finite", func(l *Log, b *Battery, o *Options) {
			b.OCV = func(s, _ float64) (float64, float64) { return math.NaN(), 3 }
		}, "curve gives NaN V"},
		{"not within", func(l *Log, b *Battery, o *Options) { b.Capacity *= 1e4 }, "between 15.0 % and 90.0 % charge"},
		{"sign turned", func(l *Log, b *Battery, o *Options) {
			b.Start = 0.2
			for k := range l.Current {
				l.Current[k] = -l.Current[k]
			}
		}, "turn its sign"},
	} {
		t.Run(row.name, func(t *testing.T) {
			b := lfp()
			log, o := b.log(round(80, 5)), Options{}
			row.make(&log, &b.Battery, &o)
			r, err := Fit(log, b.Battery, o)
			if err == nil || !strings.Contains(err.Error(), row.want) || r != nil {
				t.Errorf("error %v with %v, want %q", err, r, row.want)
			}
		})
	}
}

// Any log that passes for one gives an error or finite values, and the same
// ones again.
func TestAnything(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 11))
	fits := 0
	for range 400 {
		n := random.IntN(400)
		log := Log{make([]float64, n), make([]float64, n), make([]float64, n)}
		time, current, step := 0.0, 0.0, math.Pow(10, 4*random.Float64()-1)
		size, volts, hold := math.Pow(10, 8*random.Float64()-3), math.Pow(10, 8*random.Float64()-3), random.IntN(30)
		for k := range n {
			if time += step * float64(random.IntN(3)); hold == 0 || k%(hold+1) == 0 {
				current = size * random.NormFloat64()
			}
			log.Time[k], log.Current[k], log.Voltage[k] = time, min(max(current, -bound), bound), min(volts*random.Float64(), bound)
		}
		b := Battery{Capacity: size * step * float64(1+random.IntN(1000)), Start: random.Float64(), Kelvin: warm, Cells: 1 + random.IntN(16)}
		if random.IntN(2) == 0 {
			b.OCV = lfp().OCV
		}
		o := Options{Branches: random.IntN(3), FitCurve: random.IntN(2) == 0}
		r, err := Fit(log, b, o)
		if err != nil {
			continue
		}
		fits++
		again, err := Fit(log, b, o)
		if err != nil || again.RMS != r.RMS || again.R0 != r.R0 || !slices.Equal(again.Branches, r.Branches) || !slices.Equal(again.Curve, r.Curve) || !slices.Equal(again.Untold, r.Untold) {
			t.Fatalf("%+v, and again %+v, %v", r, again, err)
		}
		for _, v := range append([]float64{r.RMS, r.R0, r.Capacity, r.Charge[0], r.Charge[1]}, values(r)...) {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("value %g in %+v", v, r)
			}
		}
	}
	if fits < 50 {
		t.Errorf("%d of the logs could be fitted, too few to say anything", fits)
	}
}

func values(r *Result) []float64 {
	var out []float64
	for _, one := range r.Branches {
		out = append(out, one.R, one.Tau)
	}
	for _, p := range r.Curve {
		out = append(out, p.Charge, max(p.Voltage, 0)) // a fitted curve may be below zero, not NaN
	}
	return out
}
