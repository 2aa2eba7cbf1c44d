package catalog

import (
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"bankwright/internal/base/source"
)

// tableFiles are the files that rating_*.go read.
var tableFiles = []string{"ampacity.yaml", "fuses.yaml", "hardware.yaml", "insulation.yaml", "laying.yaml"}

// readPart reads one file of tables on its own.
func readPart(t testing.TB, file, text string) (*tables, error) {
	t.Helper()
	var all tables
	for _, p := range all.parts() {
		if p.file == file {
			return &all, p.read([]byte(text))
		}
	}
	t.Fatalf("no part %s", file)
	return nil, nil
}

var (
	flowSource  = regexp.MustCompile(`, (\w+_)?source: \w+`)
	blockSource = regexp.MustCompile(`(?m)^[ ]*(- )?(\w+_)?source: \w+\n`)
	definition  = regexp.MustCompile(`(?m)^  \w+: \{title: ("[^"]*"|[^,}]*)`)
)

// Every naming of a source in every file is taken out, one at a time, and then
// changed to one that is not there: each must be refused, but where a row may
// fall back on its table's source.
func TestEveryRowNeedsItsSource(t *testing.T) {
	const fallBack = 5 // the base of one ampacity table, three pulls, one connector
	texts, fell, tried := shipped(t), 0, 0
	for _, file := range tableFiles {
		text := texts[file]
		for _, at := range append(flowSource.FindAllStringIndex(text, -1), blockSource.FindAllStringIndex(text, -1)...) {
			tried++
			named := text[at[0]:at[1]]
			if _, err := readPart(t, file, text[:at[0]]+text[at[1]:]); err == nil {
				fell++
				if !strings.Contains(named, "base_source") && !strings.Contains(text[at[0]-12:at[0]], "value: ") {
					t.Errorf("%s: taken without %q", file, named)
				}
			} else if !strings.Contains(err.Error(), "source is due") {
				t.Errorf("%s without %q: %v", file, named, err)
			}
			unknown := text[:at[0]] + strings.Replace(named, "source: ", "source: no_such_", 1) + text[at[1]:]
			if _, err := readPart(t, file, unknown); err == nil || !strings.Contains(err.Error(), "has no source") {
				t.Errorf("%s: %q is not there, yet %v", file, named, err)
			}
		}
	}
	if fell != fallBack || tried < 150 {
		t.Errorf("%d of %d rows fall back on their table's source, %d may", fell, tried, fallBack)
	}
}

// A source without a title is refused wherever it is used, so none stands in a
// file unused.
func TestEverySourceIsUsed(t *testing.T) {
	for _, file := range tableFiles {
		text := shipped(t)[file]
		all := definition.FindAllStringSubmatchIndex(text, -1)
		if len(all) < 5 {
			t.Fatalf("%s: %d sources found", file, len(all))
		}
		for _, at := range all {
			if _, err := readPart(t, file, text[:at[2]]+`""`+text[at[3]:]); err == nil || !strings.Contains(err.Error(), "a source needs a title") {
				t.Errorf("%s: %q has no title, yet %v", file, text[at[0]:at[1]], err)
			}
		}
	}
}

// Names of the files, for the rows below.
const (
	ampacity, fuses, hardware, insulation, laying = "ampacity.yaml", "fuses.yaml", "hardware.yaml", "insulation.yaml", "laying.yaml"

	amps18 = "{size: 18 AWG, amps: [10, 10, 15, 20, 20, 25, 25]}"
)

