package job

import (
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// checkOn notes a part that sits on an end which is not there, or on itself.
func (k *checker) checkOn(p *Part) {
	if !p.On.Set {
		return
	}
	if p.On.V.ID == p.ID.V {
		k.Add(p.On.Pos, "%s sits on its own end %s; name the post or stud that its end a is bolted to", p.ID.V, p.On.V)
		return
	}
	k.end(p.On)
}

// checkTimes notes points of a curve that do not rise, or whose times do not
// fall: more current never takes longer.
func (k *checker) checkTimes(p *Part) {
	for n, one := range p.Times {
		switch {
		case !one.ok:
			return
		case one.Least > one.Most:
			k.Add(one.Pos, "the least time is above the most; write [current, opens after at least, at most]")
		case p.Rating.Set && one.Current <= p.Rating.V:
			k.Add(one.Pos, "%s is not above the rating, which it carries without end", amps(one.Current))
		case n > 0 && one.Current <= p.Times[n-1].Current:
			k.Add(one.Pos, "the points of times rise in current; the one before is at %s", amps(p.Times[n-1].Current))
		case n > 0 && (one.Least > p.Times[n-1].Least || one.Most > p.Times[n-1].Most):
			k.Add(one.Pos, "at more current it cannot take longer than at %s before", amps(p.Times[n-1].Current))
		}
	}
	if p.Times != nil && !p.Rating.Written() {
		k.Add(p.Pos, "times need the rating beside them, as in rating: 200 A")
	}
}

// checkEfficiency notes points that do not rise in load, or an efficiency of
// nought.
func (k *checker) checkEfficiency(p *Part) {
	e := &p.Efficiency
	if e.One.Set && !(e.One.V > 0) {
		k.Add(e.One.Pos, "an efficiency of 0 %% gives nothing out; write what its sheet says, as in 90 %%")
	}
	for n, one := range e.Curve {
		switch {
		case !one.ok:
			return
		case !(one.Efficiency > 0) && one.Load > 0:
			k.Add(one.Pos, "an efficiency of 0 %% is only possible without load")
		case n > 0 && one.Load <= e.Curve[n-1].Load:
			k.Add(one.Pos, "the points of efficiency rise in load")
		}
	}
}

func amps(i quantity.Current) string { return quantity.Format(i, 3) }

// oneKind names a kind of part with its article.
func oneKind(k bank.PartKind) string {
	if strings.ContainsRune("aeiou", rune(k[0])) {
		return "an " + string(k)
	}
	return "a " + string(k)
}
