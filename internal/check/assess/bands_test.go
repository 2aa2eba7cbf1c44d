package assess_test

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
)

// vanReport is the check of the van with fuses on each battery, a main fuse,
// and branches.
func vanReport(t *testing.T) *report.Report {
	t.Helper()
	b, err := os.ReadFile("testdata/bakery_van.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j, err := assess.Load("bakery_van.yaml", b)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Check()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func verdictOf(t *testing.T, b *report.Bands, what string) report.BandVerdict {
	t.Helper()
	i := slices.IndexFunc(b.Verdicts, func(v report.BandVerdict) bool { return v.What == what })
	if i < 0 {
		t.Fatalf("%s: no verdict %q in %+v", b.Device, what, b.Verdicts)
	}
	return b.Verdicts[i]
}

func TestBandsOfTheVan(t *testing.T) {
	r := vanReport(t)
	if assess.Bands(r, "F99") != nil || assess.Bands(r, "Q1") != nil {
		t.Error("what is no fuse or breaker has bands")
	}
	f7 := assess.Bands(r, "F7")
	// UL 248-1, Table 4 (from memory): a fuse of 31 to 60 A has opened after 60
	// min at 135 % and after 4 min at 200 %; class T of 60 A lets through 15 000 A²s.
	want := []report.CurvePoint{{Amps: 1.35 * 60, Seconds: 3600}, {Amps: 120, Seconds: 240}}
	if !slices.EqualFunc(f7.Opened, want, func(a, b report.CurvePoint) bool {
		return math.Abs(a.Amps-b.Amps) < 1e-9 && a.Seconds == b.Seconds
	}) || f7.Holds != nil || f7.Through != 15e3 || !f7.Memory() || f7.Carries != 60 {
		t.Errorf("F7: opened %v, holds %v, through %g, carries %g", f7.Opened, f7.Holds, f7.Through, f7.Carries)
	}
	// The charger behind it gives 40 A without end; nothing else flows there.
	if len(f7.Loads) != 1 || math.Abs(f7.Loads[0].Amps-40) > 0.01 || !math.IsInf(f7.Loads[0].Seconds, 1) {
		t.Errorf("F7 has to pass %+v", f7.Loads)
	}
	for what, verdict := range map[string]string{"passes the loads": "within", "breaks a dead short": "within", "saves W24 in a dead short": "within"} {
		if v := verdictOf(t, f7, what); v.Verdict != verdict || len(v.Reasons) == 0 {
			t.Errorf("F7 %s: %+v", what, v)
		}
	}
	f5 := assess.Bands(r, "F5")
	// W26 leads to D1 of 20 A, which opens for its overload; W13 lies ahead of F5
	// and is the battery fuses' to save.
	if v := verdictOf(t, f5, "saves W26 overloaded"); v.Verdict != "within" || !strings.Contains(v.Reasons[0], "D1") {
		t.Errorf("W26: %+v", v)
	}
	for _, k := range f5.Cables {
		if slices.Contains(k.Cables, "W13") {
			t.Error("F5 is held to save W13, which lies ahead of it")
		}
	}
	// A breaker without a class tells no times; its stretches are not checked.
	d1 := assess.Bands(r, "D1")
	if d1.Holds != nil || d1.Opened != nil || d1.Breaks != 10e3 || verdictOf(t, d1, "saves W27, W29 in a dead short").Verdict != "not checked" {
		t.Errorf("D1: %+v", d1.Verdicts)
	}
}

// Of all devices: loads form a staircase down, curves fall, and a cable that is
// drawn bears less time the larger the current.
func TestBandsFall(t *testing.T) {
	r := vanReport(t)
	for i := range r.Side.Guards {
		b := assess.Bands(r, r.Side.Guards[i].Part)
		for n := 1; n < len(b.Loads); n++ {
			if !(b.Loads[n].Amps > b.Loads[n-1].Amps && b.Loads[n].Seconds < b.Loads[n-1].Seconds) {
				t.Errorf("%s: loads %+v", b.Device, b.Loads)
			}
		}
		curves := [][]report.CurvePoint{b.Holds, b.Opened}
		for _, k := range b.Cables {
			if k.Warms == nil || !(k.Withstand > 0) {
				t.Errorf("%s: nothing is drawn of %s", b.Device, k.Name)
			}
			curves = append(curves, k.Warms)
		}
		for _, c := range curves {
			for n := 1; n < len(c); n++ {
				if !(c[n].Amps > c[n-1].Amps && c[n].Seconds <= c[n-1].Seconds) {
					t.Errorf("%s: %+v does not fall", b.Device, c)
				}
			}
		}
		for _, s := range r.Side.Scenarios { // each is covered by a step
			if a := math.Abs(s.Parts[b.Device]); a > 0.01 && !slices.ContainsFunc(b.Loads, func(l report.LoadStep) bool { return l.Amps >= a && l.Seconds >= s.Seconds }) {
				t.Errorf("%s: %s with %g A is left out", b.Device, s.Name, a)
			}
		}
	}
}
