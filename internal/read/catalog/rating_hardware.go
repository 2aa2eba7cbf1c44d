package catalog

import (
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// hardwareFile is hardware.yaml.
type hardwareFile struct {
	Sources     map[string]source.Ref
	JointLimits []limitRow `yaml:"joint_limits"`
	StudTests   struct {
		Source, Drop string
		Rows         []struct{ Thread, Current string }
	} `yaml:"stud_tests"`
	ConnectorStatic tableRow `yaml:"connector_static"`
	Pulls           []tableRow
	StudLimits      []struct {
		ID, Title, Regime, Source string
		Most                      int
	} `yaml:"stud_limits"`
	Threads    []threadRow
	NutFactors []struct {
		ID, Title, Source string
		K                 float64
	} `yaml:"nut_factors"`
	Torques   []torqueTableRow
	BarJoints []struct{ Least, Most, Thread, Hole, Source string } `yaml:"bar_joints"`
	Bars      barsRow
}

type threadRow struct {
	Name, Diameter, Pitch, Area, Source string
	PerInch                             float64 `yaml:"per_inch"`
}

type barsRow struct {
	Title, Source, Ambient string
	AmbientSource          string `yaml:"ambient_source"`
	Emissivity             float64
	Rises                  []float64
	Rows                   []struct {
		Thick, Wide, Section, Source string
		Kcmil, R20, Skin             float64
		Amps                         []*float64
	}
}

func (t *tables) readHardware(b []byte) error {
	var file hardwareFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	t.jointLimits = r.limits("joint_limits", file.JointLimits)
	t.studTests = r.studTests(&file)
	t.connectorStatic = r.table("connector_static", file.ConnectorStatic)
	r.some("pulls", len(file.Pulls))
	for _, row := range file.Pulls {
		t.pulls = append(t.pulls, r.table("pulls", row))
	}
	r.some("stud_limits", len(file.StudLimits))
	for _, s := range file.StudLimits {
		r.begin("stud_limit", s.ID, s.Title)
		if s.Most < 1 {
			r.fail("most must be at least 1")
		}
		t.studLimits = append(t.studLimits, rating.StudLimit{ID: s.ID, Title: s.Title, Regime: r.regime(s.Regime), Most: s.Most, Ref: r.ref(s.Source)})
	}
	t.threads = r.threads(file.Threads)
	r.some("nut_factors", len(file.NutFactors))
	for _, n := range file.NutFactors {
		r.begin("nut_factor", n.ID, n.Title)
		t.nutFactors = append(t.nutFactors, rating.NutFactor{ID: n.ID, Title: n.Title, K: r.number("k", n.K), Ref: r.ref(n.Source)})
	}
	r.some("torques", len(file.Torques))
	for _, row := range file.Torques {
		r.begin("torque", row.ID, row.Title)
		t.torques = append(t.torques, r.torque(row))
	}
	t.barJoints = r.barJoints(&file)
	t.bars = r.bars(file.Bars)
	return r.fault
}

func (r *rows) studTests(file *hardwareFile) []rating.StudTest {
	var all []rating.StudTest
	s := file.StudTests
	r.some("stud_tests", len(s.Rows))
	drop, ref := due[quantity.Voltage](r, "drop", s.Drop), r.ref(s.Source)
	for _, row := range s.Rows {
		r.begin("stud_test", row.Thread, row.Thread)
		all = append(all, rating.StudTest{Thread: row.Thread, Current: due[quantity.Current](r, "current", row.Current), Drop: drop, Ref: ref})
	}
	return all
}

func (r *rows) threads(all []threadRow) []rating.Thread {
	const inch = 0.0254 // m
	r.some("threads", len(all))
	var out []rating.Thread
	for _, row := range all {
		r.begin("thread", row.Name, row.Name)
		one := rating.Thread{
			Name: row.Name, Inch: row.PerInch != 0, Diameter: due[quantity.Length](r, "diameter", row.Diameter),
			Area: due[quantity.Area](r, "area", row.Area), Ref: r.ref(row.Source),
		}
		if one.Inch == (row.Pitch != "") {
			r.fail("either pitch or per_inch")
		} else if one.Inch {
			one.Pitch = quantity.Length(inch / r.number("per_inch", row.PerInch))
		} else {
			one.Pitch = due[quantity.Length](r, "pitch", row.Pitch)
		}
		if !(one.Pitch < one.Diameter) {
			r.fail("the pitch is not below the diameter")
		}
		out = append(out, one)
	}
	return out
}

func (r *rows) barJoints(file *hardwareFile) []rating.BarJoint {
	r.some("bar_joints", len(file.BarJoints))
	var out []rating.BarJoint
	for i, b := range file.BarJoints {
		r.at("bar_joints, row %d", i+1)
		one := rating.BarJoint{
			Least: due[quantity.Length](r, "least", b.Least), Most: maybe[quantity.Length](r, "most", b.Most),
			Thread: b.Thread, Hole: due[quantity.Length](r, "hole", b.Hole), Ref: r.ref(b.Source),
		}
		if one.Most != 0 && one.Most < one.Least || strings.TrimSpace(one.Thread) == "" {
			r.fail("least is above most, or a thread is missing")
		}
		out = append(out, one)
	}
	return out
}

func (r *rows) bars(row barsRow) rating.Bars {
	const microPerFoot = 1e-6 / 0.3048 // µΩ/ft in Ω/m
	r.some("bars", len(row.Rows))
	all := rating.Bars{
		Title: row.Title, Ref: r.ref(row.Source), Ambient: source.Look(due[quantity.Temperature](r, "ambient", row.Ambient), r.ref(row.AmbientSource)),
		Emissivity: r.number("emissivity", row.Emissivity), Rises: slices.Clone(row.Rises),
	}
	for i, k := range all.Rises {
		if r.number("a rise", k); i > 0 && !(k > all.Rises[i-1]) {
			r.fail("rises must rise")
		}
	}
	for i, b := range row.Rows {
		r.at("bars, row %d", i+1)
		one := rating.Bar{
			Thickness: due[quantity.Length](r, "thick", b.Thick), Width: due[quantity.Length](r, "wide", b.Wide), Section: due[quantity.Area](r, "section", b.Section),
			Kcmil: r.number("kcmil", b.Kcmil), R20: quantity.ResistancePerLength(r.number("r20", b.R20*microPerFoot)), SkinRatio: r.number("skin", b.Skin),
			Amps: cells[quantity.Current](r, len(all.Rises), b.Amps), AmpsRef: r.ref(b.Source),
		}
		if all.Find(one.Thickness, one.Width) != nil {
			r.fail("stands twice")
		}
		if one.SkinRatio < 1 {
			r.fail("skin: an alternating current meets no less resistance")
		}
		all.Rows = append(all.Rows, one)
	}
	return all
}
