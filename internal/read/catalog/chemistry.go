package catalog

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"

	"go.yaml.in/yaml/v4"
)

// Chemistry is what is assumed of a battery whose job says little. Volts are of
// one cell.
type Chemistry struct {
	ID         bank.Chemistry
	Name       string
	Cell       source.Value[quantity.Voltage]
	Curve      []bank.CurvePoint
	CurveRef   source.Ref
	CurveNote  string
	Resistance float64          // ohm times coulomb at the voltage At
	At         quantity.Voltage // class that Resistance is of
	Ref        source.Ref       // of Resistance

	Gap            source.Value[bank.Line] // V between the branches over state of charge
	GapWarmth      bank.Line               // factor of it over kelvin
	GapTravel      source.Value[float64]
	Rise           source.Value[bank.Line] // V more while charging, over state of charge
	Warmth, Depth  source.Value[bank.Line] // factors of the resistance over kelvin, over state of charge
	Branches       []SlowBranch
	BranchesRef    source.Ref
	CapacityWarmth source.Value[bank.Line] // factor of the capacity over kelvin
	Entropy        source.Value[bank.Line] // V/K over state of charge
	Efficiency     source.Value[bank.Line] // part of a charge that is kept, over state of charge
	Peukert        source.Value[float64]
	RatedFor       source.Value[quantity.Duration]
	SpecificHeat   source.Value[float64] // J/(kg K)
	Guard          *Guard                // nil: no electronics
}

// SlowBranch is a slow part of one cell's resistance.
type SlowBranch struct {
	Resistance float64 // ohm times coulomb
	Time       quantity.Duration
}

// Guard is how a chemistry's batteries protect themselves, volts of one cell.
type Guard struct {
	Low, High                        quantity.Voltage
	Delay                            quantity.Duration
	ColdCharge, HotCharge, Cold, Hot quantity.Temperature
	Ref                              source.Ref
}

// chemistryRow is a row of chemistries.yaml.
type chemistryRow struct {
	ID, Name             string
	Cell                 string
	CellSource           source.Ref `yaml:"cell_source"`
	Curve                [][]string
	CurveSource          source.Ref `yaml:"curve_source"`
	CurveNote            string     `yaml:"curve_note"`
	ResistanceCapacity   float64    `yaml:"resistance_capacity"`
	ResistanceAt         string     `yaml:"resistance_at"`
	ResistanceSource     source.Ref `yaml:"resistance_source"`
	Gap                  [][]string
	GapSource            source.Ref `yaml:"gap_source"`
	GapNote              string     `yaml:"gap_note"`
	GapWarmth            [][]string `yaml:"gap_warmth"`
	GapTravel            string     `yaml:"gap_travel"`
	Rise                 [][]string
	RiseSource           source.Ref `yaml:"rise_source"`
	GapTravelSource      source.Ref `yaml:"gap_travel_source"`
	Warmth               [][]string
	WarmthSource         source.Ref `yaml:"warmth_source"`
	Depth                [][]string
	DepthSource          source.Ref `yaml:"depth_source"`
	Branches             []branchRow
	BranchesSource       source.Ref `yaml:"branches_source"`
	CapacityWarmth       [][]string `yaml:"capacity_warmth"`
	CapacityWarmthSource source.Ref `yaml:"capacity_warmth_source"`
	Entropy              [][]string
	EntropySource        source.Ref `yaml:"entropy_source"`
	Efficiency           [][]string
	EfficiencySource     source.Ref `yaml:"efficiency_source"`
	Peukert              float64
	PeukertSource        source.Ref `yaml:"peukert_source"`
	RatedFor             string     `yaml:"rated_for"`
	RatedForSource       source.Ref `yaml:"rated_for_source"`
	SpecificHeat         float64    `yaml:"specific_heat"`
	SpecificHeatSource   source.Ref `yaml:"specific_heat_source"`
	Guard                *guardRow
	GuardSource          source.Ref `yaml:"guard_source"`
}

type branchRow struct {
	ResistanceCapacity float64 `yaml:"resistance_capacity"` // mΩ·Ah
	Time               string
}

type guardRow struct {
	Low, High, Delay string
	ColdCharge       string `yaml:"cold_charge"`
	HotCharge        string `yaml:"hot_charge"`
	Cold, Hot        string
}

const milliohmHours = 1e-3 * 3600 // mΩ·Ah in Ω·C

