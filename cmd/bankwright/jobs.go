package main

import (
	"fmt"
	"os"
	"path/filepath"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/read/job"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// open reads a job file; "-" is the standard input. Messages name the file as
// the person wrote it.
func (a *app) open(path string) (*assess.Job, error) {
	src, err := a.bytes(path)
	if err != nil {
		return nil, work(err)
	}
	j, err := assess.Load(path, src)
	return j, work(err)
}

func (a *app) bytes(path string) ([]byte, error) {
	if path == "-" {
		return job.ReadAll(a.in)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, unwrapPath(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder; name the job file in it", path)
	}
	return job.ReadAll(f)
}

// unwrapPath drops the path that the system repeats in its message.
func unwrapPath(err error) error {
	if p, ok := err.(*os.PathError); ok {
		return p.Err
	}
	return err
}

// oneJob is the argument check of commands that take a job file.
func oneJob(c *cobra.Command, args []string) error {
	switch len(args) {
	case 1:
		return nil
	case 0:
		return fmt.Errorf("name the job file: bankwright %s job.yaml", c.Name())
	}
	return fmt.Errorf("one job file at a time; %q is one word too many", args[1])
}

func flagNames(c *cobra.Command) []string {
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
	return names
}

// sameFile reports whether two paths name one file, links followed.
func sameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	if errX == nil && errY == nil {
		return os.SameFile(x, y)
	}
	p, errP := filepath.Abs(a)
	q, errQ := filepath.Abs(b)
	return errP == nil && errQ == nil && p == q
}

func lengthOf(m float64) quantity.Length { return quantity.Length(m) }
