package fit

import (
	"compress/gzip"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"bankwright/internal/read/series"
)

// warm is 25 °C.
const warm = 298.15

// dynamic is the measured log in testdata, with what is known of the cell.
func dynamic(t testing.TB) (Log, Battery) {
	t.Helper()
	f, err := os.Open("testdata/lfp_dynamic_25C.csv.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	log, err := series.Read("lfp_dynamic_25C.csv", z, series.Columns{})
	if err != nil {
		t.Fatal(err)
	}
	// Capacity of the cell as given with the data.
	return Log(*log), Battery{Capacity: 2.0726 * 3600, Start: 1, Kelvin: warm, Cells: 1, OCV: series.LFP().At}
}

// truth is a battery that logs are made from.
type truth struct {
	Battery
	r0, hysteresis float64
	branches       []Branch
	noise          float64 // V, standard deviation
	step           float64 // s between rows
	seed           uint64
	assume         bool // the fit is not told the efficiency
	unknown        bool // nor the curve
}

// pulse is a steady current for a while.
type pulse struct{ current, seconds float64 }

// log makes a log by the closed forms of steady currents: state of charge
// goes straight, each branch and the lean go by one exponential. A jump of the
// current is two rows at one time.
func (b truth) log(pulses []pulse) Log {
	var out Log
	random := rand.New(rand.NewPCG(b.seed, 1))
	time, s, h, x := 0.0, b.Start, 0.0, make([]float64, len(b.branches))
	row := func(t, i, s, h float64, x []float64) {
		low, high := b.OCV(s, b.Kelvin)
		v := float64(b.Cells)*(low+high)/2 - b.r0*i + b.hysteresis*h + b.noise*random.NormFloat64()
		for k, one := range b.branches {
			v -= one.R * x[k]
		}
		out.Time, out.Current, out.Voltage = append(out.Time, t), append(out.Current, i), append(out.Voltage, v)
	}
	for _, p := range pulses {
		rate := p.current / b.Capacity
		if rate < 0 {
			rate *= b.Efficiency
		}
		after := func(dt float64) (float64, float64, []float64) {
			y := make([]float64, len(x))
			for k, one := range b.branches {
				y[k] = p.current + (x[k]-p.current)*math.Exp(-dt/one.Tau)
			}
			lean := h
			if p.current != 0 {
				to := -math.Copysign(1, p.current)
				lean = to + (h-to)*math.Exp(-math.Abs(rate)*dt/Travel)
			}
			return s - rate*dt, lean, y
		}
		n := int(math.Round(p.seconds / b.step))
		for k := range n + 1 {
			dt := float64(k) * b.step
			sk, hk, xk := after(dt)
			row(time+dt, p.current, sk, hk, xk)
		}
		s, h, x = after(float64(n) * b.step)
		time += float64(n) * b.step
	}
	return out
}

// round is discharge in pulses with rests and some charge, repeated.
func round(c float64, times int) []pulse {
	var out []pulse
	for range times {
		out = append(out, pulse{0, 60}, pulse{c, 120}, pulse{0, 300}, pulse{0.3 * c, 600}, pulse{2 * c, 30}, pulse{0, 900}, pulse{-0.4 * c, 500}, pulse{0, 200}, pulse{0.5 * c, 700})
	}
	return out
}

// lfp is an invented 12.8 V 100 Ah battery of four cells.
func lfp() truth {
	return truth{
		Battery: Battery{Capacity: 360e3, Start: 0.95, Kelvin: 283.15, Cells: 4, Efficiency: 0.99, OCV: series.LFP().At},
		r0:      4e-3, hysteresis: 0.03, branches: []Branch{{1.5e-3, 25}, {6e-3, 1100}}, step: 5, seed: 7,
	}
}

// leadAcid is an invented 12 V 80 Ah battery with a straight curve, 7.6 mV a
// percent.
func leadAcid() truth {
	return truth{
		Battery: Battery{Capacity: 288e3, Start: 0.97, Kelvin: warm, Cells: 6, Efficiency: 1, OCV: func(s, _ float64) (float64, float64) { v := (11.89 + 0.76*s) / 6; return v, v }},
		r0:      6e-3, branches: []Branch{{3e-3, 40}, {5e-3, 500}}, step: 5, seed: 9,
	}
}
