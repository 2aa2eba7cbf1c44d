package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// cells is one LFP cell at 25 °C, percent and volts: open data of the ESC
// toolbox, as in data/chemistries.yaml.
var cells = [][2]float64{{0, 2.1540}, {1, 2.6300}, {2, 2.8133}, {5, 3.0190}, {10, 3.1724}, {15, 3.2129}, {20, 3.2394}, {25, 3.2594}, {30, 3.2753},
	{35, 3.2872}, {40, 3.2975}, {45, 3.3024}, {50, 3.3052}, {55, 3.3092}, {60, 3.3149}, {65, 3.3214}, {70, 3.3291}, {75, 3.3401}, {80, 3.3447},
	{85, 3.3478}, {90, 3.3522}, {95, 3.3696}, {97, 3.4015}, {98, 3.4409}, {99, 3.5176}, {100, 3.5907}}

// dayJob and dayDeck are the same day of the same six batteries, on curves with
// one slow branch, for this program and for a circuit simulator.
func dayJob() string {
	var types, batteries, cables strings.Builder
	var points []string
	for _, p := range cells {
		points = append(points, fmt.Sprintf("[%g %%, %.4f V]", p[0], 4*p[1]))
	}
	for i := range 6 {
		fmt.Fprintf(&types, "  b%d: {chemistry: lfp, nominal: 12.8 V, capacity: 150 Ah, resistance: %g mΩ, branches: [{resistance: 1.5 mΩ, time: 60 s}], curve: [%s]}\n", i, 4+0.2*float64(i), strings.Join(points, ", "))
		fmt.Fprintf(&batteries, "  - {id: B%d, type: b%d, start: 98 %%}\n", i, i)
		if i > 0 {
			fmt.Fprintf(&cables, "  - {id: P%d, from: B%d+, to: B%d+, resistance: 0.3 mΩ}\n  - {id: N%d, from: B%d-, to: B%d-, resistance: 0.3 mΩ}\n", i, i-1, i, i, i-1, i)
		}
	}
	return "bankwright: 1\nbattery_types:\n" + types.String() + "batteries:\n" + batteries.String() + "cables:\n" + cables.String() +
		"takeoff: {positive: B0+, negative: B5-}\ncases:\n  - {id: a, draw: 30 A, for: 14 h}\n  - {id: b, charge: 45 A, for: 9 h}\n  - {id: c, draw: 0 A, for: 1 h}\nsequences: [{id: day, cases: [a, b, c]}]\n"
}

func dayDeck() string {
	var d strings.Builder
	d.WriteString("* day\n")
	var points []string
	for _, p := range cells {
		points = append(points, fmt.Sprintf("%g,%.4f", p[0]/100, 4*p[1]))
	}
	for i := range 6 {
		fmt.Fprintf(&d, "Cq%d q%d 0 540000 IC=0.98\nBq%d q%d 0 I=i(Vm%d)\nBe%d e%d n%d V=pwl(v(q%d), %s)\nVm%d e%d f%d 0\nRB%d f%d g%d 1.5m\nCB%d f%d g%d 40000 IC=0\nR%d g%d p%d %gm\n",
			i, i, i, i, i, i, i, i, i, strings.Join(points, ", "), i, i, i, i, i, i, i, i, i, i, i, i, 4+0.2*float64(i))
		if i > 0 {
			fmt.Fprintf(&d, "RP%d p%d p%d 0.3m\nRN%d n%d n%d 0.3m\n", i, i-1, i, i, i-1, i)
		}
	}
	d.WriteString("Iload p0 n5 PWL(0 30 50400 30 50401 -45 82800 -45 82801 0 86400 0)\nRg n5 0 1\n.options method=trap\n.control\ntran 1 86400 0 1 uic\nprint v(q0)[length(time)-1]\nquit\n.endc\n.end\n")
	return d.String()
}

// BenchmarkDayAgainstSimulator is P3, whole process against whole process: a
// day of 86 400 steps of a second.
func BenchmarkDayAgainstSimulator(b *testing.B) {
	dir := b.TempDir()
	program, job, deck := filepath.Join(dir, "bankwright"), filepath.Join(dir, "day.yaml"), filepath.Join(dir, "day.cir")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	for name, text := range map[string]string{job: dayJob(), deck: dayDeck()} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			b.Fatal(err)
		}
	}
	took := func(name string, args ...string) time.Duration {
		start := time.Now()
		if out, err := exec.Command(name, args...).CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		return time.Since(start)
	}
	var ours, theirs time.Duration
	for b.Loop() {
		theirs += took("ngspice", "-n", "-b", deck) // -n: no start-up file of the user's
		ours += took(program, "run", job, "--case", "day", "--alone", "--step", "1s", "--json")
	}
	b.ReportMetric(theirs.Seconds()/float64(b.N), "s/simulator")
	b.ReportMetric(ours.Seconds()/float64(b.N), "s/bankwright")
	b.ReportMetric(float64(theirs)/float64(ours), "ratio")
}
