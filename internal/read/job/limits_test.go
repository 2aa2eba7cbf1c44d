package job

import (
	"fmt"
	"strings"
	"testing"
)

// repeat writes a text n times, with the number of each for #.
func repeat(n int, format string) string {
	parts := make([]string, n)
	for i := range parts {
		parts[i] = strings.ReplaceAll(format, "#", fmt.Sprint(i))
	}
	return strings.Join(parts, ", ")
}

// limitTable is each limit with a job that holds n of it. The numbers are
// written out, so that a change of a limit is a change of the format.
var limitTable = []struct {
	name  string
	most  int
	src   func(n int) string
	words string // of the error just over
}{
	{"bytes", 1 << 20, func(n int) string { return head + "#" + strings.Repeat("x", n-len(head)-1) }, "larger than 1024 KiB"},
	{"brackets", 12, func(n int) string { return "x: " + strings.Repeat("[", n) + strings.Repeat("]", n) + "\n" }, "nested deeper than 12"},
	{"indents", 12, func(n int) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.Repeat(" ", i) + "x:\n")
		}
		return strings.TrimSuffix(b.String(), "\n") + " 1\n"
	}, "nested deeper than 12"},
	{"values", 100_000, func(n int) string { return "[" + strings.Repeat("x,", n-1) + "]" }, "more than 100000 values"},
	{"items of a list", 1000, func(n int) string {
		return "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\ntakeoff: {positive: B0+, negative: B0-}\nbatteries: [" + repeat(n, "{id: B#, type: b}") + "]\n"
	}, fmt.Sprintf("the list has %d items; 1 to 1000 are due", 1001)},
	{"points of a curve", 1000, func(n int) string {
		var b strings.Builder
		for i := range n - 2 {
			fmt.Fprintf(&b, "[%d.%d %%, 12 V], ", 1+i/100, 100+i%100)
		}
		return strings.Replace(head, "capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V], "+b.String()+"[100 %, 12 V]]", 1)
	}, "the list has 1001 items; 2 to 1000 are due"},
	{"compartments", 16, func(n int) string {
		return head + "compartments: [" + repeat(n, "{id: C#, at: [0 m, 0 m, # m], size: {length: 1 mm, width: 1 mm, height: 1 mm}}") + "]\n"
	}, "0 to 16 are due"},
	{"passages", 64, func(n int) string {
		return head + "passages: [" + repeat(n, "{id: G#, at: [0 m, 0 m, 0 m], diameter: 1 cm}") + "]\n"
	}, "0 to 64 are due"},
	{"runs", 64, func(n int) string { return head + "runs: [" + repeat(n, "{id: G#, path: [[0 m, 0 m, 0 m]]}") + "]\n" }, "0 to 64 are due"},
	{"corners of a run", 50, func(n int) string { return head + "runs: [{id: G, path: [" + repeat(n, "[0 m, 0 m, 0 m]") + "]}]\n" }, "1 to 50 are due"},
	{"runs of a cable", 8, func(n int) string {
		return head + "parts: [{id: S1, kind: stud}]\nruns: [{id: G, path: [[0 m, 0 m, 0 m]]}]\ncables: [{id: W1, from: B1+, to: S1, size: 2 AWG, along: [" + repeat(n, "G") + "]}]\n"
	}, "1 to 8 are due"},
	{"cases", 200, func(n int) string { return head + "cases: [" + repeat(n, "{id: C#, draw: 1 A}") + "]\n" }, "0 to 200 are due"},
	{"studs of a bar", 64, func(n int) string {
		return head + fmt.Sprintf("parts: [{id: N1, kind: bar, resistance: 1 mΩ, studs: %d}]\n", n)
	}, "a whole number from 2 to 64 is due"},
	{"lugs", 64, func(n int) string { return head + fmt.Sprintf("wirings: {lugs: %d}\n", n) }, "a whole number from 1 to 64 is due"},
	{"characters of an ID", 24, func(n int) string { return strings.ReplaceAll(head, "B1", strings.Repeat("B", n)) }, "an ID has at most 24 characters"},
	{"characters of a title", 80, func(n int) string { return head + "title: " + strings.Repeat("é", n) + "\n" }, "title is longer than 80 characters"},
	{"characters of a note", 400, func(n int) string { return head + "note: " + strings.Repeat("é", n) + "\n" }, "note is longer than 400 characters"},
	{"characters of a thread", 16, func(n int) string { return strings.Replace(head, "100 Ah", "100 Ah, stud: "+strings.Repeat("M", n), 1) }, "thread is longer than 16 characters"},
	{"bytes of a quantity", 64, func(n int) string { return head + "joint: 0." + strings.Repeat("0", n-len("0. mohm")) + " mohm\n" }, "write at most 64"},
	{"length of a battery in metres", 100, func(n int) string {
		return strings.Replace(head, "100 Ah", fmt.Sprintf("100 Ah, size: {length: %d m, width: 1 m, height: 1 m}", n), 1)
	}, "0 to 100 m"},
	{"volts", 1500, func(n int) string { return strings.Replace(head, "100 Ah", fmt.Sprintf("100 Ah, emf: %d V", n), 1) }, "0 to 1500 V"},
	{"amps", 100_000, func(n int) string { return head + fmt.Sprintf("cases: [{id: C, draw: %d A}]\n", n) }, "holds up to 100 kA"},
	{"watts", 10_000_000, func(n int) string { return head + fmt.Sprintf("cases: [{id: C, charge: %d W}]\n", n) }, "holds up to 10 MW"},
	{"ohms", 1000, func(n int) string {
		return strings.Replace(head, "100 Ah", fmt.Sprintf("100 Ah, resistance: %d ohm", n), 1)
	}, "1 nΩ to 1 kΩ"},
	{"milliohms of a joint", 1000, func(n int) string { return head + fmt.Sprintf("joint: %d mΩ\n", n) }, "0 to 1 Ω"},
	{"ampere hours", 100_000, func(n int) string { return strings.Replace(head, "100 Ah", fmt.Sprintf("%d Ah", n), 1) }, "1 mAh to 100 kAh"},
	{"percent", 100, func(n int) string {
		return strings.Replace(head, "type: b", fmt.Sprintf("type: b, start: %d %%", n), 1)
	}, "0 % to 100 %"},
	{"tonnes", 100, func(n int) string {
		return strings.Replace(head, "100 Ah", fmt.Sprintf("100 Ah, mass: %d000 kg", n), 1)
	}, "0 to 100 t"},
	{"seconds", 32_000_000, func(n int) string { return head + fmt.Sprintf("cases: [{id: C, draw: 1 A, for: %d s}]\n", n) }, "1 ms to a year"},
	{"degrees", 300, func(n int) string {
		return head + fmt.Sprintf("cases: [{id: C, draw: 1 A, cable_temperature: %d degC}]\n", n)
	}, "-100 °C to 300 °C"},
	{"in series", 400, func(n int) string {
		return strings.Replace(head, "100 Ah", fmt.Sprintf("100 Ah, limits: {series: %d}", n), 1)
	}, "a whole number from 1 to 400 is due"},
	{"bend", 20, func(n int) string { return head + fmt.Sprintf("routing: {bend: %d}\n", n) }, "a whole number from 1 to 20 is due"},
}

