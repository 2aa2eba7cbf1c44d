package rating

import "bankwright/internal/base/source"

// Charging is how a generic battery of a chemistry is charged, V a cell at
// 25 °C. It is no particular battery's: its own sheet governs.
type Charging struct {
	Chemistry    string
	Absorb       Span // V a cell, held until full
	AbsorbRef    source.Ref
	Highest      float64 // V a cell, not to be passed in ordinary charge
	HighestRef   source.Ref
	Float        Span // V a cell; zero: none
	FloatNone    bool // none is right too
	FloatRef     source.Ref
	Equalise     Span // V a cell, zero: never
	EqualiseRef  source.Ref
	Compensation Span // V a kelvin and cell over 25 °C, zero: none
	CompRef      source.Ref
	Cutoff       float64 // V a cell under load at which loads should stop
	CutoffRef    source.Ref
	Cell         float64 // V nominal
}

var (
	chargePractice = source.Ref{Title: "customary charge voltages of 12 V batteries at 25 °C", How: source.Practice}
	vrlaSheet      = source.Ref{Title: "data sheet of a 12 V 40 Ah valve-regulated battery", At: "cyclic 14.7 to 15.0 V", Edition: "not stated", How: source.Read}
	lfpSheet       = source.Ref{Title: "data sheet of a 12.8 V lithium iron phosphate battery", At: "14.4 V recommended, 14.6 V at most", Edition: "not stated", How: source.Read}
	floodedSheet   = source.Ref{Title: "battery maker's charging guide, flooded", At: "equalise at 15.0 V at most 2 h; -3 mV a °C and cell", Edition: "not stated", How: source.Read}
	cutoffPractice = source.Ref{Title: "10.5 V under load for 12 V lead-acid, 2.5 V a cell as the electronics of lithium iron phosphate have it; loads stop above that", How: source.Practice}
	neverPractice  = source.Ref{Title: "sealed lead-acid and lithium iron phosphate are not equalised", How: source.Practice}
)

// chargings is the table. Printed figures are of 12 V batteries: six cells of
// lead-acid, four of lithium iron phosphate.
var chargings = []Charging{
	{Chemistry: "flooded", Absorb: Span{14.4 / 6, 14.8 / 6}, AbsorbRef: chargePractice, Highest: 14.8 / 6, HighestRef: chargePractice,
		Float: Span{13.2 / 6, 13.5 / 6}, FloatRef: chargePractice, Equalise: Span{15.0 / 6, 16.0 / 6}, EqualiseRef: chargePractice,
		Compensation: Span{-0.005, -0.003}, CompRef: floodedSheet, Cutoff: 10.5 / 6, CutoffRef: cutoffPractice, Cell: 2},
	{Chemistry: "agm", Absorb: Span{14.4 / 6, 14.7 / 6}, AbsorbRef: chargePractice, Highest: 15.0 / 6, HighestRef: vrlaSheet,
		Float: Span{13.5 / 6, 13.9 / 6}, FloatRef: chargePractice, EqualiseRef: neverPractice,
		Compensation: Span{-0.005, -0.003}, CompRef: floodedSheet, Cutoff: 10.5 / 6, CutoffRef: cutoffPractice, Cell: 2},
	{Chemistry: "gel", Absorb: Span{14.0 / 6, 14.4 / 6}, AbsorbRef: chargePractice, Highest: 14.4 / 6, HighestRef: chargePractice,
		Float: Span{13.5 / 6, 13.8 / 6}, FloatRef: chargePractice, EqualiseRef: neverPractice,
		Compensation: Span{-0.005, -0.003}, CompRef: floodedSheet, Cutoff: 10.5 / 6, CutoffRef: cutoffPractice, Cell: 2},
	{Chemistry: "lfp", Absorb: Span{14.2 / 4, 14.6 / 4}, AbsorbRef: chargePractice, Highest: 14.6 / 4, HighestRef: lfpSheet,
		Float: Span{13.4 / 4, 13.6 / 4}, FloatNone: true, FloatRef: chargePractice, EqualiseRef: neverPractice,
		CompRef: neverPractice, Cutoff: 2.5, CutoffRef: cutoffPractice, Cell: 3.2},
}

// ChargingOf gives how a chemistry is charged; ok is false for one that is not
// known.
func ChargingOf(chemistry string) (c Charging, ok bool) {
	for _, c := range chargings {
		if c.Chemistry == chemistry {
			return c, true
		}
	}
	return Charging{}, false
}

// Cells gives how many cells in series make a nominal voltage: the nearest
// whole number, at least one.
func (c *Charging) Cells(nominal float64) float64 {
	n := 1.0
	for n+0.5 < nominal/c.Cell {
		n++
	}
	return n
}
