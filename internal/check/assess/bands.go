package assess

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/rules"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// Bands gives what is drawn and said of one fuse or breaker of a checked job,
// nil where the job has no such device.
func Bands(r *report.Report, id string) *report.Bands {
	for i := range r.Side.Guards {
		if g := &r.Side.Guards[i]; g.Part == id {
			return bandsOf(r, g)
		}
	}
	return nil
}

func bandsOf(r *report.Report, g *report.Guard) *report.Bands {
	p, d := &r.Bank.Parts[g.Index], rules.DeviceOf(r, g)
	b := &report.Bands{Device: g.Part, Words: deviceWords(p), Rating: float64(p.Rated.Current), Most: g.Most, Least: g.Least, LeastAt: g.LeastAt, Volts: g.Volts}
	b.Carries = b.Rating
	for _, one := range d.Band.Points() {
		amps := one.Multiple * b.Rating
		switch {
		case math.IsInf(one.Min, 1):
			b.Carries = math.Max(b.Carries, amps)
		case one.Min > 0:
			b.Holds = append(b.Holds, report.CurvePoint{Amps: amps, Seconds: one.Min})
		}
		if one.Max > 0 {
			b.Opened = append(b.Opened, report.CurvePoint{Amps: amps, Seconds: one.Max})
		}
	}
	b.Refs = d.Band.Refs()
	if d.Clearing.Known() {
		b.Through = d.Clearing.V
		b.Refs = append(b.Refs, d.Clearing.Ref)
	}
	b.Loads = loadSteps(r.Side.Scenarios, g.Part)
	groups := cableGroups(r, g, b)
	b.Verdicts = append(b.Verdicts, passVerdict(d, b.Loads))
	for i := range groups {
		curve, verdicts := cableCurve(r, g, d, groups[i])
		b.Cables, b.Verdicts = append(b.Cables, curve), append(b.Verdicts, verdicts...)
	}
	if len(b.Shared) > 0 {
		b.Verdicts = append(b.Verdicts, report.BandVerdict{What: "saves " + strings.Join(b.Shared, ", "), Verdict: string(protect.NotChecked),
			Reasons: []string{"other devices feed it at the same time, each with a part of the current: rules PRO-08 and PRO-09 count them together"}})
	}
	var ref source.Ref
	b.Breaks, ref = rules.BreaksOf(r, g)
	b.Verdicts = append(b.Verdicts, breakVerdict(p, g, b.Breaks, ref))
	return b
}

// deviceWords says what a device is.
func deviceWords(p *bank.Part) string {
	words := []string{string(p.Kind)}
	if class := catalog.Default().FuseClass(p.Rated.Class); class != nil {
		words = append(words, class.Name)
	} else if p.Kind == bank.Fuse {
		words = append(words, "no class told")
	}
	if p.Rated.Current > 0 {
		words = append(words, quantity.Format(p.Rated.Current, 3))
	} else {
		words = append(words, "no rating told")
	}
	return strings.Join(words, ", ")
}

// loadSteps lists what a device carries in the scenarios, but for what a larger
// current of at least that length covers.
func loadSteps(all []report.Scenario, id string) []report.LoadStep {
	const least = 0.01 // A: below it a device carries nothing
	var steps []report.LoadStep
	for i := range all {
		if a := math.Abs(all[i].Parts[id]); a > least {
			steps = append(steps, report.LoadStep{Amps: a, Seconds: all[i].Seconds, In: all[i].Name})
		}
	}
	sort.SliceStable(steps, func(a, b int) bool {
		x, y := &steps[a], &steps[b]
		return x.Amps > y.Amps || x.Amps == y.Amps && x.Seconds > y.Seconds
	})
	var kept []report.LoadStep
	longest := 0.0
	for _, s := range steps {
		if s.Seconds > longest {
			kept, longest = append(kept, s), s.Seconds
		}
	}
	slices.Reverse(kept)
	return kept
}

