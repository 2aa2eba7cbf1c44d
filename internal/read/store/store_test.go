package store

import (
	"os"
	"path/filepath"
	"testing"
)

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "a.svg"), filepath.Join(dir, "link.svg")
	if err := Write(file, []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(file, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(file, link); err != nil {
		t.Fatal(err)
	}
	if err := Write(link, []byte("two")); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is no link any more: %v %v", info, err)
	}
	if info, _ := os.Stat(file); info.Mode().Perm() != 0o600 {
		t.Errorf("the mode became %v", info.Mode())
	}
	if got := read(t, file); got != "two" {
		t.Errorf("the file holds %q", got)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestWriteFails(t *testing.T) {
	dir := t.TempDir()
	for name, path := range map[string]string{"folder": dir, "no folder": filepath.Join(dir, "none", "a.svg"), "device": "/dev/null"} {
		if err := Write(path, []byte("x")); err == nil {
			t.Errorf("%s: written", name)
		}
	}
	if info, err := os.Stat("/dev/null"); err != nil || info.Mode().IsRegular() {
		t.Errorf("the device was replaced: %v %v", info, err)
	}
}
