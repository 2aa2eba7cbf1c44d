// Command docgen writes the generated documents: the JSON Schema of the job
// format, the field-by-field part of doc/format.md, doc/published.md, the rules
// of doc/rules.md, and the picture of the README. Run it in the root of the
// project; check.sh does, and fails where they differ.
package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"bankwright/examples"
	"bankwright/internal/check/assess"
	"bankwright/internal/check/published"
	"bankwright/internal/check/rules"
	"bankwright/internal/paper/plan"
	"bankwright/internal/paper/svg"
	"bankwright/internal/read/job"
	"bankwright/internal/read/store"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "docgen:", err)
		os.Exit(1)
	}
}

func run() error {
	if err := os.WriteFile("doc/job.schema.json", job.Schema(), 0o644); err != nil {
		return err
	}
	table, err := published.Markdown()
	if err != nil {
		return err
	}
	if err := os.WriteFile("doc/published.md", []byte(table), 0o644); err != nil {
		return err
	}
	if err := picture("library-trailer"); err != nil {
		return err
	}
	if err := fill("doc/rules.md", map[string]string{"rules": "\n" + rules.Markdown()}); err != nil {
		return err
	}
	return fill("doc/format.md", map[string]string{"fields": job.FieldGuide(), "limits": job.LimitsGuide()})
}

// picture draws the plan of an example for the README.
func picture(name string) error {
	src, err := examples.Files.ReadFile(name + ".yaml")
	if err != nil {
		return err
	}
	j, err := assess.Load(name+".yaml", src)
	if err != nil {
		return err
	}
	r, err := j.Currents("")
	if err != nil {
		return err
	}
	s, err := plan.Draw(r, plan.Options{})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := svg.Write(&b, s, svg.Options{Standalone: true}); err != nil {
		return err
	}
	return store.Write("doc/"+name+".svg", b.Bytes())
}

// fill replaces what stands between the marks of each part.
func fill(path string, parts map[string]string) error {
	b, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	text := string(b)
	for name, part := range parts {
		from, to := "<!-- generated: "+name+" -->\n", "<!-- end: "+name+" -->"
		head, rest, ok := strings.Cut(text, from)
		_, tail, ok2 := strings.Cut(rest, to)
		if !ok || !ok2 {
			return fmt.Errorf("%s lacks the marks of part %s", path, name)
		}
		text = head + from + part + to + tail
	}
	return os.WriteFile(path, []byte(text), 0o644)
}