// refusedTables is as refused, for the files of tables.
var refusedTables = []struct{ name, file, old, now, words string }{
	{"figures too few", ampacity, amps18, "{size: 18 AWG, amps: [10, 10]}", "2 figures for 7 columns"},
	{"no figure at all", ampacity, amps18, "{size: 18 AWG, amps: [~, ~, ~, ~, ~, ~, ~]}", "a row without a figure"},
	{"figure below zero", ampacity, amps18, "{size: 18 AWG, amps: [-10, 10, 15, 20, 20, 25, 25]}", "above zero"},
	{"figure not a number", ampacity, amps18, "{size: 18 AWG, amps: [.nan, 10, 15, 20, 20, 25, 25]}", "above zero"},
	{"figure infinite", ampacity, amps18, "{size: 18 AWG, amps: [.inf, 10, 15, 20, 20, 25, 25]}", "above zero"},
	{"figure in words", ampacity, amps18, "{size: 18 AWG, amps: [ten, 10, 15, 20, 20, 25, 25]}", "ten"},
	{"size twice", ampacity, amps18, amps18 + "\n      - " + amps18, "18 AWG stands twice"},
	{"size of no kind", ampacity, "{size: 18 AWG, amps: [10,", "{size: 18, amps: [10,", "a bare number"},
	{"size missing", ampacity, "{size: 18 AWG, amps: [10,", "{amps: [10,", "a size is due"},
	{"unknown key", ampacity, "{size: 18 AWG, amps: [10,", "{size: 18 AWG, colour: red, amps: [10,", "colour"},
	{"columns out of order", ampacity, "insulation: [60 °C, 75 °C, 80 °C,", "insulation: [75 °C, 60 °C, 80 °C,", "does not rise"},
	{"columns without a unit", ampacity, "insulation: [60 °C, 75 °C, 80 °C,", "insulation: [60, 75 °C, 80 °C,", "a bare number"},
	{"unknown regime", ampacity, "regimes: [marine]", "regimes: [lunar]", "lunar"},
	{"unknown setting", ampacity, "setting: cord", "setting: string", "is not one of"},
	{"unknown ambient", ampacity, "ambient: nec\n", "ambient: nac\n", `no ambient "nac"`},
	{"ambient with other columns", ampacity, "insulation: [60 °C, 75 °C, 90 °C]\n    bands", "insulation: [60 °C, 75 °C, 91 °C]\n    bands", "has other columns"},
	{"ambient bands out of order", ampacity, "up_to: 15 °C", "up_to: 5 °C", "does not rise"},
	{"unknown bundles", ampacity, "bundles: law", "bundles: lore", "no such bundles"},
	{"bundle factor that grows", ampacity, "{from: 4, factor: 0.60}", "{from: 4, factor: 0.90}", "a smaller factor"},
	{"bundle out of order", ampacity, "{from: 7, factor: 0.50}", "{from: 3, factor: 0.50}", "more conductors"},
	{"table twice", ampacity, "id: nec_310_17", "id: nec_310_16", "stands twice"},
	{"table without an id", ampacity, "id: nec_310_17", `id: ""`, "an id and a title"},
	{"wire twice", ampacity, "{size: 16 AWG, cmil: 2336}", "{size: 18 AWG, cmil: 2336}", "stands twice"},
	{"wire without section", ampacity, "{size: 16 AWG, cmil: 2336}", "{size: 16 AWG}", "cmil"},

	{"band that neither holds nor ends", fuses, "{multiple: 1.10, up_to: 200 A, least: 15 min}", "{multiple: 1.10, up_to: 200 A}", "least below most"},
	{"band that ends before it begins", fuses, "least: 0.75 s, most: 600 s", "least: 600 s, most: 0.75 s", "least below most"},
	{"band of no rating", fuses, "{multiple: 2, over: 30 A, up_to: 60 A, most: 4 min}", "{multiple: 2, over: 60 A, up_to: 60 A, most: 4 min}", "up_to must be above over"},
	{"band of no multiple", fuses, "{multiple: 1.10, up_to: 200 A,", "{up_to: 200 A,", "multiple"},
	{"unknown bands", fuses, "bands: [blade]", "bands: [bland]", `no bands "bland"`},
	{"unknown rises", fuses, "rises: ul_part_14", "rises: ul_part_41", `no rises "ul_part_41"`},
	{"class twice", fuses, "id: class_r", "id: class_j", "stands twice"},
	{"class without a standard", fuses, "standard: UL 248-12, ", "", "a standard is due"},
	{"range of one volt", fuses, "{list: [125 V, 160 V], range", "{list: [125 V], range", "two ends"},
	{"breaks less at most than at least", fuses, "least: 1.5 kA, most: 2.5 kA", "least: 2.5 kA, most: 1.5 kA", "least is above most"},
	{"ratings upside down", fuses, "ratings: {least: 30 A, most: 200 A", "ratings: {least: 300 A, most: 200 A", "up_to must be above over"},
	{"let-through that falls", fuses, "i2t: 15e3", "i2t: 1e3", "does not rise"},
	{"peaks too many", fuses, "peaks: [5 kA, 7 kA, 9 kA]", "peaks: [5 kA, 7 kA, 9 kA, 10 kA]", "4 peaks for 3"},
	{"standard ratings out of order", fuses, "amps: [10, 15,", "amps: [15, 10,", "does not rise"},
	{"standard ratings missing", fuses, "amps: [10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200]", "amps: []", "no rows"},
	{"branch above main", fuses, "main: 1500 A, branch: 750 A", "main: 750 A, branch: 1500 A", "branch above main"},
	{"large bank without volts", fuses, "volts: 125 V, source: need_large", "source: need_large", "volts"},
	{"next below ratio", fuses, "ratio: 1, next: 1.5, from: 50 V", "ratio: 1, next: 0.5, from: 50 V", "next is below ratio"},
	{"limit of something else", fuses, "of: output", "of: mass", "is not one of"},
	{"reach without length", fuses, "length: 7 in, source: cfr455", "source: cfr455", "length"},
	{"device limit in another unit", fuses, "unit: A", "unit: V", "unit must be"},

	{"limit of two kinds", hardware, "value: 76.2,", "value: 76.2, least: 1,", "either value"},
	{"limit upside down", hardware, "least: 20, most: 26", "least: 26, most: 20", "least is above most"},
	{"limit without a unit", hardware, "value: 76.2, unit: mm", "value: 76.2", "a unit is due"},
	{"limit of nothing", hardware, "value: 76.2, ", "", "least must be"},
	{"no lug on a stud", hardware, "most: 4, source: aircraft", "most: 0, source: aircraft", "at least 1"},
	{"thread of two pitches", hardware, "diameter: 5 mm, pitch: 0.8 mm", "diameter: 5 mm, per_inch: 24, pitch: 0.8 mm", "either pitch or per_inch"},
	{"thread coarser than thick", hardware, "diameter: 5 mm, pitch: 0.8 mm", "diameter: 5 mm, pitch: 8 mm", "not below the diameter"},
	{"force beyond a number", hardware, "{size: 8 AWG, value: 225}", "{size: 8 AWG, value: 1e308}", "value must be"},
	{"preload beyond a number", hardware, "preload: [2.26, 4.85, ~]", "preload: [1e306, 4.85, ~]", "preload must be"},
	{"resistance below any number", hardware, "r20: 264.0", "r20: 1e-320", "r20 must be"},
	{"torque for a battery post", hardware, "use: terminal_screw", "use: battery_post", "is not one of"},
	{"torque in another unit", hardware, "unit: N·m", "unit: Nm", "is not one of"},
	{"torque of another kind", hardware, "title: bolt, is: setting", "title: bolt, is: guess", "is not one of"},
	{"torques too few", hardware, "torque: [1.6, 3.4, 4.6]", "torque: [1.6, 3.4]", "2 torques for 3 columns"},
	{"torque range that falls", hardware, "[[20, 25], [12, 15], 40]", "[[25, 20], [12, 15], 40]", "does not rise"},
	{"torque range of three", hardware, "[[20, 25], [12, 15], 40]", "[[20, 25, 30], [12, 15], 40]", "two ends"},
	{"torque in words", hardware, "[[20, 25], [12, 15], 40]", "[tight, [12, 15], 40]", "is not a torque"},
	{"torque range in words", hardware, "[[20, 25], [12, 15], 40]", "[[20, tight], [12, 15], 40]", "is not a torque"},
	{"torque below zero", hardware, "torque: [1.6, 3.4, 4.6]", "torque: [-1.6, 3.4, 4.6]", "above zero"},
	{"torque of nothing", hardware, "torque: [1.6, 3.4, 4.6]", "torque: [~, ~, ~]", "without a torque"},
	{"torque found two ways", hardware, "{threads: [M6], torque: [7.2]}", "{threads: [M6], wire: x, torque: [7.2]}", "is due"},
	{"torque found no way", hardware, "{threads: [M6], torque: [7.2]}", "{torque: [7.2]}", "is due"},
	{"thread twice", hardware, "{threads: [M6], torque: [7.2]}", "{threads: [M8], torque: [7.2]}", "stands twice"},
	{"wire range upside down", hardware, "{thin: 18 AWG, thick: 10 AWG,", "{thin: 10 AWG, thick: 18 AWG,", "thick is thinner"},
	{"wire range in mm²", hardware, "{thin: 18 AWG, thick: 10 AWG,", "{thin: 1 mm2, thick: 10 AWG,", "not a gauge"},
	{"bar twice", hardware, "{thick: 1/16 in, wide: 3/4 in", "{thick: 1/16 in, wide: 1/2 in", "stands twice"},
	{"bar that alternating current likes", hardware, "r20: 264.0, skin: 1.00", "r20: 264.0, skin: 0.9", "no less resistance"},
	{"rises that fall", hardware, "rises: [30, 50, 65]", "rises: [50, 30, 65]", "rises must rise"},
	{"bolt without a thread", hardware, "thread: M6, hole", `thread: " ", hole`, "a thread is missing"},

	{"insulation that cools in a short", insulation, "rated: 70 °C, limit: 160 °C", "rated: 70 °C, limit: 60 °C", "above where the short starts"},
	{"insulation without a start", insulation, "rated: 70 °C, limit: 160 °C", "limit: 160 °C", "either rated or start"},
	{"insulation of two starts", insulation, "rated: 70 °C, limit: 160 °C", "rated: 70 °C, start: 40 °C, limit: 160 °C", "either rated or start"},
	{"insulation of an unknown material", insulation, "material: pvc, rated: 70 °C", "material: wax, rated: 70 °C", `no material "wax"`},
	{"cable of an unknown material", insulation, "name: PVC, material: pvc", "name: PVC, material: wax", `no material "wax"`},
	{"adiabatic without β", insulation, "beta: 234.5, ", "", "beta"},
	{"resistivity of nothing", insulation, "resistivity: 4.35, ", "", "least must be"},

	{"bend of another laying", laying, "laid: fixed", "laid: knotted", "is not one of"},
	{"bend of no diameter", laying, "diameters: 10, ", "", "diameters"},
	{"support below zero", laying, "spacing: 450 mm", "spacing: -450 mm", "more than zero"},
	{"bond far under", laying, "under: 1, least", "under: 99, least", "0 to 40"},
	{"bond in mm²", laying, "least: 16 AWG, source: e11_bond", "least: 1 mm2, source: e11_bond", "not a gauge"},
	{"grounding that thins", laying, "{device: 20, size: 12 AWG}", "{device: 20, size: 16 AWG}", "thicker conductor"},
	{"grounding out of order", laying, "{device: 20, size: 12 AWG}", "{device: 10, size: 12 AWG}", "thicker conductor"},
	{"least size without unit", laying, "size: 0.75 mm2", "size: 0.75", "a bare number"},
}