func (c *Catalog) readChemistries(b []byte) error {
	var file struct{ Rows []chemistryRow }
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	for i := range file.Rows {
		r := &file.Rows[i]
		one, err := r.snapshot()
		if err == nil {
			err = r.through(&one)
		}
		if err != nil {
			return fmt.Errorf("row %q: %w", r.ID, err)
		}
		if c.Chemistry(one.ID) != nil {
			return fmt.Errorf("row %q stands twice", r.ID)
		}
		c.chemistries = append(c.chemistries, one)
	}
	return nil
}

// snapshot reads what a snapshot needs: every chemistry has all of it.
func (r *chemistryRow) snapshot() (Chemistry, error) {
	one := Chemistry{ID: bank.Chemistry(r.ID), Name: r.Name, CurveRef: r.CurveSource, CurveNote: r.CurveNote, Ref: r.ResistanceSource}
	for _, ref := range []source.Ref{r.CellSource, r.CurveSource, r.ResistanceSource} {
		if err := ref.Check(); err != nil {
			return one, err
		}
	}
	cell, err := quantity.Parse[quantity.Voltage](r.Cell)
	if err != nil {
		return one, err
	}
	one.Cell = source.Look(cell, r.CellSource)
	if one.At, err = quantity.Parse[quantity.Voltage](r.ResistanceAt); err != nil {
		return one, err
	}
	one.Resistance = r.ResistanceCapacity * milliohmHours
	if one.Curve, err = readCurve(r.Curve); err != nil {
		return one, err
	}
	if !(one.Resistance > 0) || math.IsInf(one.Resistance, 0) || !(cell > 0) || !(one.At > 0) {
		return one, fmt.Errorf("resistance, its voltage and the cell's must be more than zero")
	}
	if !slices.Contains([]bank.Chemistry{bank.LFP, bank.AGM, bank.Gel, bank.Flooded}, one.ID) {
		return one, fmt.Errorf("no job can name this chemistry")
	}
	return one, nil
}

// through reads what a run through time needs beside it; any of it may be absent.
func (r *chemistryRow) through(one *Chemistry) error {
	lines := []struct {
		name string
		rows [][]string
		ref  source.Ref
		into *source.Value[bank.Line]
		axis func(string) (float64, error)
		y    func(string) (float64, error)
	}{
		{"gap", r.Gap, r.GapSource, &one.Gap, ratio, volt},
		{"rise", r.Rise, r.RiseSource, &one.Rise, ratio, volt},
		{"warmth", r.Warmth, r.WarmthSource, &one.Warmth, kelvin, plainNumber},
		{"depth", r.Depth, r.DepthSource, &one.Depth, ratio, plainNumber},
		{"capacity_warmth", r.CapacityWarmth, r.CapacityWarmthSource, &one.CapacityWarmth, kelvin, plainNumber},
		{"entropy", r.Entropy, r.EntropySource, &one.Entropy, ratio, volt},
		{"efficiency", r.Efficiency, r.EfficiencySource, &one.Efficiency, ratio, plainNumber},
	}
	for _, l := range lines {
		if err := readLine(l.name, l.rows, l.ref, l.axis, l.y, l.into); err != nil {
			return err
		}
	}
	one.Gap.Note = r.GapNote
	var warmth source.Value[bank.Line]
	if err := readLine("gap_warmth", r.GapWarmth, r.GapSource, kelvin, plainNumber, &warmth); err != nil {
		return err
	}
	one.GapWarmth = warmth.V
	return r.numbers(one)
}

// numbers reads the single values of a run.
func (r *chemistryRow) numbers(one *Chemistry) error {
	if r.GapTravel != "" {
		travel, err := ratio(r.GapTravel)
		if err != nil {
			return err
		}
		one.GapTravel = source.Look(travel, r.GapTravelSource)
	}
	if r.Peukert != 0 {
		one.Peukert = source.Look(r.Peukert, r.PeukertSource)
	}
	if r.SpecificHeat != 0 {
		one.SpecificHeat = source.Look(r.SpecificHeat, r.SpecificHeatSource)
	}
	if r.RatedFor != "" {
		d, err := quantity.Parse[quantity.Duration](r.RatedFor)
		if err != nil {
			return err
		}
		one.RatedFor = source.Look(d, r.RatedForSource)
	}
	for _, known := range []struct {
		is  bool
		ref source.Ref
	}{{one.GapTravel.Known(), r.GapTravelSource}, {one.Peukert.Known(), r.PeukertSource}, {one.SpecificHeat.Known(), r.SpecificHeatSource},
		{one.RatedFor.Known(), r.RatedForSource}, {len(r.Branches) > 0, r.BranchesSource}, {r.Guard != nil, r.GuardSource}} {
		if err := known.ref.Check(); known.is && err != nil {
			return err
		}
	}
	if err := r.branches(one); err != nil {
		return err
	}
	return r.guard(one)
}

