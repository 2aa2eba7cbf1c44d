package job

import (
	"fmt"
	"strings"
	"testing"
)

// Each key of a part that says nought is told at its place: what reads the job
// would take it for a key that is not there. Just above nought it is read.
func TestZeros(t *testing.T) {
	for _, c := range []struct{ kind, others, key, unit, out string }{
		{"fuse", "", "rating", "A", "to have one proposed"}, {"breaker", "", "rating", "A", "to have one proposed"},
		{"switch", "", "rating", "A", "where it is not known"}, {"fuse", "rating: 10 A, ", "interrupt", "A", "where it is not known"},
		{"fuse", "rating: 10 A, ", "volts", "V", "where it is not known"},
		{"fuse", "rating: 10 A, ", "stud_length", "mm", "where it is not known"},
		{"load", "", "power", "W", "where it is not known"}, {"load", "", "current", "A", "where it is not known"},
		{"inverter", "power: 10 W, ", "surge", "W", "where there is none"},
		{"inverter", "power: 10 W, ", "cutout", "V", "where there is none"}, {"inverter", "power: 10 W, ", "capacitance", "F", "where it is not known"},
		{"solar", "", "current", "A", "where it is not known"}, {"solar", "", "voltage", "V", "where it is not known"},
		{"solar", "", "float", "V", "where there is none"}, {"charger", "", "input", "A", "where it is not known"},
	} {
		t.Run(c.kind+" "+c.key, func(t *testing.T) {
			read := func(value string) error {
				part := fmt.Sprintf("{id: X1, kind: %s, %s%s: %s %s}", c.kind, c.others, c.key, value, c.unit)
				_, err := Read("job.yaml", []byte("bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: [{id: B1, type: b}]\nparts:\n  - "+part+"\ntakeoff: {positive: B1+, negative: B1-}\n"))
				return err
			}
			want := fmt.Sprintf("job.yaml:5:%d: %s must be above 0 %s; leave it out %s", strings.Index(fmt.Sprintf("  - {id: X1, kind: %s, %s%s: ", c.kind, c.others, c.key), c.key)+len(c.key)+3, c.key, c.unit, c.out)
			if err := read("0"); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("got %v, want %q", err, want)
			}
			if err := read("0.5"); err != nil && strings.Contains(err.Error(), "must be above") {
				t.Error(err)
			}
		})
	}
}
