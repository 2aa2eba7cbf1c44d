package rules

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// bendJob is passageJob whose positive link goes a way with corners.
var bendJob = strings.Replace(passageJob, "compartments:\n", "routing: {bend: 5}\ncompartments:\n", 1)

var bendRadius = Rule{
	ID:       "BND-01",
	Title:    "A cable is bent too sharply",
	Text:     "The inside radius of every bend on a routed way against the least for a flexible cable that lies fixed: three outside diameters up to 12 mm, four above. A leg that is too short for its bends makes them sharper. The turns next to a lug and small jogs are not: a lug can be turned, and a cable slants over a jog.",
	Source:   source.Ref{Title: "HD 516 / IEC 62440", At: "flexible cables, fixed", Edition: "not at hand", How: source.Memory},
	Severity: finding.Warning,
	Failing:  strings.Replace(bendJob, "bend: 5", "bend: 3", 1),
	Passing:  bendJob,
	check:    checkBend,
}

func checkBend(r *report.Report, say *speaker) {
	for i := range r.Routes {
		route := &r.Routes[i]
		l := lineOf(r, route.Cable)
		if l == nil || cableOf(r, l).Length.Origin != source.Routed || len(route.Points) < 3 {
			continue // a length by hand goes its own way
		}
		radius := sharpest(route.Points, laidRadius(r, l))
		least, rule, ok := conductor.LeastRadius(bendRules(), l.Outside)
		if !ok {
			say.pass(l.Cable, "no least bend radius is known for its outside diameter")
			continue
		}
		if b := conductor.CheckBend(radius, l.Outside, least); !b.Within {
			show := func(m float64) string { return r.Bank.Show.FormatLength(quantity.Length(m)) }
			say.hold(finding.Warning, l.Cable, fmt.Sprintf("cable %s, %s thick, is bent to %s inside; %g diameters are %s%s", l.Cable, show(l.Outside), show(b.Inside), rule.Diameters, show(b.Least), assumedWords(modelled(cableOf(r, l)))),
				"give the way more room, a larger bend in the rules, or a thinner or finer-stranded cable", number{value: b.Inside, limit: b.Least, unit: "m", least: true}, rule.Ref)
		}
	}
}

// modelled says what of a cable's diameter was assumed.
func modelled(c *bank.Cable) []string {
	if c.Wrap.Diameter > 0 {
		return nil
	}
	return []string{"outside diameter from a model"}
}

// laidRadius is the centre-line radius at which the router lays a cable's
// bends, m: the inside radius of the job's rules, in diameters of the model that
// it lays with, and half such a diameter.
func laidRadius(r *report.Report, l *report.Line) float64 {
	row := catalog.Default().Conductor(cableOf(r, l).Size)
	if row == nil {
		return math.NaN()
	}
	return float64(row.Diameter.V) * (r.Bank.Routing.Bend.V + 0.5)
}

// sharpest gives the least centre-line radius of the bends of a way, m: the one
// that is laid, or half a leg between two bends where that is less. A leg that
// ends at the turn next to a lug bounds nothing, as the lug can be turned, nor
// does a jog, which goes on the way it came: there a cable slants.
func sharpest(way []bank.Point, laid float64) float64 {
	radius := laid
	for i := 2; i+3 < len(way); i++ {
		if !along(way[i-1], way[i], way[i+1], way[i+2]) {
			radius = math.Min(radius, distance(way[i], way[i+1])/2)
		}
	}
	return radius
}

// along reports whether the way from a to b and that from c to d have the same
// sense.
func along(a, b, c, d bank.Point) bool {
	return float64((b.X-a.X)*(d.X-c.X))+float64((b.Y-a.Y)*(d.Y-c.Y))+float64((b.Z-a.Z)*(d.Z-c.Z)) > 0
}

func distance(a, b bank.Point) float64 {
	x, y, z := a.X-b.X, a.Y-b.Y, a.Z-b.Z
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}

// bendRules are the catalogue's for a cable that lies fixed.
func bendRules() []conductor.BendRule {
	var all []conductor.BendRule
	for _, b := range catalog.Default().Bends() {
		if b.Laid == rating.Fixed {
			all = append(all, conductor.BendRule{Over: float64(b.Over), UpTo: float64(b.UpTo), Diameters: b.Diameters, Ref: b.Ref})
		}
	}
	return all
}