// passVerdict is the worst of all loads, each by itself.
func passVerdict(d protect.Device, loads []report.LoadStep) report.BandVerdict {
	v := report.BandVerdict{What: "passes the loads", Verdict: string(protect.NotChecked), Reasons: []string{"nothing in the job draws through it"}}
	for i, l := range loads {
		got := protect.Passes(d, []protect.Step{{Current: l.Amps, Seconds: l.Seconds}}, protect.LoadOptions{})
		if i == 0 || rank(string(got.Verdict)) >= rank(v.Verdict) {
			v.Verdict, v.Memory = string(got.Verdict), got.Memory
			v.Reasons = []string{l.In + ": " + strings.Join(got.Reasons, "; ")}
		}
	}
	return v
}

// rank orders verdicts so that the worst stands.
func rank(verdict string) int {
	return slices.Index([]string{string(protect.Within), string(protect.NotChecked), string(protect.Outside)}, verdict)
}

// cableGroups sorts what a device saves into conductors that bear the same, the
// warmest of each first.
func cableGroups(r *report.Report, g *report.Guard, b *report.Bands) [][]*report.Line {
	var groups [][]*report.Line
	for i := range r.Side.Lines {
		l := &r.Side.Lines[i]
		c := &r.Bank.Cables[l.Index]
		if !slices.Contains(g.Feeds, l.Cable) || !savedBy(l, g.Part) {
			continue
		}
		if c.From.ID != g.Part && c.To.ID != g.Part && fedBeside(l, g.Part) {
			b.Shared = append(b.Shared, l.Cable)
			continue
		}
		at := slices.IndexFunc(groups, func(have []*report.Line) bool {
			h := &r.Bank.Cables[have[0].Index]
			return !c.Size.IsZero() && h.Size == c.Size && have[0].Insulation == l.Insulation && have[0].Ambient == l.Ambient && have[0].Outside == l.Outside &&
				(ahead(r, g, have[0]) != nil) == (ahead(r, g, l) != nil)
		})
		if at < 0 {
			groups = append(groups, []*report.Line{l})
			continue
		}
		groups[at] = append(groups[at], l)
	}
	for _, all := range groups {
		sort.SliceStable(all, func(x, y int) bool { return all[x].Warm > all[y].Warm })
	}
	sort.SliceStable(groups, func(x, y int) bool { return groups[x][0].Withstand < groups[y][0].Withstand })
	return groups
}

// savedBy reports whether a device is the nearest on some way from a battery
// into a conductor. What chargers feed through it they limit themselves.
func savedBy(l *report.Line, id string) bool {
	return slices.ContainsFunc(l.Ways, func(w report.FeedWay) bool { return w.Battery && w.Device == id })
}

// fedBeside reports whether another device than this one is the nearest on some
// way from a battery into a conductor.
func fedBeside(l *report.Line, id string) bool {
	return slices.ContainsFunc(l.Ways, func(w report.FeedWay) bool { return w.Battery && w.Device != "" && w.Device != id })
}

// ahead gives the device at the other end of a conductor where that opens for
// an overload: one that the conductor bears the rating of for good. Nil else.
func ahead(r *report.Report, g *report.Guard, l *report.Line) *bank.Part {
	c := &r.Bank.Cables[l.Index]
	for _, id := range []string{c.From.ID, c.To.ID} {
		p := r.Bank.Part(id)
		if p != nil && id != g.Part && p.Kind.Protects() && p.Rated.Current > 0 && float64(p.Rated.Current) <= l.Physics && p.Rated.Current < r.Bank.Parts[g.Index].Rated.Current {
			return p
		}
	}
	return nil
}

// adiabatic is how long a short may last for its heat to be taken as staying in
// the copper, s: IEC 60364-4-43, 434.5.2 (from memory).
const adiabatic = 5

// brief is how long a dead short lasts at most where a let-through I²t counts,
// s: it is told of fuses that limit the current. Common practice, no source.
const brief = 0.1

