package job

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"
)

func compileSchema(t *testing.T, text []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("job.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("job.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// anyOf reads YAML the way an editor does before it asks the schema.
func anyOf(t *testing.T, src []byte) any {
	t.Helper()
	var v any
	if err := yaml.Load(src, &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	v, err = jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestSchemaAcceptsGoodJobs(t *testing.T) {
	s := compileSchema(t, Schema())
	files := goodFiles(t)
	files["pair"] = []byte(pair)
	files["names that look like numbers"] = []byte(swap("id: S1", "id: 1") + "title: 2026\n  ")
	for _, size := range []string{"AWG 2", "2awg", "00 AWG", "2.5 mm²", "2.5 mm^2", `"70mm2"`} {
		files["size "+size] = []byte(swap("size: 2/0 AWG", "size: "+size))
	}
	for _, length := range []string{"⅔ in", "1 ft 3 1/2 in", `5' 3½"`, "0.5 m", "1e3 mm", "2 yd", `"11in"`} {
		files["length "+length] = []byte(swap("length: 11 in", "length: "+length))
	}
	for name, src := range files {
		if _, err := Read(name, src); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := s.Validate(anyOf(t, src)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaRejectsBadJobs(t *testing.T) {
	s := compileSchema(t, Schema())
	for _, tc := range []struct{ name, src string }{
		{"empty set", "{}\n"},
		{"list", "[]\n"},
		{"version 2", swap("bankwright: 1", "bankwright: 2")},
		{"version in quotes", swap("bankwright: 1", `bankwright: "1"`)},
		{"unknown key", swap("size: 2/0 AWG", "sise: 2/0 AWG")},
		{"unknown key at the top", add("battery: 1\n")},
		{"no take-off", strings.Replace(pair, "takeoff: {positive: B1+, negative: B2-}\n", "", 1)},
		{"battery without a type", swap("{id: B1, type: b,", "{id: B1,")},
		{"no batteries", strings.Replace(strings.Replace(pair, "  - {id: B1, type: b, at: [0 mm, 0 mm, 0 mm]}\n", "", 1), "batteries:\n  - {id: B2, type: b, at: [400 mm, 0 mm, 0 mm]}", "batteries: []", 1)},
		{"bare number", swap("length: 11 in", "length: 11")},
		{"number without a unit in quotes", swap("length: 11 in", `length: "11"`)},
		{"no number", swap("length: 11 in", "length: in")},
		{"bare size", swap("size: 2/0 AWG", "size: 2/0")},
		{"size in inches", swap("size: 2/0 AWG", "size: 1 in")},
		{"chemistry", swap("chemistry: lfp", "chemistry: lipo")},
		{"kind of part", swap("kind: stud", "kind: nut")},
		{"turn", swap("at: [400 mm, 0 mm, 0 mm]", "at: [400 mm, 0 mm, 0 mm], turn: 45")},
		{"two coordinates", swap("[400 mm, 0 mm, 0 mm]", "[400 mm, 0 mm]")},
		{"four coordinates", swap("[400 mm, 0 mm, 0 mm]", "[400 mm, 0 mm, 0 mm, 0 mm]")},
		{"ID with a space", swap("id: S1", "id: S 1")},
		{"end", swap("to: B2+", "to: B2*")},
		{"open: yes", swap("kind: switch,", `kind: switch, open: "yes",`)},
		{"65 studs", swap("studs: 4", "studs: 65")},
		{"half a stud", swap("studs: 4", "studs: 3.5")},
		{"joint as a list", add("  - {id: W3, from: B1+, to: S1, size: 2 AWG, joint: [1 mΩ]}\n")},
		{"joint with an unknown key", add("  - {id: W3, from: B1+, to: S1, size: 2 AWG, joint: {both: 1 mΩ}}\n")},
		{"reading as a list", add("readings: [{id: R1, case: day, current: [1 A]}]\n")},
		{"reading as a number", add("readings: [{id: R1, case: day, current: {B1: 1}}]\n")},
		{"curve of one point", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V]]")},
		{"point of three", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V, 1 V], [100 %, 13 V]]")},
		{"null", add("title: null\n")},
	} {
		if err := s.Validate(anyOf(t, []byte(tc.src))); err == nil {
			t.Errorf("%s: accepted", tc.name)
		}
		if _, err := Read("job.yaml", []byte(tc.src)); err == nil && tc.name != "version in quotes" {
			t.Errorf("%s: the reader, which is the judge, accepts it", tc.name)
		}
	}
}

// examples reads the example of each key with that key's own reader, and asks
// the key's schema.
func (o *objectShape[T]) examples(t *testing.T) {
	for _, p := range o.props {
		t.Run(o.title+"."+p.key, func(t *testing.T) {
			var w walk
			root := parse(&w, []byte(p.doc.Example))
			if root == nil || root.Kind != yaml.MappingNode || len(root.Content) != 2 || root.Content[0].Value != p.key {
				t.Fatalf("%q is not one key %s: %v", p.doc.Example, p.key, w.list)
			}
			var into T
			if p.read(&w, root.Content[1], &into); w.list != nil {
				t.Errorf("%q: %v", p.doc.Example, w.list)
			}
			text, err := json.Marshal(p.shape.schema())
			if err != nil {
				t.Fatal(err)
			}
			value := anyOf(t, []byte(p.doc.Example)).(map[string]any)[p.key]
			if err := compileSchema(t, text).Validate(value); err != nil {
				t.Errorf("the schema of %s: %v", p.key, err)
			}
		})
	}
}

func TestExamples(t *testing.T) {
	for _, s := range sections {
		s.(interface{ examples(*testing.T) }).examples(t)
	}
}

// Every key says what it means, and what holds without it.
func TestFieldTables(t *testing.T) {
	samples := ""
	for _, src := range goodFiles(t) {
		samples += string(src)
	}
	for _, s := range sections {
		title, intro := s.heading()
		if title == "" || intro == "" || !strings.HasSuffix(intro, ".") {
			t.Errorf("section %q: %q", title, intro)
		}
		var keys []string
		for _, r := range s.rows() {
			if r.doc.Meaning == "" || r.doc.Example == "" || r.kind == "" {
				t.Errorf("%s.%s lacks its meaning, kind or example", title, r.key)
			}
			if r.required == (r.doc.Default != "") {
				t.Errorf("%s.%s: required is %v and the default %q", title, r.key, r.required, r.doc.Default)
			}
			if slices.Contains(keys, r.key) {
				t.Errorf("%s.%s stands twice", title, r.key)
			}
			if keys = append(keys, r.key); !strings.Contains(samples, r.key+":") {
				t.Errorf("%s.%s is in no sample", title, r.key)
			}
			for _, text := range []string{r.doc.Meaning, r.doc.Default, r.doc.Mistake} {
				if strings.HasSuffix(text, ".") {
					t.Errorf("%s.%s: the guide adds the full stop to %q", title, r.key, text)
				}
			}
		}
	}
}

// The guide holds every key, and the same bytes every time.
func TestFieldGuide(t *testing.T) {
	guide := FieldGuide()
	for _, s := range sections {
		title, _ := s.heading()
		if !strings.Contains(guide, "### "+title+"\n") {
			t.Errorf("no section %s", title)
		}
		for _, r := range s.rows() {
			if !strings.Contains(guide, "- **"+r.key+"**: ") || !strings.Contains(guide, "`"+r.doc.Example+"`") {
				t.Errorf("%s.%s is not in the guide", title, r.key)
			}
		}
	}
	if guide != FieldGuide() || !bytes.Equal(Schema(), Schema()) {
		t.Error("two runs differ")
	}
	if !strings.Contains(LimitsGuide(), "1024 KiB, 12 levels") {
		t.Errorf("limits: %s", LimitsGuide())
	}
}
