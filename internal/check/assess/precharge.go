package assess

import (
	"fmt"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/precharge"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

// Inrush is a pre-charge that is asked for. Zero means not given.
type Inrush struct {
	Capacitance float64 // F
	Power       float64 // W of the inverter, to guess the capacitance from
	Voltage     float64 // V; else the bank's
	Source      float64 // ohm; else the bank's
	Loop        float64 // m, one way from bank to inverter
	Resistor    float64 // ohm
	Peak        float64 // A
	Wait        float64 // s
	Fraction    float64 // else 0.95
}

// Geometry of the two conductors that the loop's inductance is estimated for:
// conductors of 12 mm copper 30 mm apart, as heavy cables lie beside each
// other. Common practice, no source.
const (
	loopRadius  = 6e-3
	loopSpacing = 30e-3
	usualLoop   = 1.5 // m
)

// usualPeak is the current a pre-charge is chosen for where nobody says
// another, A. Common practice, no source: what a small switch closes.
const usualPeak = 2

// Precharged is a pre-charge worked out, with what it rests on.
type Precharged struct {
	precharge.Result
	Capacitance source.Value[float64]
	Range       precharge.Guess // of the capacitance, where it was guessed
	Voltage     source.Value[float64]
	Source      source.Value[float64]
	Inductance  source.Value[float64]
	Fraction    float64
}

// Precharge works out a pre-charge; j is the bank it is for, or nil.
func Precharge(j *Job, ask Inrush) (*Precharged, error) {
	p := &Precharged{Fraction: ask.Fraction}
	if p.Fraction == 0 {
		p.Fraction = 0.95
	}
	p.Voltage, p.Source = source.Of(ask.Voltage), source.Of(ask.Source)
	if j != nil {
		if err := p.fromBank(j, ask); err != nil {
			return nil, err
		}
	}
	if p.Voltage.V == 0 {
		return nil, fmt.Errorf("give the bank's voltage with --voltage, or a job file")
	}
	p.Capacitance = source.Of(ask.Capacitance)
	if ask.Capacitance == 0 {
		if ask.Power == 0 {
			return nil, fmt.Errorf("give the inverter's input capacitance with --capacitance (its maker knows it), or its power with --power to guess from")
		}
		g, err := precharge.GuessCapacitance(ask.Power, p.Voltage.V)
		if err != nil {
			return nil, err
		}
		p.Range, p.Capacitance = g, g.Mid
	}
	loop, note := ask.Loop, ""
	if loop == 0 {
		loop, note = usualLoop, fmt.Sprintf("; %g m of cable each way, assumed", usualLoop)
	}
	l, err := precharge.LoopInductance(loop, loopRadius, loopSpacing)
	if err != nil {
		return nil, err
	}
	l.Note += note + "; cables 30 mm apart, assumed"
	p.Inductance = l
	in := precharge.Input{Capacitance: p.Capacitance.V, Voltage: p.Voltage.V, Source: p.Source.V, Inductance: l.V, Fraction: p.Fraction,
		Resistor: ask.Resistor, Peak: ask.Peak, Wait: ask.Wait}
	if in.Resistor == 0 && in.Peak == 0 && in.Wait == 0 {
		in.Peak = usualPeak
	}
	p.Result, err = precharge.Solve(in)
	return p, err
}

// fromBank takes voltage and resistance from the bank at rest.
func (p *Precharged) fromBank(j *Job, ask Inrush) error {
	if err := j.ready(); err != nil {
		return err
	}
	s, err := sharing.Solve(j.Bank, assemble.Rest(catalog.Default()))
	if err != nil {
		return j.named(err)
	}
	if ask.Voltage == 0 {
		p.Voltage = source.Value[float64]{V: s.Voltage, Origin: source.Computed, Note: "the bank at rest, at its take-off"}
	}
	if ask.Source == 0 {
		p.Source = source.Value[float64]{V: s.Resistance, Origin: source.Computed, Note: "the bank at its take-off, without the cable to the inverter"}
	}
	return nil
}
