package job

import (
	"encoding/json"
	"fmt"
	"strings"
)

// schemaValue is a piece of JSON Schema.
type schemaValue map[string]any

func (o *objectShape[T]) schema() schemaValue {
	properties := schemaValue{}
	var required []string
	for _, p := range o.props {
		v := p.shape.schema()
		v["description"] = p.doc.Meaning
		if p.doc.Default != "" {
			v["description"] = p.doc.Meaning + ". Left out: " + p.doc.Default + "."
		}
		properties[p.key] = v
		if p.required {
			required = append(required, p.key)
		}
	}
	s := schemaValue{"type": "object", "additionalProperties": false, "properties": properties}
	if required != nil {
		s["required"] = required
	}
	return s
}

// Schema gives the JSON Schema of the format, for editors that help while
// typing. The reader is stricter: it knows units, names and geometry.
func Schema() []byte {
	s := jobKeys.schema()
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = fmt.Sprintf("bankwright job, format version %d", Version)
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic("job: the schema cannot be written: " + err.Error()) // only strings, numbers and lists are in it
	}
	return append(out, '\n')
}

// section is one object of the format with its keys, for the document.
type section interface {
	heading() (title, intro string)
	rows() []row
}

type row struct {
	key, kind string
	required  bool
	doc       doc
}

func (o *objectShape[T]) heading() (string, string) { return o.title, o.intro }

func (o *objectShape[T]) rows() []row {
	rows := make([]row, len(o.props))
	for i, p := range o.props {
		rows[i] = row{p.key, p.shape.words(), p.required, p.doc}
	}
	return rows
}

// sections in the order in which a person meets them.
var sections = []section{jobKeys, showKeys, typeKeys, sizeKeys, postKeys, limitKeys, batteryKeys, compartmentKeys, wallsKeys, wallKeys, passageKeys,
	partKeys, runKeys, routingKeys, cableKeys, jointEnds, lugKeys, lugEnds, inletKeys, loadKeys, sunKeys, mainsKeys, driveKeys, daysKeys, takeoffKeys, wiringsKeys, railSizeKeys, pairKeys, caseKeys, readingKeys, placeKeys, monthKeys, heaterKeys, fanKeys, ventKeys, sensorKeys,
	mountingKeys, mountLoadKeys, holdDownKeys, holdBarKeys, holdPlateKeys, holdFloorKeys, serviceKeys, liftingKeys, vehicleKeys, alsoKeys}

// FieldGuide gives the format field by field in Markdown: the generated part
// of doc/format.md.
func FieldGuide() string {
	var b strings.Builder
	for _, s := range sections {
		title, intro := s.heading()
		fmt.Fprintf(&b, "### %s\n\n%s\n\n", title, intro)
		for _, r := range s.rows() {
			fmt.Fprintf(&b, "- **%s**: %s. %s.", r.key, r.kind, upperFirst(r.doc.Meaning))
			switch {
			case r.required:
				b.WriteString(" Required.")
			default:
				fmt.Fprintf(&b, " Left out: %s.", r.doc.Default)
			}
			if r.doc.Mistake != "" {
				fmt.Fprintf(&b, " Common mistake: %s.", r.doc.Mistake)
			}
			fmt.Fprintf(&b, " Example: `%s`\n", r.doc.Example)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// LimitsGuide gives the reader's limits in Markdown.
func LimitsGuide() string {
	return fmt.Sprintf("At most %d KiB, %d levels, %d plain values, %d items a list; of more than %d faults the first %d are told.\n",
		maxBytes>>10, maxDepth, maxValues, maxItems, maxFaults, maxFaults)
}
