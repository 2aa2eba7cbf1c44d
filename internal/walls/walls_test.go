// Package walls holds the import walls of doc/architecture.md. It opens the
// files itself: a test that asks the go command stays cached after a forbidden
// import is added.
package walls

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "bankwright/"

// layers gives what each layer may import of ours, beside itself.
var layers = map[string][]string{
	"base":  {"base"},
	"model": {"base", "model"},
	"read":  {"base", "model", "read", "data"},
	"check": {"base", "model", "read", "engine", "check"},
	"paper": {"base", "model", "paper"},
	"web":   {"base", "model", "read", "check", "paper", "web"},
	"cmd":   {"base", "model", "read", "check", "paper", "web", "examples"},
	"data":  {}, "examples": {}, "bench": {"base", "model", "read", "engine", "check", "paper", "examples"},
}

// engineMay lists the only imports between engines.
var engineMay = map[string][]string{
	"sharing": {"network"},
	"run":     {"cell", "sharing"},
	"outage":  {"sharing"},
	"spread":  {"sharing", "outage"},
	"join":    {"cell", "run", "sharing"},
	"fault":   {"network", "sharing"},
}

// outside lists the third-party modules of the program, by layer or package.
// A new one is a decision, written down in doc/dependencies.md.
var outside = map[string][]string{
	"go.yaml.in/yaml/v4":                       {"read/job", "read/catalog"},
	"go.yaml.in/yaml/v4/plugin/loaderlimits":   {"read/job"},
	"github.com/spf13/cobra":                   {"cmd/bankwright"},
	"github.com/spf13/pflag":                   {"cmd/bankwright"},
	"gonum.org/v1/gonum/mat":                   {"engine/heat"},
	"golang.org/x/image/font":                  {"paper/sheet"},
	"golang.org/x/image/font/sfnt":             {"paper/sheet"},
	"golang.org/x/image/math/fixed":            {"paper/sheet"},
	"golang.org/x/image/font/gofont/goregular": {"paper/sheet", "web"},
	"golang.org/x/image/font/gofont/gobold":    {"paper/sheet", "web"},
	"golang.org/x/image/font/gofont/gomono":    {"paper/sheet"},
}

// forbidden standard packages: engines and paper neither read files nor ask
// the clock, so that the same job gives the same bytes.
var forbidden = map[string][]string{
	"engine": {"os", "time", "net", "net/http"},
	"paper":  {"os", "time", "net", "net/http"},
	"model":  {"os", "time", "net", "net/http"},
	"base":   {"os", "time", "net", "net/http"},
}

func TestImports(t *testing.T) {
	seen := 0
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules" || d.Name() == "testdata" || d.Name() == "tools") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		seen++
		checkFile(t, path)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 50 {
		t.Fatalf("only %d files were looked at; the walk does not reach the project", seen)
	}
}

// place gives the layer and the package path of a file, such as "engine" and
// "engine/network".
func place(path string) (layer, pkg string) {
	rel := strings.TrimPrefix(filepath.ToSlash(filepath.Dir(path)), "../../")
	rel = strings.TrimPrefix(rel, "internal/")
	layer, _, _ = strings.Cut(rel, "/")
	return layer, rel
}

func checkFile(t *testing.T, path string) {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	layer, pkg := place(path)
	for _, spec := range f.Imports {
		imp, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		if why := wrong(layer, pkg, imp); why != "" {
			t.Errorf("%s: %s", path, why)
		}
	}
}

// wrong says why a package may not import another, "" if it may.
func wrong(layer, pkg, imp string) string {
	rest, ours := strings.CutPrefix(imp, module)
	switch {
	case !ours && !strings.Contains(strings.Split(imp, "/")[0], "."):
		if slices.Contains(forbidden[layer], imp) {
			return layer + " must not import " + imp
		}
		return ""
	case !ours:
		if !slices.Contains(outside[imp], pkg) {
			return pkg + " must not import " + imp + "; dependencies are listed in this test and in doc/dependencies.md"
		}
		return ""
	}
	rest = strings.TrimPrefix(rest, "internal/")
	to, _, _ := strings.Cut(rest, "/")
	if layer == "engine" {
		name := strings.TrimPrefix(pkg, "engine/")
		if to == "engine" && !slices.Contains(engineMay[name], strings.TrimPrefix(rest, "engine/")) {
			return "engine " + name + " must not import " + rest
		}
		if to != "base" && to != "model" && to != "engine" {
			return "engine must not import " + rest
		}
		return ""
	}
	may, known := layers[layer]
	if !known {
		return "the layer " + layer + " has no place in the architecture"
	}
	if to == "engine" && layer != "check" && layer != "bench" || !slices.Contains(may, to) {
		return layer + " must not import " + rest
	}
	return ""
}

// TestWallStands shows that the wall speaks: each forbidden import is told.
func TestWallStands(t *testing.T) {
	for _, c := range []struct {
		layer, pkg, imp string
		bad             bool
	}{
		{"engine", "engine/sharing", "bankwright/internal/engine/network", false},
		{"engine", "engine/network", "bankwright/internal/engine/sharing", true},
		{"engine", "engine/network", "bankwright/internal/read/job", true},
		{"engine", "engine/route", "os", true},
		{"engine", "engine/route", "time", true},
		{"paper", "paper/plan", "bankwright/internal/engine/route", true},
		{"paper", "paper/plan", "bankwright/internal/read/job", true},
		{"web", "web", "bankwright/internal/engine/route", true},
		{"cmd", "cmd/bankwright", "bankwright/internal/engine/wiring", true},
		{"model", "model/bank", "bankwright/internal/read/job", true},
		{"read", "read/job", "bankwright/internal/engine/network", true},
		{"read", "read/job", "go.yaml.in/yaml/v4", false},
		{"web", "web", "go.yaml.in/yaml/v4", true},
		{"base", "base/source", "bankwright/internal/model/bank", true},
		{"check", "check/assess", "bankwright/internal/engine/wiring", false},
		{"odd", "odd", "bankwright/internal/base/source", true},
	} {
		if why := wrong(c.layer, c.pkg, c.imp); (why != "") != c.bad {
			t.Errorf("%s imports %s: %q", c.pkg, c.imp, why)
		}
	}
}

// TestSizes keeps files and functions small enough to read.
func TestSizes(t *testing.T) {
	const most = 500
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == ".git" || d.Name() == "build" || d.Name() == "node_modules") {
			if d != nil && d.IsDir() {
				return filepath.SkipDir
			}
			return err
		}
		switch filepath.Ext(path) {
		case ".go", ".js", ".css", ".html":
			b, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if n := strings.Count(string(b), "\n"); n > most {
				t.Errorf("%s has %d lines; split it (at most %d)", path, n, most)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