func TestLoadRefusesTables(t *testing.T) {
	for _, tc := range refusedTables {
		t.Run(tc.name, func(t *testing.T) {
			c, err := loadWith(t, tc.file, tc.old, tc.now)
			if err == nil || c != nil || !strings.HasPrefix(err.Error(), tc.file+": ") || !strings.Contains(err.Error(), tc.words) {
				t.Errorf("catalogue %v, error %v, should name %s and say %q", c != nil, err, tc.file, tc.words)
			}
		})
	}
}

// A file without one of its lists is refused, and so is an empty one: a table
// lost by a slip does not pass for an empty one.
func TestLoadNeedsEveryList(t *testing.T) {
	top := regexp.MustCompile(`(?m)^(\w+):.*\n(?:(?:[ ].*|#.*)?\n)*`)
	for _, file := range tableFiles {
		text := shipped(t)[file]
		if _, err := readPart(t, file, ""); err == nil {
			t.Errorf("%s empty is taken", file)
		}
		lists := 0
		for _, at := range top.FindAllStringSubmatchIndex(text, -1) {
			name := text[at[2]:at[3]]
			_, err := readPart(t, file, text[:at[0]]+text[at[1]:])
			if err == nil {
				t.Errorf("%s without %s is taken", file, name)
			}
			lists++
		}
		if lists < 4 {
			t.Errorf("%s: %d lists found", file, lists)
		}
	}
}

