// Package store is the only package that writes files.
package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Write puts a file in place whole or not at all: it is written beside the
// old one, flushed, and then takes its name. A link is followed, so that it
// stays a link; the mode of an old file is kept. On an error the old file is
// as it was.
func Write(path string, b []byte) error {
	target, mode, err := resolve(path)
	if err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, err)
	}
	if err := writeBeside(target, b, mode); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", path, cause(err))
	}
	return nil
}

// resolve follows links and gives the mode that the file has or shall have.
func resolve(path string) (string, fs.FileMode, error) {
	target, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return path, 0o644, nil
	}
	if err != nil {
		return "", 0, cause(err)
	}
	info, err := os.Stat(target)
	if err != nil {
		return "", 0, cause(err)
	}
	if !info.Mode().IsRegular() {
		return "", 0, errors.New("it is no plain file; name another")
	}
	return target, info.Mode().Perm(), nil
}

func writeBeside(target string, b []byte, mode fs.FileMode) error {
	f, err := os.CreateTemp(filepath.Dir(target), "."+filepath.Base(target)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already where the rename went well
	_, err = f.Write(b)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err != nil {
		return err
	}
	if err := os.Rename(f.Name(), target); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(target))
}

// syncFolder makes the new name last; systems that cannot sync a folder are
// left as they are.
func syncFolder(folder string) error {
	d, err := os.Open(folder)
	if err != nil {
		return nil
	}
	defer d.Close()
	_ = d.Sync() // the file itself is whole either way
	return nil
}

// cause drops the path that the system repeats in its message.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
