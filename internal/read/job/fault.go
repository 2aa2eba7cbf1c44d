package job

import (
	"fmt"
	"sort"
	"strings"
)

// Pos is a place in the file, both counted from 1, the column in characters.
type Pos struct{ Line, Column int }

// Fault is one thing wrong with a job file: where, what, and what would mend it.
type Fault struct {
	Pos
	Message string
}

// Faults are all faults of a file, in the order of the file.
type Faults struct {
	File string
	List []Fault
}

// Error gives one line a fault: file:line:column: message.
func (f *Faults) Error() string {
	lines := make([]string, len(f.List))
	for i, one := range f.List {
		lines[i] = fmt.Sprintf("%s:%d:%d: %s", f.File, one.Line, one.Column, one.Message)
	}
	return strings.Join(lines, "\n")
}

// Collector gathers faults, so that all of a file are told at once.
type Collector struct{ list []Fault }

// Add notes a fault.
func (c *Collector) Add(p Pos, format string, args ...any) {
	c.list = append(c.list, Fault{p, visible(fmt.Sprintf(format, args...))})
}

// Err gives the faults found in the order of the file, nil if there are none.
func (c *Collector) Err(file string) error {
	if len(c.list) == 0 {
		return nil
	}
	list := c.list
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i].Pos, list[j].Pos
		return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
	})
	if extra := len(list) - maxFaults; extra > 0 {
		last := list[maxFaults-1].Pos
		list = append(list[:maxFaults:maxFaults], Fault{last, fmt.Sprintf("and %d more faults", extra)})
	}
	return &Faults{file, list}
}
