package catalog

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// insulationFile is insulation.yaml.
type insulationFile struct {
	Sources   map[string]source.Ref
	Materials []struct {
		ID, Name, Source         string
		Resistivity, Least, Most float64
	}
	Insulations []insulationRow
	Adiabatic   struct {
		K, Beta, Heat, Computed float64
		Most, Source, Ground    string
	}
	CableTypes []struct{ ID, Name, Material, Volts, Source string } `yaml:"cable_types"`
}

type insulationRow struct {
	ID, Name, Material, Rated, Start, Limit, Over, Source string
	UpTo                                                  string `yaml:"up_to"`
	K                                                     float64
}

func (t *tables) readInsulation(b []byte) error {
	var file insulationFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	r.some("materials", len(file.Materials))
	for _, m := range file.Materials {
		r.begin("material", m.ID, m.Name)
		t.materials = append(t.materials, rating.Material{ID: m.ID, Name: m.Name, Resistivity: r.span(spanRow{m.Resistivity, m.Least, m.Most}), Ref: r.ref(m.Source)})
	}
	r.some("insulations", len(file.Insulations))
	for _, row := range file.Insulations {
		r.begin("insulation", row.ID, row.Name)
		one := r.insulation(row)
		if m := t.material(r, row.Material); m != nil {
			one.Resistivity = source.Look(m.Resistivity, m.Ref)
		}
		t.insulations = append(t.insulations, one)
	}
	r.at("adiabatic")
	a := file.Adiabatic
	t.adiabatic = rating.Adiabatic{
		K: r.number("k", a.K), Beta: r.number("beta", a.Beta), Ref: r.ref(a.Source),
		Heat: r.number("heat", a.Heat), Most: due[quantity.Duration](r, "most", a.Most), Computed: r.number("computed", a.Computed), Ground: r.ref(a.Ground),
	}
	r.some("cable_types", len(file.CableTypes))
	for _, c := range file.CableTypes {
		r.begin("cable_type", c.ID, c.Name)
		t.material(r, c.Material)
		t.cableTypes = append(t.cableTypes, rating.CableType{ID: c.ID, Name: c.Name, Material: c.Material, Volts: due[quantity.Voltage](r, "volts", c.Volts), Ref: r.ref(c.Source)})
	}
	return r.fault
}

// material finds a material by its ID; "" is none, an unknown one a fault.
func (t *tables) material(r *rows, id string) *rating.Material {
	if m := find(t.materials, func(m *rating.Material) bool { return m.ID == id }); m != nil {
		return m
	}
	if id != "" {
		r.fail("the file has no material %q", id)
	}
	return nil
}

func (r *rows) insulation(row insulationRow) rating.Insulation {
	one := rating.Insulation{
		ID: row.ID, Name: row.Name, Material: row.Material, Rated: maybe[quantity.Temperature](r, "rated", row.Rated), Start: maybe[quantity.Temperature](r, "start", row.Start),
		Limit: due[quantity.Temperature](r, "limit", row.Limit), Over: maybe[quantity.Area](r, "over", row.Over), UpTo: maybe[quantity.Area](r, "up_to", row.UpTo),
		K: r.number("k", row.K), Ref: r.ref(row.Source),
	}
	if (one.Rated == 0) == (one.Start == 0) {
		r.fail("either rated or start")
	}
	if one.Start == 0 {
		one.Start = one.Rated
	}
	if !(one.Start < one.Limit) {
		r.fail("limit must be above where the short starts")
	}
	bounds(r, one.Over, one.UpTo)
	return one
}

// layingFile is laying.yaml.
type layingFile struct {
	Sources map[string]source.Ref
	Bends   []struct {
		ID, Title, Laid, Over, Source string
		UpTo                          string `yaml:"up_to"`
		Diameters                     float64
	}
	Supports []struct {
		ID, Title, Regime, Spacing, First, Source string
		Battery                                   bool
	}
	LeastSizes []struct {
		ID, Title, Regime, Size, Over, Source string
		OutOf                                 string `yaml:"out_of"`
		Sheathed                              bool
	} `yaml:"least_sizes"`
	Bonding []struct {
		ID, Title, Regime, Least, Source string
		Under                            *int
	}
	Grounding []groundingRow
}

