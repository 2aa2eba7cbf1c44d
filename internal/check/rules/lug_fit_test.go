package rules_test

import (
	"fmt"
	"strings"
	"testing"
)

// lugJob is one battery, two cables on its positive post, a bar behind.
const lugJob = `bankwright: 1
battery_types:
  block: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 5 mΩ, emf: 13.2 V, stud: %s, stud_length: %s}
batteries: [{id: B1, type: block, covered: true}]
parts: [{id: P1, kind: bar, studs: 3, section: [%s], pitch: 30 mm, thread: M8%s}]
cables:
  - {id: W1, from: B1+, to: P1.1, size: %s, length: 1 m, insulation: 105 °C, lug: {from: {barrel: %s, hole: %s, thickness: 3 mm}}}
  - {id: W2, from: B1+, to: P1.2, size: 70 mm2, length: 1 m, insulation: 105 °C, lug: {from: {thickness: 3 mm}}}
takeoff: {positive: P1.3, negative: B1-}
cases: [{id: c, draw: %s}]
`

// of fills lugJob in.
type lugCase struct{ stud, long, section, more, size, barrel, hole, draw string }

func (c lugCase) text() string {
	set := func(s *string, plain string) {
		if *s == "" {
			*s = plain
		}
	}
	set(&c.stud, "M8")
	set(&c.long, "25 mm")
	set(&c.section, "25 mm, 5 mm")
	set(&c.size, "70 mm2")
	set(&c.barrel, "70 mm2")
	set(&c.hole, "M8")
	set(&c.draw, "50 A")
	return fmt.Sprintf(lugJob, c.stud, c.long, c.section, c.more, c.size, c.barrel, c.hole, c.draw)
}

func TestLugFit(t *testing.T) {
	for _, c := range []struct {
		name, rule string
		job        lugCase
		want       string // "" nothing, else severity and a piece of the message
	}{
		{"its own size", "LUG-02", lugCase{}, ""},
		// IEC 60228 70 mm² and ASTM B258 2/0 AWG, 67.4 mm²: 4 % apart.
		{"near miss, metric cable", "LUG-02", lugCase{barrel: "2/0 AWG"}, "warning near, and not the same"},
		{"near miss, gauge cable", "LUG-02", lugCase{size: "2/0 AWG"}, "warning near, and not the same"},
		{"far off", "LUG-02", lugCase{barrel: "50 mm2"}, "fault made for 50 mm²"},
		{"hole fits", "LUG-03", lugCase{}, ""},
		{"hole with its pitch", "LUG-03", lugCase{hole: "M8x1.25"}, ""},
		{"hole one step down", "LUG-03", lugCase{hole: "M6"}, "fault does not go on"},
		{"hole one step up", "LUG-03", lugCase{hole: "M10"}, "warning wide for the stud"},
		{"inch on metric", "LUG-03", lugCase{hole: "5/16"}, "warning near, and not the same"},
		{"metric on inch", "LUG-03", lugCase{stud: "3/8-16", hole: "M10"}, "warning wide for the stud"},
		// 3 + 3 mm of tongues, washer 1.6, spring 2, nut 6.8, two threads of
		// 1.25 mm: 18.9 mm (M8 hardware of ISO 4032, 7089, DIN 127, from memory).
		{"stud just long enough", "STK-02", lugCase{long: "18.9 mm"}, ""},
		{"stud just short", "STK-02", lugCase{long: "18.8 mm"}, "fault need 18.9 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, f := range checked(t, c.job.text()).Findings {
				if f.Rule == c.rule {
					got = append(got, string(f.Severity)+" "+f.Message)
				}
			}
			if c.want == "" {
				if len(got) > 0 {
					t.Errorf("found %q", got)
				}
				return
			}
			severity, piece, _ := strings.Cut(c.want, " ")
			if len(got) != 1 || !strings.HasPrefix(got[0], severity) || !strings.Contains(got[0], piece) {
				t.Errorf("got %q, want one of %q", got, c.want)
			}
		})
	}
}

// A bar without a rating is held against the published bare bar of its own
// section alone: 1/16 in by 1/2 in stands 103 A at 30 K (busbar tables of the
// catalogue, table 1); a metric one near it has no row.
func TestBarTable(t *testing.T) {
	for _, c := range []struct {
		section, draw string
		found         bool
		unchecked     string
	}{
		{"1/16 in, 1/2 in", "102 A", false, ""},
		{"1/2 in, 1/16 in", "104 A", true, ""},
		{"12 mm, 1.5 mm", "104 A", false, "no published row"},
	} {
		r := checked(t, lugCase{section: c.section, draw: c.draw}.text())
		found, why := false, ""
		for _, f := range r.Findings {
			found = found || f.Rule == "BAR-01"
		}
		for _, u := range r.Unchecked {
			if u.Rule == "BAR-01" {
				why += u.Why
			}
		}
		if found != c.found || (c.unchecked == "") != (why == "") || !strings.Contains(why, c.unchecked) {
			t.Errorf("%s, %s: found %v, unchecked %q", c.section, c.draw, found, why)
		}
	}
}

// A torque given for a device is no longer unknown; one for a bar is held
// against what was published.
func TestGivenTorque(t *testing.T) {
	for _, c := range []struct {
		torque string
		found  bool
	}{{"", true}, {", torque: 12 N·m", false}, {", torque: 60 N·m", true}} {
		r := checked(t, lugCase{more: c.torque}.text())
		got := ""
		for _, f := range r.Findings {
			if f.Rule == "TRQ-01" {
				got += f.Message
			}
		}
		if (got != "") != c.found {
			t.Errorf("torque %q: %q", c.torque, got)
		}
	}
}

// A live bar whose cover is told is not listed any more.
func TestCoveredBar(t *testing.T) {
	for more, want := range map[string]bool{"": true, ", covered: true": false} {
		got := false
		for _, u := range checked(t, lugCase{more: more}.text()).Unchecked {
			got = got || u.Rule == "COV-01" && u.Place == "P1"
		}
		if got != want {
			t.Errorf("%q: listed is %v", more, got)
		}
	}
}
