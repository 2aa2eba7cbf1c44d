package catalog

import (
	"io/fs"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"bankwright/data"
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// shipped gives the files of the built-in catalogue, to be broken.
func shipped(t testing.TB) map[string]string {
	t.Helper()
	files := map[string]string{}
	names, err := fs.Glob(data.Files, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		b, err := fs.ReadFile(data.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(b)
	}
	return files
}

// loadWith loads the shipped files with one text of one file replaced.
func loadWith(t testing.TB, file, old, now string) (*Catalog, error) {
	t.Helper()
	all := fstest.MapFS{}
	for name, text := range shipped(t) {
		if name == file {
			if !strings.Contains(text, old) {
				t.Fatalf("%s does not hold %q", file, old)
			}
			text = strings.Replace(text, old, now, 1)
		}
		all[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return Load(all)
}

// Pieces of the shipped files that the rows below break.
const (
	constants, conductors, chemistries = "constants.yaml", "conductors.yaml", "chemistries.yaml"

	joint = "source: {title: one value for every size until a joint is measured, how: practice}"
	wire  = "  - {size: 5 AWG, section: 16.77 mm2, r20: 1.028 mohm/m, source: gauge}\n"
	cell  = "cell_source: {title: nominal voltage of a lithium iron phosphate cell, how: practice}"
)

// refused is a file, a text in it, what is put in its place, and what the error
// must say.
var refused = []struct{ name, file, old, now, words string }{
	{"constant without a source", constants, ", " + joint, "", "a source needs a title"},
	{"constant with an empty source", constants, joint, "source: {}", "a source needs a title"},
	{"constant with a title of spaces", constants, "title: one value for every size until a joint is measured", `title: "  "`, "a source needs a title"},
	{"constant known in an unknown way", constants, joint, "source: {title: x, how: hearsay}", "how must be read, derived, memory or practice"},
	{"published without an edition", constants, joint, "source: {title: x, how: read}", "needs its edition"},
	{"constant with an unknown key", constants, "{id: joint,", "{id: joint, colour: red,", "colour"},
	{"constant without a value", constants, "{id: joint, value: 0.05,", "{id: joint,", "needs id, value, unit and meaning"},
	{"constant without a unit", constants, "value: 0.05, unit: mΩ,", "value: 0.05,", "needs id, value, unit and meaning"},
	{"constant that is not a number", constants, "value: 0.05", "value: .nan", "needs id, value"},
	{"constant that is infinite", constants, "value: 0.05", "value: .inf", "needs id, value"},
	{"constant in words", constants, "value: 0.05", "value: small", "small"},
	{"constant twice", constants, "{id: joint,", "{id: start,", `row "start" stands twice`},
	{"constants with an unknown key at the top", constants, "rows:", "colour: red\nrows:", "colour"},
	{"constants not YAML", constants, "rows:", "rows: [", ""},

	{"conductor without a source", conductors, wire, strings.Replace(wire, ", source: gauge", "", 1), `row "5 AWG": a source needs a title`},
	{"conductor with a source that is not there", conductors, wire, strings.Replace(wire, "gauge", "gage", 1), `row "5 AWG": a source needs a title`},
	{"conductor whose source lacks an edition", conductors, `edition: "2004", how: read`, "how: read", "needs its edition"},
	{"conductor with an unknown key", conductors, wire, strings.Replace(wire, "r20", "colour: red, r20", 1), "colour"},
	{"conductor twice", conductors, wire, wire + wire, `row "5 AWG" stands twice`},
	{"conductor twice, spelled otherwise", conductors, wire, wire + strings.Replace(wire, "5 AWG", "AWG 5", 1), `row "AWG 5" stands twice`},
	{"conductor without a unit", conductors, wire, strings.Replace(wire, "16.77 mm2", "16.77", 1), "a bare number"},
	{"conductor with another unit", conductors, wire, strings.Replace(wire, "mohm/m", "mohm", 1), "is a resistance, not a resistance per length"},
	{"conductor without a size", conductors, wire, strings.Replace(wire, "size: 5 AWG, ", "", 1), "conductor size"},
	{"conductor without resistance", conductors, wire, strings.Replace(wire, "1.028", "0", 1), "must be more than zero"},
	{"conductor of negative section", conductors, wire, strings.Replace(wire, "16.77", "-16.77", 1), "must be more than zero"},
	{"strands without a source", conductors, wire, strings.Replace(wire, "source: gauge", "source: gauge, strands: 19", 1), "strands: a source needs a title"},
	{"strands fewer than none", conductors, wire, strings.Replace(wire, "source: gauge", "source: gauge, strands: -19, strands_source: strands2", 1), "strands"},

	{"chemistry without a source of its cell", chemistries, cell, "cell_source: {}", `row "lfp": a source needs a title`},
	{"chemistry without a source of its curve", chemistries, "curve_source: {title: taken as an AGM battery's, how: practice}", "curve_source: {}", `row "gel": a source needs a title`},
	{"chemistry without a source of its resistance", chemistries, `resistance_source: {title: "12 V 100 Ah flooded deep-cycle battery, full, 5 to 10 mΩ", edition: not at hand, how: memory}`, "", `row "flooded": a source needs a title`},
	{"chemistry with an unknown key", chemistries, "id: lfp\n", "id: lfp\n    colour: red\n", "colour"},
	{"chemistry twice", chemistries, "id: gel", "id: agm", `row "agm" stands twice`},
	{"chemistry of another kind", chemistries, "id: gel", "id: lipo", "lipo"},
	{"chemistry missing", chemistries, "rows:", "rows: []\nothers:", ""},
	{"curve that does not rise in charge", chemistries, "[1 %, 2.6300 V]", "[2 %, 2.6300 V]", "does not rise"},
	{"curve that falls in voltage", chemistries, "[1 %, 2.6300 V]", "[1 %, 1.6300 V]", "does not rise"},
	{"curve that does not begin at nothing", chemistries, "[0 %, 2.1540 V], ", "", "a curve runs from 0 % to 100 %"},
	{"curve that does not end at full", chemistries, ", [100 %, 3.3800 V]", "", "a curve runs from 0 % to 100 %"},
	{"curve the wrong way round", chemistries, "[0 %, 2.1540 V]", "[2.1540 V, 0 %]", "voltage"},
	{"curve with a point of three", chemistries, "[0 %, 2.1540 V]", "[0 %, 2.1540 V, x]", "point 1 of the curve is not"},
	{"resistance not a number", chemistries, "resistance_capacity: 500", "resistance_capacity: .nan", "must be more than zero"},
	{"resistance infinite", chemistries, "resistance_capacity: 500", "resistance_capacity: .inf", "must be more than zero"},
	{"resistance of a battery of no voltage", chemistries, "resistance_at: 12.8 V", "resistance_at: 0 V", "must be more than zero"},
	{"cell of no voltage", chemistries, "cell: 3.2 V", "cell: 0 V", "must be more than zero"},
	{"cell without a unit", chemistries, "cell: 3.2 V", "cell: 3.2", "a bare number"},
}

func TestLoadRefuses(t *testing.T) {
	for _, tc := range refused {
		t.Run(tc.name, func(t *testing.T) {
			c, err := loadWith(t, tc.file, tc.old, tc.now)
			if err == nil || c != nil || !strings.HasPrefix(err.Error(), tc.file+": ") || !strings.Contains(err.Error(), tc.words) {
				t.Errorf("catalogue %v, error %v, should name %s and say %q", c != nil, err, tc.file, tc.words)
			}
		})
	}
	for name := range shipped(t) {
		all := fstest.MapFS{}
		for other, text := range shipped(t) {
			if other != name {
				all[other] = &fstest.MapFile{Data: []byte(text)}
			}
		}
		if _, err := Load(all); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("without %s: %v", name, err)
		}
	}
}

// near reports whether two numbers agree to a relative tolerance.
func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*math.Abs(b) }

// gaugeRows is solid annealed copper at 20 °C: gauge, mm², mΩ/m. From the
// gauge rule with NBS Handbook 100 copper (1966), typed from
// NBS Handbook 100, 1966, by the gauge rule of ASTM B258.
var gaugeRows = []struct {
	gauge        int
	section, r20 float64
}{
	{-3, 107.2, 0.1608}, {-2, 85.01, 0.2028}, {-1, 67.43, 0.2557}, {0, 53.49, 0.3223}, {1, 42.41, 0.4065}, {2, 33.62, 0.5128},
	{3, 26.67, 0.6466}, {4, 21.15, 0.8152}, {5, 16.77, 1.028}, {6, 13.30, 1.297}, {7, 10.55, 1.634}, {8, 8.367, 2.061},
	{9, 6.631, 2.600}, {10, 5.261, 3.277}, {11, 4.168, 4.136}, {12, 3.308, 5.212}, {13, 2.627, 6.564}, {14, 2.082, 8.281},
	{15, 1.652, 10.44}, {16, 1.308, 13.18}, {17, 1.040, 16.58}, {18, 0.8229, 20.95},
}

// metricRows is IEC 60228 class 5, plain copper, highest resistance at 20 °C:
// mm², Ω/km. Typed from extracts (of IEC
// 60228:2004 / DIN VDE 0295).
var metricRows = [][2]float64{
	{0.5, 39.0}, {0.75, 26.0}, {1, 19.5}, {1.5, 13.3}, {2.5, 7.98}, {4, 4.95}, {6, 3.30}, {10, 1.91}, {16, 1.21}, {25, 0.780},
	{35, 0.554}, {50, 0.386}, {70, 0.272}, {95, 0.206}, {120, 0.161},
}

func TestConductorTables(t *testing.T) {
	c := Default()
	const exact = 1e-12 // the printed figures themselves, to the rounding of a scale
	for _, want := range gaugeRows {
		row := c.Conductor(quantity.AWG(want.gauge))
		if row == nil {
			t.Errorf("no row for %v", quantity.AWG(want.gauge))
			continue
		}
		if !near(float64(row.Section)*1e6, want.section, exact) || !near(float64(row.R20.V)*1e3, want.r20, exact) {
			t.Errorf("%v: %g mm², %g mΩ/m, not %g, %g", row.Size, float64(row.Section)*1e6, float64(row.R20.V)*1e3, want.section, want.r20)
		}
	}
	for _, want := range metricRows {
		row := c.Conductor(quantity.SquareMM(want[0]))
		if row == nil || !near(float64(row.Section)*1e6, want[0], exact) || !near(float64(row.R20.V)*1e3, want[1], exact) {
			t.Errorf("%g mm²: %+v, not %g Ω/km", want[0], row, want[1])
		}
	}
	if n := len(gaugeRows) + len(metricRows); len(c.Conductors()) != n {
		t.Errorf("%d rows, not %d: a row that no table here checks", len(c.Conductors()), n)
	}
}

// The gauge rule (ASTM B258): d = 0.005 in · 92^((36−n)/39), rounded to 0.1 mil
// as that standard does; 10.371 Ω·cmil/ft of copper at 20 °C (NBS Handbook 100,
// 1966). One in the fourth figure is the agreement among published tables.
func TestGaugeRule(t *testing.T) {
	for _, row := range Default().Conductors() {
		if !row.Size.IsAWG() {
			continue
		}
		mil := 5 * math.Pow(92, float64(36-row.Size.Gauge())/39)
		mil = math.Round(mil*10) / 10
		section := math.Pi / 4 * math.Pow(mil*25.4e-6, 2)
		perFoot := 10.371 / (mil * mil)
		for _, v := range [][2]float64{{float64(row.Section) * 1e6, section * 1e6}, {float64(row.R20.V) * 1e3, perFoot / 0.3048 * 1e3}} {
			unit := math.Pow(10, math.Floor(math.Log10(v[1]))-3)
			if math.Abs(v[0]-v[1]) > unit*(1+1e-9) {
				t.Errorf("%v: %g, the rule gives %g", row.Size, v[0], v[1])
			}
		}
	}
}

// NFPA 70-2023, Chapter 9 Table 8, stranded uncoated copper, Ω/1000 ft at
// 75 °C, typed from a public copy. The factor for
// stranding is stated there as 1.020 to 1.023, so 0.3 %; half of the last
// printed digit on top.
func TestAgainstElectricalCode(t *testing.T) {
	c := Default()
	for _, row := range []struct {
		gauge    int
		ohm, end float64 // end: one in the last printed digit
	}{
		{14, 3.14, 0.01}, {12, 1.98, 0.01}, {10, 1.24, 0.01}, {8, 0.778, 0.001}, {6, 0.491, 0.001}, {4, 0.308, 0.001}, {3, 0.245, 0.001},
		{2, 0.194, 0.001}, {1, 0.154, 0.001}, {0, 0.122, 0.001}, {-1, 0.0967, 0.0001}, {-2, 0.0766, 0.0001}, {-3, 0.0608, 0.0001},
	} {
		v, err := c.PerLength(quantity.AWG(row.gauge))
		if err != nil {
			t.Fatal(err)
		}
		hot := float64(v.V) * (1 + c.Constant("copper_coefficient").Value*(75-20)) * 304.8
		if math.Abs(hot-row.ohm) > 0.003*row.ohm+row.end/2 {
			t.Errorf("%v: %.5f Ω/1000 ft at 75 °C, the table has %g", quantity.AWG(row.gauge), hot, row.ohm)
		}
	}
}

func TestPerLength(t *testing.T) {
	c := Default()
	awg, err := c.PerLength(quantity.AWG(-1))
	// 0.2557 mΩ/m (table 1.1) times 1.02 for stranding.
	if err != nil || !near(float64(awg.V), 0.2557e-3*1.02, 1e-12) || awg.Origin != source.LookedUp || !strings.Contains(awg.Note, "1.02 for stranding") {
		t.Errorf("2/0 AWG: %+v, %v", awg, err)
	}
	metric, err := c.PerLength(quantity.SquareMM(70))
	// 0.272 Ω/km (table 1.4), no factor.
	if err != nil || !near(float64(metric.V), 0.272e-3, 1e-12) || metric.Origin != source.LookedUp || metric.Note != "" {
		t.Errorf("70 mm2: %+v, %v", metric, err)
	}
	for size, words := range map[quantity.Size]string{
		quantity.SquareMM(13): "the catalogue has no conductor 13 mm²; it has 0.5 mm2, 0.75 mm2", // near 6 AWG, which it is not
		quantity.AWG(20):      "the catalogue has no conductor 20 AWG; it has 4/0 AWG, 3/0 AWG",
		{}:                    "the catalogue has no conductor",
	} {
		if v, err := c.PerLength(size); err == nil || !strings.Contains(err.Error(), words) || v.Known() {
			t.Errorf("%v: %+v, %v", size, v, err)
		}
	}
}

// The defaults that doc/format.md states.
func TestConstants(t *testing.T) {
	for id, want := range map[string]struct {
		value float64
		unit  string
	}{
		"copper_coefficient": {0.00393, "1/K"}, // IEC 60028, 100 % IACS
		"copper_resistivity": {17.241, "nΩ·m"}, // IEC 60028, 100 % IACS
		"stranding":          {1.02, "1"},
		"joint":              {0.05, "mΩ"},
		"start":              {100, "%"},
		"cable_temperature":  {20, "°C"},
		"fault_fraction":     {0.6, "1"},
		"search_current":     {0.2, "1/h"},
	} {
		if k := Default().Constant(id); k.Value != want.value || k.Unit != want.unit || k.Source.Check() != nil || k.Meaning == "" {
			t.Errorf("%s: %+v", id, k)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("an unknown constant is a slip in the program and panics")
		}
	}()
	Default().Constant("no such")
}

// checkCatalog sees that nothing in a catalogue can make a number that is not
// one, and that every row names its source.
func checkCatalog(t *testing.T, c *Catalog) {
	t.Helper()
	positive := func(what string, v float64) {
		if !(v > 0) || math.IsInf(v, 0) {
			t.Errorf("%s is %v", what, v)
		}
	}
	for _, r := range c.Conductors() {
		positive(r.Size.ASCII()+" section", float64(r.Section))
		positive(r.Size.ASCII()+" resistance", float64(r.R20.V))
		positive(r.Size.ASCII()+" diameter", float64(r.Diameter.V))
		if r.R20.Ref.Check() != nil || r.Diameter.Ref.Check() != nil || r.Diameter.Origin != source.Assumed || r.Strands.Known() && (r.Strands.V < 1 || r.Strands.Ref.Check() != nil) {
			t.Errorf("%v: %+v", r.Size, r)
		}
		if v, err := c.PerLength(r.Size); err != nil || v.Ref != r.R20.Ref || c.Conductor(r.Size).Size != r.Size {
			t.Errorf("%v: %+v, %v", r.Size, v, err)
		}
	}
	for _, r := range c.chemistries {
		positive(string(r.ID)+" cell", float64(r.Cell.V))
		positive(string(r.ID)+" resistance", r.Resistance)
		positive(string(r.ID)+" class", float64(r.At))
		if r.Cell.Ref.Check() != nil || r.CurveRef.Check() != nil || r.Ref.Check() != nil || c.Chemistry(r.ID).Name != r.Name {
			t.Errorf("%s: %+v", r.ID, r)
		}
		for i, p := range r.Curve {
			if math.IsNaN(float64(p.Voltage)) || i > 0 && !(p.Charge > r.Curve[i-1].Charge) {
				t.Errorf("%s: point %d: %+v", r.ID, i, p)
			}
		}
	}
	for id, k := range c.constants {
		if k.Source.Check() != nil || k.Unit == "" || k.Meaning == "" || math.IsNaN(k.Value) || math.IsInf(k.Value, 0) {
			t.Errorf("%s: %+v", id, k)
		}
	}
}

func TestShippedCatalog(t *testing.T) {
	c := Default()
	checkCatalog(t, c)
	checkTables(t, &c.tables)
	for _, id := range []bank.Chemistry{bank.LFP, bank.AGM, bank.Gel, bank.Flooded} {
		if c.Chemistry(id) == nil {
			t.Errorf("no row for %s", id)
		}
	}
	if c.Chemistry("lipo") != nil {
		t.Error("a row for a chemistry that no job can name")
	}
	// Thicker conductors have less resistance and a larger outside, in the
	// order of the file: gauges from thick to thin, sections from thin to thick.
	rows := c.Conductors()
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if a.Size.IsAWG() != b.Size.IsAWG() {
			continue
		}
		if (a.Section > b.Section) != (a.R20.V < b.R20.V) || (a.Section > b.Section) != (a.Diameter.V > b.Diameter.V) || (a.Section > b.Section) != a.Size.IsAWG() {
			t.Errorf("%v and %v are out of order: %+v, %+v", a.Size, b.Size, a, b)
		}
	}
	// 67.43 mm² filling 60 % of its round, in 80 mil: 2·√(67.43/0.6/π) + 2·2.032
	// = 11.962 + 4.064 mm; 33.62 mm² in 60 mil: 8.447 + 3.048 mm.
	for gauge, mm := range map[int]float64{-1: 16.026, 2: 11.495} {
		if d := c.Conductor(quantity.AWG(gauge)).Diameter.V; !near(float64(d)*1e3, mm, 1e-4) {
			t.Errorf("%v is %.3f mm, not %g", quantity.AWG(gauge), float64(d)*1e3, mm)
		}
	}
}

// FuzzLoad breaks one file at a time: an error or a sound catalogue, no panic.
func FuzzLoad(f *testing.F) {
	for name, text := range shipped(f) {
		f.Add(name, []byte(text))
		f.Add(name, []byte("rows: [null]"))
		f.Add(name, []byte("rows: [{}]"))
		f.Add(name, []byte(""))
	}
	f.Add("conductors.yaml", []byte("sources: {a: {title: x, how: practice}}\nrows: [{size: 1000 mm2, section: 1e300 m2, r20: 1e-300 ohm/m, source: a}]"))
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		c := &Catalog{constants: map[string]Constant{}}
		for k, v := range Default().constants {
			c.constants[k] = v
		}
		read := map[string]func([]byte) error{"conductors.yaml": c.readConductors, "chemistries.yaml": c.readChemistries}[name]
		for _, p := range c.parts() {
			if p.file == name {
				read = p.read
			}
		}
		if read == nil {
			c.constants = map[string]Constant{}
			read = c.readConstants
		}
		if read(text) == nil {
			checkCatalog(t, c)
			checkTables(t, &c.tables)
		}
	})
}
