package assess

import (
	"fmt"
	"math"

	"bankwright/internal/engine/fit"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/series"
)

// FitAsk is a log and what is known of its battery. Zero means not given.
type FitAsk struct {
	Chemistry bank.Chemistry
	Capacity  float64 // C
	Nominal   float64 // V, tells the number of cells; else the log's voltage does
	Kelvin    float64 // else 25 °C, assumed
	Start     float64 // state of charge at the first row; negative: 100 %, assumed
	Branches  int     // 1 or 2; else 2
	FitCurve  bool    // the open-circuit curve too, though one is shipped
}

// Fitted is a battery found from a log.
type Fitted struct {
	*fit.Result
	Cells       int
	Kelvin      float64
	Start       float64
	WarmAssumed bool
	FullAssumed bool
}

// FitLog finds a battery's values from a log of it.
func FitLog(log *series.Log, ask FitAsk) (*Fitted, error) {
	chem := catalog.Default().Chemistry(ask.Chemistry)
	if chem == nil {
		return nil, fmt.Errorf("there is no chemistry %q; there are lfp, agm, gel, flooded", ask.Chemistry)
	}
	if !(ask.Capacity > 0) {
		return nil, fmt.Errorf("give the battery's capacity with --capacity, best as measured")
	}
	out := &Fitted{Kelvin: ask.Kelvin, Start: ask.Start}
	if out.Kelvin == 0 {
		out.Kelvin, out.WarmAssumed = 298.15, true
	}
	if out.Start < 0 {
		out.Start, out.FullAssumed = 1, true
	}
	if low, high := counted(log, ask.Capacity, out.Start); low < -0.3 || high > 1.3 {
		return nil, fmt.Errorf("counted from %.0f %%, the log would go from %.0f to %.0f %% of %.4g Ah: the capacity, the start or the sign of the current is wrong (see --charge-positive)", 100*out.Start, 100*low, 100*high, ask.Capacity/3600)
	}
	volts := ask.Nominal
	if volts == 0 {
		volts = middle(log.Voltage)
	}
	out.Cells = max(1, int(math.Round(volts/float64(chem.Cell.V))))
	b := fit.Battery{Capacity: ask.Capacity, Start: out.Start, Kelvin: out.Kelvin, Cells: out.Cells}
	if ask.Chemistry == bank.LFP {
		b.OCV = series.LFP().At
	}
	var err error
	out.Result, err = fit.Fit(fit.Log(*log), b, fit.Options{Branches: ask.Branches, FitCurve: ask.FitCurve})
	return out, err
}

// counted gives the least and the largest state of charge that a log comes to.
func counted(log *series.Log, capacity, start float64) (low, high float64) {
	s := start
	low, high = s, s
	for n := 1; n < len(log.Time); n++ {
		s -= (log.Current[n-1] + log.Current[n]) / 2 * (log.Time[n] - log.Time[n-1]) / capacity
		low, high = math.Min(low, s), math.Max(high, s)
	}
	return low, high
}

// middle is the mean of the least and the largest voltage of a log.
func middle(values []float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return (low + high) / 2
}
