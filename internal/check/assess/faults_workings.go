package assess

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/base/working"
	"bankwright/internal/engine/fault"
	"bankwright/internal/model/bank"
)

// The kinds of number of a short's rise, each after a place (P1.2.rise), a part
// (P1.rise: its place of the most current) or a battery with "into"
// (B1.into.rise).
const (
	riseNumber = "rise"
	loopNumber = "inductance"
)

// riseKind gives the kind back where it is one, else "".
func riseKind(kind string) string {
	if kind == riseNumber || kind == loopNumber {
		return kind
	}
	return ""
}

// explainRise gives the working of a short's time constant or inductance.
func (j *Job) explainRise(at, kind string) (working.Working, error) {
	f, err := j.Faults()
	if err != nil {
		return working.Working{}, err
	}
	what, seen, r := f.shortAt(at)
	if r == nil {
		return working.Working{}, fmt.Errorf("there is no short at %s; there are %s", at, strings.Join(f.shortNames(), ", "))
	}
	if kind == loopNumber {
		return inductanceWorking(at, what, r)
	}
	if math.IsNaN(r.Most.Tau) {
		return working.Working{}, fmt.Errorf("how fast %s rises is not known: %s", what, r.Why)
	}
	prefix := at + "."
	return working.Working{ID: prefix + kind, What: "time constant of " + what + ", full, warm and new",
		Formula: "τ = L/R; 63 % of the current flows after τ, 90 % after 2.303·τ; of several ways at once τ is the mean lag ∫(1 − i/I)dt and the two times are near",
		Inputs: []working.Input{
			{Name: "L", Value: henries(r.Inductance), Origin: riseOrigin(r), Note: loopNote(r), ID: prefix + loopNumber},
			{Name: "R", Value: ohms(seen.Resistance), Origin: source.Computed, Note: "of the whole loop, EMFs at nil"},
			{Name: "I", Value: amps(seen.Current), Origin: source.Computed}},
		Result: fmt.Sprintf("%s to 63 %%, %s to 90 %%", milliseconds(r.Most.Reaches(oneConstant)), milliseconds(r.Most.Reaches(nineTenths)))}, nil
}

func inductanceWorking(at, what string, r *FaultRise) (working.Working, error) {
	if math.IsNaN(r.Inductance) {
		return working.Working{}, fmt.Errorf("the inductance of %s is not known: %s", what, r.Why)
	}
	one := working.Working{ID: at + "." + loopNumber, What: "inductance of " + what, Result: henries(r.Inductance), Source: "F. W. Grover, Inductance Calculations, 1946, from memory"}
	if r.Routed {
		one.Formula = "Σ iⱼ·iₖ·Mⱼₖ over all straight pieces, i the share of one ampere; Mⱼₖ = µ₀/4π·∬cos/distance (Neumann)"
		one.Inputs = []working.Input{
			{Name: "ways of the cables", Value: "as routed", Origin: source.Routed},
			{Name: "batteries", Value: fmt.Sprintf("straight bars of %.0f mm from post to post", 2e3*batteryRadius), Origin: source.Assumed},
			{Name: "parts", Value: fmt.Sprintf("straight bars of %.0f mm", 2e3*partRadius), Origin: source.Assumed},
			{Name: "the short", Value: "a straight line between its places", Origin: source.Assumed}}
		return one, nil
	}
	one.Formula = "Σ i²·ℓ·µ₀/2π·(ln(s/r) + ¼) over the cables, i the share of one ampere: half of a loop of two round conductors"
	if r.Partly {
		one.Formula = "the loop by routes, and " + one.Formula + "; over the cables that are not routed"
	}
	one.Inputs = []working.Input{
		{Name: "s", Value: fmt.Sprintf("%.0f mm between centres, or touching where thicker", 1e3*loopSpacing), Origin: source.Assumed, Note: r.Why},
		{Name: "r", Value: "of each cable's strands", Origin: source.LookedUp},
		{Name: "batteries and parts", Value: "none", Origin: source.Assumed}}
	return one, nil
}

func henries(v float64) string { return fmt.Sprintf("%.3g µH", 1e6*v) }

func riseOrigin(r *FaultRise) source.Origin {
	if r.Routed {
		return source.Computed
	}
	return source.Assumed
}

func loopNote(r *FaultRise) string {
	if r.Routed {
		return "where the cables run"
	}
	if r.Partly {
		return "from routes and lengths: " + r.Why
	}
	return "from lengths alone: " + r.Why
}

// across marks the short across a device's own terminals.
const across = ".across"

// into marks the short across a battery's own posts.
const into = ".into"

// shortAt finds a short by its place, by a part (that of its places with the
// most current), or across a battery's posts.
func (f *Faults) shortAt(at string) (what string, seen fault.Source, r *FaultRise) {
	for i := range f.Into {
		if f.Into[i].Battery+into == at {
			return "a short across the posts of " + f.Into[i].Battery + ", from the others", f.Into[i].Most, &f.IntoRises[i]
		}
	}
	for i := range f.Across {
		if f.Across[i].Device+across == at {
			return "a short across the terminals of " + f.Across[i].Device, f.Across[i].Most, &f.AcrossRises[i]
		}
	}
	for i := range f.Points {
		p := &f.Points[i]
		named := p.Place.String() == at
		if !named && (p.Place.ID != at || r != nil && p.Most.Current <= seen.Current) {
			continue
		}
		what, seen, r = shortWhat(p.Place), p.Most, &f.Rises[i]
		if named {
			break
		}
	}
	return what, seen, r
}

func shortWhat(e bank.End) string { return "a dead short at " + e.String() }

func (f *Faults) shortNames() []string {
	var names []string
	for _, p := range f.Points {
		names = append(names, p.Place.String())
	}
	for _, p := range f.Across {
		names = append(names, p.Device+across)
	}
	for _, p := range f.Into {
		names = append(names, p.Battery+into)
	}
	return names
}
