// Package catalog reads the rows under data/ and refuses any row without a
// source. It gives conductors, chemistries, single constants and the published
// tables of ampacity, fuses, joints, torque and insulation by their trade
// names.
package catalog

import (
	"fmt"
	"io/fs"
	"math"
	"sync"

	"bankwright/data"
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"

	"go.yaml.in/yaml/v4"
)

// Conductor is one cable size.
type Conductor struct {
	Size     quantity.Size
	Section  quantity.Area
	R20      source.Value[quantity.ResistancePerLength] // of the row, at 20 °C
	Strands  source.Value[int]                          // least number; unknown where no source says
	Diameter source.Value[quantity.Length]              // outside, of a flexible battery cable; a model, assumed
}

// Constant is one number with its meaning.
type Constant struct {
	Value   float64 // in Unit
	Unit    string
	Meaning string
	Source  source.Ref
}

// Catalog is all rows.
type Catalog struct {
	conductors  []Conductor
	chemistries []Chemistry
	constants   map[string]Constant
	tables
}

// Default gives the catalogue that is built in. It panics if that cannot be
// read, which a test excludes.
var Default = sync.OnceValue(func() *Catalog {
	c, err := Load(data.Files)
	if err != nil {
		panic("catalog: " + err.Error())
	}
	return c
})

// Load reads constants.yaml, conductors.yaml, chemistries.yaml and the tables
// of ampacity.yaml, fuses.yaml, hardware.yaml, insulation.yaml, laying.yaml and
// compartment.yaml and climate.yaml.
func Load(files fs.FS) (*Catalog, error) {
	c := &Catalog{constants: map[string]Constant{}}
	for _, part := range append([]part{
		{"constants.yaml", c.readConstants},
		{"conductors.yaml", c.readConductors},
		{"chemistries.yaml", c.readChemistries},
	}, c.parts()...) {
		b, err := fs.ReadFile(files, part.file)
		if err != nil {
			return nil, err
		}
		if err := part.read(b); err != nil {
			return nil, fmt.Errorf("%s: %w", part.file, err)
		}
	}
	return c, nil
}

// Conductor gives the row of a size, nil if there is none. A metric size never
// finds a gauge row.
func (c *Catalog) Conductor(s quantity.Size) *Conductor {
	for i := range c.conductors {
		if c.conductors[i].Size == s {
			return &c.conductors[i]
		}
	}
	return nil
}

// Conductors gives all rows in the order of the file.
func (c *Catalog) Conductors() []Conductor { return c.conductors }

// Chemistry gives a chemistry's row, nil if there is none.
func (c *Catalog) Chemistry(id bank.Chemistry) *Chemistry {
	for i := range c.chemistries {
		if c.chemistries[i].ID == id {
			return &c.chemistries[i]
		}
	}
	return nil
}

// Constant gives a constant by its ID. It panics on an unknown one: the IDs
// are written in this program, not by a person.
func (c *Catalog) Constant(id string) Constant {
	k, ok := c.constants[id]
	if !ok {
		panic("catalog: no constant " + id)
	}
	return k
}

// PerLength gives a conductor's resistance at 20 °C as it is laid: gauge rows
// times the stranding factor, metric rows as they stand.
func (c *Catalog) PerLength(s quantity.Size) (source.Value[quantity.ResistancePerLength], error) {
	row := c.Conductor(s)
	if row == nil {
		return source.Value[quantity.ResistancePerLength]{}, fmt.Errorf("the catalogue has no conductor %s; it has %s", s, c.sizeWords(s))
	}
	v := row.R20
	if s.IsAWG() {
		k := c.Constant("stranding")
		v.V = quantity.ResistancePerLength(float64(v.V) * k.Value)
		v.Note = fmt.Sprintf("solid copper times %.2f for stranding (%s)", k.Value, k.Source)
	}
	return v, nil
}

func (c *Catalog) sizeWords(like quantity.Size) string {
	words := ""
	for i := range c.conductors {
		if s := c.conductors[i].Size; s.IsAWG() == like.IsAWG() {
			if words != "" {
				words += ", "
			}
			words += s.ASCII()
		}
	}
	return words
}

func (c *Catalog) readConstants(b []byte) error {
	var file struct {
		Rows []struct {
			ID, Unit, Meaning string
			Value             *float64
			Source            source.Ref
		}
	}
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	for _, r := range file.Rows {
		if err := r.Source.Check(); err != nil {
			return fmt.Errorf("row %q: %w", r.ID, err)
		}
		if r.ID == "" || r.Value == nil || r.Unit == "" || r.Meaning == "" || math.IsNaN(*r.Value) || math.IsInf(*r.Value, 0) {
			return fmt.Errorf("row %q: a constant needs id, value, unit and meaning", r.ID)
		}
		if _, twice := c.constants[r.ID]; twice {
			return fmt.Errorf("row %q stands twice", r.ID)
		}
		c.constants[r.ID] = Constant{*r.Value, r.Unit, r.Meaning, r.Source}
	}
	return nil
}

func (c *Catalog) readConductors(b []byte) error {
	type row struct {
		Size, Section, R20, Source string
		Strands                    int
		StrandsSource              string `yaml:"strands_source"`
	}
	var file struct {
		Sources map[string]source.Ref
		Rows    []row
	}
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	for _, r := range file.Rows {
		one, err := c.conductor(r.Size, r.Section, r.R20, file.Sources[r.Source])
		if err != nil {
			return fmt.Errorf("row %q: %w", r.Size, err)
		}
		if r.Strands < 0 {
			return fmt.Errorf("row %q: strands must be more than zero", r.Size)
		}
		if r.Strands != 0 {
			ref := file.Sources[r.StrandsSource]
			if err := ref.Check(); err != nil {
				return fmt.Errorf("row %q, strands: %w", r.Size, err)
			}
			one.Strands = source.Look(r.Strands, ref)
		}
		if c.Conductor(one.Size) != nil {
			return fmt.Errorf("row %q stands twice", r.Size)
		}
		c.conductors = append(c.conductors, one)
	}
	return nil
}

func (c *Catalog) conductor(size, section, r20 string, ref source.Ref) (Conductor, error) {
	var one Conductor
	if err := ref.Check(); err != nil {
		return one, err
	}
	var err error
	if one.Size, err = quantity.ParseSize(size); err != nil {
		return one, err
	}
	if one.Section, err = quantity.Parse[quantity.Area](section); err != nil {
		return one, err
	}
	per, err := quantity.Parse[quantity.ResistancePerLength](r20)
	if err != nil {
		return one, err
	}
	if !(per > 0) || !(one.Section > 0) {
		return one, fmt.Errorf("section and resistance must be more than zero")
	}
	one.R20 = source.Look(per, ref)
	one.Diameter = c.diameter(one)
	return one, nil
}

// diameter models the outside diameter of a flexible battery cable: the
// conductor's round holds 60 % copper, with an insulation wall of 60 mil up
// to 2 AWG and 80 mil above. Good to about 1 mm.
func (c *Catalog) diameter(one Conductor) source.Value[quantity.Length] {
	fill := c.Constant("fill")
	wall := c.Constant("wall_thin")
	const above = 34e-6 // m², just over 2 AWG
	if one.Section > above {
		wall = c.Constant("wall_thick")
	}
	d := math.Sqrt(4*float64(one.Section)/(math.Pi*fill.Value)) + 2*wall.Value/1000
	return source.Assume(quantity.Length(d), fill.Source, "model of a flexible cable, good to about 1 mm; measure yours")
}