// Each limit just under, at and over it.
func TestLimits(t *testing.T) {
	for _, tc := range limitTable {
		t.Run(tc.name, func(t *testing.T) {
			for _, n := range []int{tc.most - 1, tc.most, tc.most + 1} {
				_, err := Read("job.yaml", []byte(tc.src(n)))
				switch over := err != nil && strings.Contains(err.Error(), tc.words); {
				case over != (n > tc.most):
					t.Errorf("with %d: %v", n, clipLong(fmt.Sprint(err)))
				case err != nil && !over && strings.Contains(tc.src(n), "bankwright"):
					t.Errorf("with %d: the row is wrong itself: %v", n, clipLong(err.Error()))
				}
			}
		})
	}
}

// Of many faults the first hundred are told, and how many more there are.
func TestFaultsToldAtMost(t *testing.T) {
	for n, lines := range map[int]int{99: 99, 100: 100, 101: 101, 150: 101} {
		_, err := Read("job.yaml", []byte(head+strings.Repeat("x: 1\n", 1)+strings.Repeat("y: 1\n", n-1)))
		told := strings.Split(err.Error(), "\n")
		if len(told) != lines {
			t.Errorf("%d faults told on %d lines, not %d", n, len(told), lines)
		}
		if want := fmt.Sprintf("and %d more faults", n-100); n > 100 && !strings.HasSuffix(told[len(told)-1], want) {
			t.Errorf("%d faults: the last line is %q, not %q", n, told[len(told)-1], want)
		}
	}
}

func TestReadAll(t *testing.T) {
	b, err := ReadAll(strings.NewReader(strings.Repeat("x", maxBytes+100)))
	if err != nil || len(b) != maxBytes+1 {
		t.Errorf("%d bytes, %v", len(b), err)
	}
}
