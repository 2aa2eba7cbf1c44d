package job

import (
	"os"
	"path/filepath"
	"testing"
)

// goodFiles gives the sample jobs by name. All are invented; between them they
// use every key of the format.
func goodFiles(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob("testdata/good/*.yaml")
	if err != nil || len(names) < 5 {
		t.Fatalf("samples: %v, %v", names, err)
	}
	files := map[string][]byte{}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = b
	}
	return files
}

func TestReadGood(t *testing.T) {
	for name, src := range goodFiles(t) {
		t.Run(name, func(t *testing.T) {
			doc, err := Read(name, src)
			if err != nil {
				t.Fatal(err)
			}
			if len(doc.Batteries) == 0 || doc.Version.V != Version || !doc.Takeoff.Positive.Set {
				t.Errorf("read little of it: %+v", doc)
			}
		})
	}
}