// cableCurve gives the line of a group of conductors and what the device does
// for them.
func cableCurve(r *report.Report, g *report.Guard, d protect.Device, group []*report.Line) (report.CableCurve, []report.BandVerdict) {
	l := group[0]
	curve := report.CableCurve{Name: l.Cable, Side: l.Side, Withstand: l.Withstand, Ref: l.WithstandRef}
	c := protect.Cable{Holds: l.Holds}
	if l.Withstand > 0 {
		c.Withstand = source.Look(l.Withstand, l.WithstandRef)
	}
	p := protect.Prospective{Least: g.Least, Most: g.Most}
	for _, one := range group {
		curve.Cables = append(curve.Cables, one.Cable)
	}
	c.Name = l.Cable
	if size := r.Bank.Cables[l.Index].Size; !size.IsZero() {
		curve.Name += ", " + size.String()
	}
	curve.Warms = warms(l)
	if d.Clearing.Known() && !(d.Clearing.V <= brief*p.Least*p.Least) {
		d.Clearing = source.Value[float64]{}
	}
	saves := protect.Saves(d, c, p)
	var all []report.BandVerdict
	add := func(what string, v protect.Verdict, memory bool, reasons ...string) {
		all = append(all, report.BandVerdict{What: "saves " + strings.Join(curve.Cables, ", ") + " " + what, Verdict: string(v), Reasons: reasons, Memory: memory})
	}
	curve.Outside = saves.Fault.Verdict == protect.Outside
	add("in a dead short", saves.Fault.Verdict, saves.Fault.Memory, saves.Fault.Reasons...)
	if ahead(r, g, l) != nil {
		var at []string
		for _, one := range group {
			at = append(at, ahead(r, g, one).ID)
		}
		add("overloaded", protect.Within, false, "an overload goes through "+strings.Join(at, ", ")+" at its end, and it bears that rating for good")
		return curve, all
	}
	add("overloaded until it opens", saves.Overload.Verdict, saves.Overload.Memory, saves.Overload.Reasons...)
	add("overloaded where it need not open", saves.LongOverload.Verdict, saves.LongOverload.Memory, saves.LongOverload.Reasons...)
	curve.Outside = curve.Outside || saves.Overload.Verdict == protect.Outside
	return curve, all
}

// warms samples how long a conductor bears a current, from 5 s up to 12 h.
func warms(l *report.Line) []report.CurvePoint {
	const most, n = 12 * 3600.0, 40
	if l.Holds == nil || !(l.Physics > 0) {
		return nil
	}
	var curve []report.CurvePoint
	for i := range n {
		amps := l.Physics * math.Pow(20, float64(i)/n) * 1.001
		t := l.Holds(amps)
		if t <= most && t > 0 {
			curve = append(curve, report.CurvePoint{Amps: amps, Seconds: t})
		}
		if t < adiabatic {
			break
		}
	}
	return curve
}

func breakVerdict(p *bank.Part, g *report.Guard, amps float64, ref source.Ref) report.BandVerdict {
	v := report.BandVerdict{What: "breaks a dead short"}
	if math.IsNaN(g.Most) {
		v.Verdict, v.Reasons = string(protect.NotChecked), []string{"no dead short draws through it, or the current is not known"}
		return v
	}
	one := protect.Interrupt{Volts: g.Volts}
	if p.Rated.Voltage > 0 {
		one.Volts = float64(p.Rated.Voltage)
	}
	if amps > 0 {
		one.Amps = source.Look(amps, ref)
	}
	got := protect.Interrupts([]protect.Interrupt{one}, g.Volts, g.Most)
	v.Verdict, v.Reasons, v.Memory = string(got.Verdict), got.Reasons, got.Memory
	if v.Memory {
		v.Reasons = append(v.Reasons, fmt.Sprintf("what it breaks is the least of its class, by %s", ref))
	}
	return v
}
