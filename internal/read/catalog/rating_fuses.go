package catalog

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// fusesFile is fuses.yaml.
type fusesFile struct {
	Sources             map[string]source.Ref
	Bands               []bandSetRow
	Rises               []riseSetRow
	Classes             []fuseRow
	StandardRatings     stepsRow   `yaml:"standard_ratings"`
	PreferredInterrupts stepsRow   `yaml:"preferred_interrupts"`
	FuseLimits          []limitRow `yaml:"fuse_limits"`
	RequiredInterrupt   needRow    `yaml:"required_interrupt"`
	Limits              []protectRow
	Reaches             []reachRow
	Devices             []tableRow
}

type bandSetRow struct {
	ID, Source string
	Rows       []struct {
		Multiple          float64
		Over, Least, Most string
		UpTo              string `yaml:"up_to"`
		Holds             bool
		Only              string
	}
}

type riseSetRow struct {
	ID, Source string
	Rows       []struct {
		Over   string
		UpTo   string `yaml:"up_to"`
		Kelvin float64
	}
}

type fuseRow struct {
	ID, Name, Standard, Source, Centres, Stud string
	FastActing                                bool `yaml:"fast_acting"`
	CurrentLimiting                           bool `yaml:"current_limiting"`
	IgnitionProtected                         bool `yaml:"ignition_protected"`
	OpenLink                                  bool `yaml:"open_link"`
	Volts                                     struct {
		List   []string
		Range  bool
		Source string
	}
	Interrupts []struct {
		AC                         bool
		Volts, Least, Most, Source string
	}
	Ratings    struct{ Least, Most, Source string }
	Bands      []string
	Rises      string
	LetThrough throughRow `yaml:"let_through"`
}

type throughRow struct {
	Source    string
	Available []string
	Rows      []struct {
		Rating string
		I2t    float64
		Peaks  []string
	}
}

// stepsRow is a list of currents in amperes.
type stepsRow struct {
	Source string
	Amps   []float64
}

func (t *tables) readFuses(b []byte) error {
	var file fusesFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	bands, rises := r.bandSets(file.Bands), r.riseSets(file.Rises)
	r.some("classes", len(file.Classes))
	for _, row := range file.Classes {
		r.begin("class", row.ID, row.Name)
		one := r.fuse(row)
		for _, id := range row.Bands {
			if bands[id] == nil {
				r.fail("the file has no bands %q", id)
			}
			one.Bands = append(one.Bands, bands[id]...)
		}
		if row.Rises != "" {
			if one.Rises = rises[row.Rises]; one.Rises == nil {
				r.fail("the file has no rises %q", row.Rises)
			}
		}
		t.fuses = append(t.fuses, one)
	}
	t.standard.List, t.standard.Ref = r.steps("standard_ratings", file.StandardRatings)
	t.preferred.List, t.preferred.Ref = r.steps("preferred_interrupts", file.PreferredInterrupts)
	t.fuseLimits = r.limits("fuse_limits", file.FuseLimits)
	t.need = r.need(file.RequiredInterrupt)
	t.limits = r.protects(file.Limits)
	t.reaches = r.reaches(file.Reaches)
	r.some("devices", len(file.Devices))
	for _, row := range file.Devices {
		t.devices = append(t.devices, r.table("devices", row))
	}
	return r.fault
}

func (r *rows) bandSets(all []bandSetRow) map[string][]rating.Band {
	sets := map[string][]rating.Band{}
	for _, set := range all {
		r.begin("bands", set.ID, set.ID)
		ref := r.ref(set.Source)
		for i, b := range set.Rows {
			r.at("bands %q, row %d", set.ID, i+1)
			one := rating.Band{
				Multiple: quantity.Ratio(r.number("multiple", b.Multiple)), Over: maybe[quantity.Current](r, "over", b.Over), UpTo: maybe[quantity.Current](r, "up_to", b.UpTo),
				Holds: b.Holds, Least: maybe[quantity.Duration](r, "least", b.Least), Most: maybe[quantity.Duration](r, "most", b.Most), Only: b.Only, Ref: ref,
			}
			bounds(r, one.Over, one.UpTo)
			timed := one.Least > 0 || one.Most > 0
			if one.Holds == timed || one.Most > 0 && !(one.Most > one.Least) {
				r.fail("either holds, or least below most")
			}
			sets[set.ID] = append(sets[set.ID], one)
		}
	}
	return sets
}