type groundingRow struct {
	ID, Title, Regime, Source string
	Rows                      []struct {
		Device float64
		Size   string
	}
}

func (t *tables) readLaying(b []byte) error {
	var file layingFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	r.some("bends", len(file.Bends))
	for _, b := range file.Bends {
		r.begin("bend", b.ID, b.Title)
		one := rating.Bend{
			ID: b.ID, Title: b.Title, Laid: oneOf(r, "laid", b.Laid, rating.Fixed, rating.Moving, rating.Bundled, rating.AtStrip, rating.HighV),
			Over: maybe[quantity.Length](r, "over", b.Over), UpTo: maybe[quantity.Length](r, "up_to", b.UpTo), Diameters: r.number("diameters", b.Diameters), Ref: r.ref(b.Source),
		}
		bounds(r, one.Over, one.UpTo)
		t.bends = append(t.bends, one)
	}
	r.some("supports", len(file.Supports))
	for _, s := range file.Supports {
		r.begin("support", s.ID, s.Title)
		t.supports = append(t.supports, rating.Support{
			ID: s.ID, Title: s.Title, Regime: r.regime(s.Regime), Spacing: due[quantity.Length](r, "spacing", s.Spacing),
			First: maybe[quantity.Length](r, "first", s.First), Battery: s.Battery, Ref: r.ref(s.Source),
		})
	}
	t.thinnest(r, &file)
	r.some("grounding", len(file.Grounding))
	for _, g := range file.Grounding {
		r.begin("grounding", g.ID, g.Title)
		t.grounding = append(t.grounding, r.grounding(g))
	}
	return r.fault
}

// thinnest reads the least sizes of conductors and of bonds.
func (t *tables) thinnest(r *rows, file *layingFile) {
	r.some("least_sizes", len(file.LeastSizes))
	for _, l := range file.LeastSizes {
		r.begin("least_size", l.ID, l.Title)
		t.leastSizes = append(t.leastSizes, rating.LeastSize{
			ID: l.ID, Title: l.Title, Regime: r.regime(l.Regime), Sheathed: l.Sheathed, Size: r.size(l.Size),
			Over: maybe[quantity.Length](r, "over", l.Over), OutOf: maybe[quantity.Length](r, "out_of", l.OutOf), Ref: r.ref(l.Source),
		})
	}
	r.some("bonding", len(file.Bonding))
	for _, b := range file.Bonding {
		r.begin("bonding", b.ID, b.Title)
		one := rating.Bonding{ID: b.ID, Title: b.Title, Regime: r.regime(b.Regime), Under: -1, Least: r.gauge(b.Least), Ref: r.ref(b.Source)}
		if b.Under != nil {
			if one.Under = *b.Under; one.Under < 0 || one.Under > 40 {
				r.fail("under must be 0 to 40 gauge numbers")
			}
		}
		t.bonding = append(t.bonding, one)
	}
}

func (r *rows) grounding(row groundingRow) rating.GroundingTable {
	one := rating.GroundingTable{ID: row.ID, Title: row.Title, Regime: r.regime(row.Regime), Ref: r.ref(row.Source)}
	r.some("grounding "+row.ID, len(row.Rows))
	for i, g := range row.Rows {
		r.at("grounding %q, row %d", row.ID, i+1)
		into := rating.GroundingRow{Device: quantity.Current(r.number("device", g.Device)), Size: r.gauge(g.Size)}
		if i > 0 && (!(into.Device > one.Rows[i-1].Device) || into.Size.Gauge() >= one.Rows[i-1].Size.Gauge()) {
			r.fail("a larger device needs a thicker conductor")
		}
		one.Rows = append(one.Rows, into)
	}
	return one
}
