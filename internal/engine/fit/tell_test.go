package fit

import (
	"math"
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
		{"swings little", func(b *truth) { fine(b); b.Start = 0.6 }, round(8, 20), nil, Options{}, "neither charge nor discharge goes on"},
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
			r, err := Fit(log, b.Battery, row.option)
			if err != nil {
				t.Fatal(err)
			}
			all := strings.Join(r.Untold, "\n")
			if row.say == "" && all != "" || !strings.Contains(all, row.say) {
				t.Errorf("says %q, want %q", all, row.say)
			}
			if told := !strings.Contains(all, "hysteresis is unknown"); told == math.IsNaN(r.Hysteresis) {
				t.Errorf("hysteresis %g, says %q", r.Hysteresis, all)
			}
			if !(r.R0 >= 0) || !(r.RMS >= 0) || len(r.Curve) < 2 {
				t.Errorf("r0 %g, rms %g, %d points", r.R0, r.RMS, len(r.Curve))
			}
		})
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