func (r *rows) riseSets(all []riseSetRow) map[string][]rating.ContactRise {
	sets := map[string][]rating.ContactRise{}
	for _, set := range all {
		r.begin("rises", set.ID, set.ID)
		ref := r.ref(set.Source)
		for _, c := range set.Rows {
			one := rating.ContactRise{Over: maybe[quantity.Current](r, "over", c.Over), UpTo: maybe[quantity.Current](r, "up_to", c.UpTo), Kelvin: r.number("kelvin", c.Kelvin), Ref: ref}
			bounds(r, one.Over, one.UpTo)
			sets[set.ID] = append(sets[set.ID], one)
		}
	}
	return sets
}

// fuse reads a class but for the sets it shares with others.
func (r *rows) fuse(row fuseRow) rating.FuseClass {
	one := rating.FuseClass{
		ID: row.ID, Name: row.Name, Standard: row.Standard, Ref: r.ref(row.Source), FastActing: row.FastActing, CurrentLimiting: row.CurrentLimiting,
		IgnitionProtected: row.IgnitionProtected, OpenLink: row.OpenLink, Stud: row.Stud, Centres: maybe[quantity.Length](r, "centres", row.Centres),
	}
	if row.Standard == "" {
		r.fail("a standard is due; write none where there is none")
	}
	if row.Volts.List != nil {
		one.Volts = rating.VoltageMarks{List: list[quantity.Voltage](r, "volts", row.Volts.List), Range: row.Volts.Range, Ref: r.ref(row.Volts.Source)}
		if one.Volts.Range && len(one.Volts.List) != 2 {
			r.fail("a range of volts has two ends")
		}
	}
	for _, c := range row.Interrupts {
		in := rating.Interrupt{AC: c.AC, Volts: maybe[quantity.Voltage](r, "volts", c.Volts), Least: due[quantity.Current](r, "least", c.Least), Most: maybe[quantity.Current](r, "most", c.Most), Ref: r.ref(c.Source)}
		if in.Most == 0 {
			in.Most = in.Least
		}
		if in.Most < in.Least {
			r.fail("interrupt: least is above most")
		}
		one.Interrupts = append(one.Interrupts, in)
	}
	if row.Ratings.Most != "" || row.Ratings.Least != "" {
		one.Ratings = rating.RatingRange{Least: maybe[quantity.Current](r, "least", row.Ratings.Least), Most: due[quantity.Current](r, "most", row.Ratings.Most), Ref: r.ref(row.Ratings.Source)}
		bounds(r, one.Ratings.Least, one.Ratings.Most)
	}
	if row.LetThrough.Rows != nil {
		one.LetThrough = r.through(row.LetThrough)
	}
	return one
}

func (r *rows) through(row throughRow) []rating.LetThrough {
	ref, available := r.ref(row.Source), list[quantity.Current](r, "available", row.Available)
	var all []rating.LetThrough
	for i, l := range row.Rows {
		one := rating.LetThrough{Rating: due[quantity.Current](r, "rating", l.Rating), I2t: r.number("i2t", l.I2t), Ref: ref}
		if i > 0 && (!(one.Rating > all[i-1].Rating) || !(one.I2t > all[i-1].I2t)) {
			r.fail("let_through: row %d does not rise", i+1)
		}
		peaks := list[quantity.Current](r, "peaks", l.Peaks)
		if len(peaks) != len(available) {
			r.fail("let_through: row %d: %d peaks for %d available currents", i+1, len(peaks), len(available))
			peaks = peaks[:min(len(peaks), len(available))]
		}
		for k, p := range peaks {
			one.Peaks = append(one.Peaks, rating.Peak{Available: available[k], Peak: p})
		}
		all = append(all, one)
	}
	return all
}

func (r *rows) steps(kind string, row stepsRow) ([]quantity.Current, source.Ref) {
	r.some(kind, len(row.Amps))
	var all []quantity.Current
	for i, a := range row.Amps {
		all = append(all, quantity.Current(r.number("a step", a)))
		if i > 0 && !(all[i] > all[i-1]) {
			r.fail("%g does not rise above the one before it", a)
		}
	}
	return all, r.ref(row.Source)
}