func (r *chemistryRow) branches(one *Chemistry) error {
	one.BranchesRef = r.BranchesSource
	for _, b := range r.Branches {
		d, err := quantity.Parse[quantity.Duration](b.Time)
		if err != nil {
			return err
		}
		if !(b.ResistanceCapacity > 0) || !(d > 0) {
			return fmt.Errorf("branches: resistance and time must be more than zero")
		}
		one.Branches = append(one.Branches, SlowBranch{b.ResistanceCapacity * milliohmHours, d})
	}
	return nil
}

func (r *chemistryRow) guard(one *Chemistry) error {
	if r.Guard == nil {
		return nil
	}
	g := &Guard{Ref: r.GuardSource}
	var err error
	volts := func(s string, into *quantity.Voltage) {
		if err == nil {
			*into, err = quantity.Parse[quantity.Voltage](s)
		}
	}
	warm := func(s string, into *quantity.Temperature) {
		if err == nil {
			*into, err = quantity.Parse[quantity.Temperature](s)
		}
	}
	volts(r.Guard.Low, &g.Low)
	volts(r.Guard.High, &g.High)
	warm(r.Guard.ColdCharge, &g.ColdCharge)
	warm(r.Guard.HotCharge, &g.HotCharge)
	warm(r.Guard.Cold, &g.Cold)
	warm(r.Guard.Hot, &g.Hot)
	if err == nil {
		g.Delay, err = quantity.Parse[quantity.Duration](r.Guard.Delay)
	}
	if err == nil && (!(g.Low < g.High) || !(g.ColdCharge < g.HotCharge) || !(g.Cold < g.Hot)) {
		err = fmt.Errorf("guard: a lower limit is not below its upper one")
	}
	one.Guard = g
	return err
}

// readLine reads points that rise along their axis; no points leave it absent.
func readLine(name string, rows [][]string, ref source.Ref, axis, y func(string) (float64, error), into *source.Value[bank.Line]) error {
	if rows == nil {
		return nil
	}
	if err := ref.Check(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	var line bank.Line
	for i, r := range rows {
		if len(r) != 2 {
			return fmt.Errorf("%s: point %d is not a pair", name, i+1)
		}
		x, err := axis(r[0])
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		v, err := y(r[1])
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if i > 0 && !(x > line[i-1].X) {
			return fmt.Errorf("%s: point %d does not rise", name, i+1)
		}
		line = append(line, bank.LinePoint{X: x, Y: v})
	}
	*into = source.Look(line, ref)
	return nil
}

func ratio(s string) (float64, error) {
	v, err := quantity.Parse[quantity.Ratio](s)
	return float64(v), err
}

func volt(s string) (float64, error) {
	v, err := quantity.Parse[quantity.Voltage](s)
	return float64(v), err
}

func kelvin(s string) (float64, error) {
	v, err := quantity.Parse[quantity.Temperature](s)
	return float64(v), err
}

// plainNumber reads a factor: more than nothing and finite.
func plainNumber(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err == nil && (!(v > 0) || math.IsInf(v, 0)) {
		err = fmt.Errorf("%q: a factor is more than zero", s)
	}
	return v, err
}

func readCurve(rows [][]string) ([]bank.CurvePoint, error) {
	var curve []bank.CurvePoint
	for i, r := range rows {
		if len(r) != 2 {
			return nil, fmt.Errorf("point %d of the curve is not [state of charge, voltage]", i+1)
		}
		s, err := quantity.Parse[quantity.Ratio](r[0])
		if err != nil {
			return nil, err
		}
		v, err := quantity.Parse[quantity.Voltage](r[1])
		if err != nil {
			return nil, err
		}
		if i > 0 && (!(s > curve[i-1].Charge) || v < curve[i-1].Voltage) {
			return nil, fmt.Errorf("point %d of the curve does not rise", i+1)
		}
		curve = append(curve, bank.CurvePoint{Charge: s, Voltage: v})
	}
	if len(curve) < 2 || curve[0].Charge != 0 || curve[len(curve)-1].Charge != 1 {
		return nil, fmt.Errorf("a curve runs from 0 %% to 100 %%")
	}
	return curve, nil
}
