package catalog

import (
	"slices"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// ampacityFile is ampacity.yaml.
type ampacityFile struct {
	Sources  map[string]source.Ref
	Ambients []ambientRow
	Bundles  []bundleRow
	Tables   []ampacityRow
	Wires    []wiresRow
}

type ambientRow struct {
	ID         string
	Insulation []string
	Bands      []struct {
		UpTo    string `yaml:"up_to"`
		Factors []*float64
	}
}

type bundleRow struct {
	ID, From, Source string
	Bands            []struct {
		From   int
		Factor float64
	}
}

type ampacityRow struct {
	ID, Title, Source, Setting string
	Regimes                    []string
	Base                       string
	BaseSource                 string `yaml:"base_source"`
	UpTo                       string `yaml:"up_to"`
	UpToSource                 string `yaml:"up_to_source"`
	Insulation, Notes          []string
	Rows                       []struct {
		Size, Name string
		Amps       []*float64
	}
	Engine []struct {
		Ambient, Source string
		Factors         []*float64
	}
	Ambient       string
	AmbientSource string `yaml:"ambient_source"`
	Bundles       string
}

type wiresRow struct {
	ID, Title, Source string
	Rows              []struct {
		Size, R20 string
		Cmil      float64
	}
}

func (t *tables) readAmpacity(b []byte) error {
	var file ampacityFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	r.some("tables", len(file.Tables))
	for _, row := range file.Tables {
		r.begin("table", row.ID, row.Title)
		one := r.ampacity(row)
		if row.Ambient != "" {
			one.Bands = r.ambient(file.Ambients, row, one.Insulation)
		}
		if row.Bundles != "" {
			one.Bundles = r.bundle(file.Bundles, row.Bundles)
		}
		t.ampacities = append(t.ampacities, one)
	}
	r.some("wires", len(file.Wires))
	for _, row := range file.Wires {
		r.begin("wires", row.ID, row.Title)
		t.wires = append(t.wires, r.wires(row))
	}
	return r.fault
}

// ampacity reads a table but for the factors it shares with others.
func (r *rows) ampacity(row ampacityRow) rating.AmpacityTable {
	one := rating.AmpacityTable{ID: row.ID, Title: row.Title, Ref: r.ref(row.Source), Notes: row.Notes}
	one.Setting = oneOf(r, "setting", row.Setting, rating.FreeAir, rating.Raceway, rating.Cord, rating.InHarness)
	for _, g := range row.Regimes {
		one.Regimes = append(one.Regimes, r.regime(g))
	}
	one.Insulation = list[quantity.Temperature](r, "insulation", row.Insulation)
	one.Base = source.Look(due[quantity.Temperature](r, "base", row.Base), r.orRef(row.BaseSource, row.Source))
	if row.UpTo != "" {
		one.UpTo = source.Look(due[quantity.Voltage](r, "up_to", row.UpTo), r.ref(row.UpToSource))
	}
	r.some("table "+row.ID, len(row.Rows))
	for i, line := range row.Rows {
		r.at("table %q, row %d", row.ID, i+1)
		into := rating.AmpacityRow{Name: line.Name, Amps: cells[quantity.Current](r, len(one.Insulation), line.Amps)}
		switch {
		case line.Size != "":
			into.Size = r.size(line.Size)
			into.Name = into.Size.String()
		case line.Name == "":
			r.fail("a size is due, or the name of one above 4/0 AWG")
		}
		if one.Row(into.Size) != nil {
			r.fail("%s stands twice", line.Size)
		}
		one.Rows = append(one.Rows, into)
	}
	for i, e := range row.Engine {
		r.at("table %q, engine %d", row.ID, i+1)
		one.Engine = append(one.Engine, rating.EngineFactors{
			Ref: r.ref(e.Source), Ambient: due[quantity.Temperature](r, "ambient", e.Ambient), Factors: cells[float64](r, len(one.Insulation), e.Factors),
		})
	}
	return one
}

// ambient finds the bands that a table uses. They must have its columns.
func (r *rows) ambient(all []ambientRow, row ampacityRow, insulation []quantity.Temperature) *rating.AmbientFactors {
	i := slices.IndexFunc(all, func(a ambientRow) bool { return a.ID == row.Ambient })
	r.at("table %q, ambient", row.ID)
	if i < 0 {
		r.fail("the file has no ambient %q", row.Ambient)
		return nil
	}
	if !slices.Equal(list[quantity.Temperature](r, "insulation", all[i].Insulation), insulation) {
		r.fail("ambient %q has other columns", row.Ambient)
	}
	one := &rating.AmbientFactors{Ref: r.ref(row.AmbientSource)}
	var tops []string
	for _, b := range all[i].Bands {
		tops = append(tops, b.UpTo)
		one.Bands = append(one.Bands, rating.AmbientBand{Factors: cells[float64](r, len(insulation), b.Factors)})
	}
	for k, top := range list[quantity.Temperature](r, "up_to", tops) {
		one.Bands[k].UpTo = top
	}
	return one
}

func (r *rows) bundle(all []bundleRow, id string) *rating.BundleFactors {
	i := slices.IndexFunc(all, func(b bundleRow) bool { return b.ID == id })
	r.at("bundles %q", id)
	if i < 0 {
		r.fail("the file has no such bundles")
		return nil
	}
	one := &rating.BundleFactors{Ref: r.ref(all[i].Source), From: maybe[quantity.Voltage](r, "from", all[i].From)}
	last := rating.BundleBand{From: 1, Factor: 1} // alone, no factor
	for _, b := range all[i].Bands {
		band := rating.BundleBand{From: b.From, Factor: r.number("factor", b.Factor)}
		if !(band.From > last.From) || !(band.Factor < last.Factor) {
			r.fail("from %d: more conductors and a smaller factor are due", b.From)
		}
		one.Bands, last = append(one.Bands, band), band
	}
	return one
}

func (r *rows) wires(row wiresRow) rating.Wires {
	one := rating.Wires{ID: row.ID, Title: row.Title, Ref: r.ref(row.Source)}
	r.some("wires "+row.ID, len(row.Rows))
	for _, w := range row.Rows {
		r.at("wires %q, %s", row.ID, w.Size)
		wire := rating.Wire{Size: r.size(w.Size), R20: maybe[quantity.ResistancePerLength](r, "r20", w.R20)}
		if mm2 := wire.Size.MM2(); mm2 > 0 && w.Cmil == 0 { // a metric size is its section
			wire.Section = quantity.Area(mm2 * 1e-6)
		} else {
			wire.Section = quantity.Area(r.number("cmil", w.Cmil*rating.CircularMil))
		}
		if _, twice := one.Find(wire.Size); twice {
			r.fail("stands twice")
		}
		one.Rows = append(one.Rows, wire)
	}
	return one
}