// checkTables walks all tables: no number is below zero, infinite or none, and
// whatever has a source has a whole one. What is all zero is absent.
func checkTables(t *testing.T, all *tables) {
	t.Helper()
	walk(t, reflect.ValueOf(all).Elem(), "tables")
}

func walk(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) || f < 0 && !strings.HasPrefix(path, "tables.climates.") { // a place may be west of Greenwich and below freezing
			t.Errorf("%s is %v", path, f)
		}
	case reflect.Slice:
		for i := range v.Len() {
			walk(t, v.Index(i), path)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			walk(t, v.Elem(), path)
		}
	case reflect.Struct:
		if v.IsZero() {
			return
		}
		if v.Type() == reflect.TypeFor[source.Ref]() {
			ref := source.Ref{Title: v.FieldByName("Title").String(), At: v.FieldByName("At").String(), Edition: v.FieldByName("Edition").String(), How: source.How(v.FieldByName("How").String())}
			if err := ref.Check(); err != nil {
				t.Errorf("%s: %v", path, err)
			}
			return
		}
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if v.Type().Field(i).Type == reflect.TypeFor[source.Ref]() && v.Field(i).IsZero() {
				t.Errorf("%s.%s: no source", path, name)
			}
			walk(t, v.Field(i), path+"."+name)
		}
	}
}
