package assess

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/model/finding"
)

// What practitioners ask about fixing down, each as a whole job.

// ferryStrapped is the ferry with a strap over each battery in the bar's stead.
func ferryStrapped(t *testing.T, strap string) string {
	t.Helper()
	rods := ferry[strings.Index(ferry, "    - {id: K1"):strings.Index(ferry, "    - {id: K2")]
	return replaced(t, ferry, rods, strap)
}

// TestStrapClearOfPostsAndCaps: "the case has no lips and straps would cover
// filler caps and terminals": posts lie 40 mm from the front edge, caps at 200 mm;
// a strap of 30 mm keeps 15 mm off their middles from 70 to 170 mm. One over the
// caps is found, and moved to the nearest clear way; that way, put into the job,
// is clear.
func TestStrapClearOfPostsAndCaps(t *testing.T) {
	for _, row := range []struct {
		at       string
		severity finding.Severity
		says     string
	}{
		{"120 mm", "", ""},
		{"170 mm", "", ""},
		{"171 mm", finding.Warning, "cap 1 of B1, cap 2 of B1, cap 3 of B1, cap 1 of B2"},
		{"200 mm", finding.Warning, "cap 1 of B1"},
		{"50 mm", finding.Warning, "lies over B1+, B1-, B2+, B2-"},
	} {
		strap := "    - {id: K1, kind: strap, holds: [B1, B2], at: [[-50 mm, AT, 0 mm], [450 mm, AT, 0 mm]], rated: 5 kN, width: 30 mm}\n"
		text := ferryStrapped(t, strings.ReplaceAll(strap, "AT", row.at))
		r := checkedText(t, text)
		got, words := said(r, "MNT-07", "K1")
		if got != row.severity || !strings.Contains(words, row.says) {
			t.Errorf("at %s: %q %s", row.at, got, words)
		}
		s := r.Mount.Straps[0]
		if got == "" {
			continue
		}
		if !s.Moved || s.Shift.X != 0 {
			t.Fatalf("at %s no way was found: %+v", row.at, s)
		}
		moved := math.Round(1000 * (s.From.Y + s.Shift.Y))
		again := checkedText(t, ferryStrapped(t, strings.ReplaceAll(strap, "AT", strings.TrimSpace(mm(moved/1000)))))
		if got, words := said(again, "MNT-07", "K1"); got != "" {
			t.Errorf("moved to %g mm: %q %s", moved, got, words)
		}
	}
	// Caps all over: no way beside it is clear, and that is said.
	text := replaced(t, ferryStrapped(t, "    - {id: K1, kind: strap, holds: [B1, B2], at: [[-50 mm, 150 mm, 0 mm], [450 mm, 150 mm, 0 mm]], rated: 5 kN, width: 200 mm}\n"), "[150 mm, 200 mm]]", "[150 mm, 100 mm]]")
	r := checkedText(t, text)
	if got, words := said(r, "MNT-07", "K1"); got != finding.Warning || !strings.Contains(words, "lies over") || r.Mount.Straps[0].Moved {
		t.Errorf("%q %s %+v", got, words, r.Mount.Straps[0])
	}
}

// TestFloorAxleHitch: "what does this do to floor, axle and hitch?" By statics:
// 10 kg on 200 by 300 mm; 20 kg whose middle lies 1 m ahead of the axle of a base
// of 4 m and 100 mm left of it, on a track of 1.5 m; the vehicle's own 980 kg
// 250 mm ahead.
func TestFloorAxleHitch(t *testing.T) {
	r := checkedText(t, ferry)
	m := r.Mount
	near(t, "floor", m.Floors[0].Rest, 10*gravity/0.06, 1e-6)
	b := m.Balance
	near(t, "hitch", b.Hitch, 20*gravity/4, 1e-9)
	near(t, "axle", b.Axle, 20*gravity*3/4, 1e-9)
	near(t, "left wheel", b.LeftWheel, 20*gravity*(3.0/8+0.1/1.5), 1e-9)
	near(t, "right wheel", b.RightWheel, 20*gravity*(3.0/8-0.1/1.5), 1e-9)
	near(t, "part before", b.Before, 0.25/4, 1e-12)
	near(t, "part after", b.After, (980*0.25+20*1)/1000/4, 1e-12)
	near(t, "side", b.Side, 20*0.1/1000, 1e-12)
	// The same under 3 g down, as the rule for small craft asks.
	r = checkedText(t, replaced(t, ferry, "rule: recommended", "rule: boat_iso"))
	near(t, "floor at 3 g", r.Mount.Floors[0].Under, 3*10*gravity/0.06, 1e-6)
	// Something else put in behind the axle takes weight off the hitch.
	r = checkedText(t, replaced(t, ferry, "centre: [300 mm, -600 mm]", "centre: [300 mm, -600 mm], also: [{what: water, mass: 40 kg, at: [300 mm, -1.35 m]}]"))
	near(t, "with water", r.Mount.Balance.Hitch, (20*1-40*0.5)*gravity/4, 1e-9)
}

// TestMountInCheck: what is found about the mounting stands among the findings of
// the whole job, with its assumptions; a job without one has none of it.
func TestMountInCheck(t *testing.T) {
	r := checkedText(t, ferry)
	if got, _ := said(r, "MNT-05", "B1"); got != finding.Warning {
		t.Errorf("a lid that does not open: %q", got)
	}
	found := false
	for _, a := range r.Assumed {
		found = found || a.What == "top of the compartment" && a.Value == "fixed"
	}
	if !found {
		t.Error("the lid is not told as assumed")
	}
	bare := checkedText(t, ferry[:strings.Index(ferry, "mounting:")])
	if bare.Mount != nil {
		t.Errorf("%+v", bare.Mount)
	}
	for _, f := range bare.Findings {
		if strings.HasPrefix(f.Rule, "MNT") {
			t.Errorf("%+v", f)
		}
	}
}
