package job

import (
	"bankwright/internal/model/bank"
)

// nameDays puts the loads of the day and the panels among the names.
func (k *checker) nameDays() {
	for i := range k.doc.Loads {
		k.name("load of the day", k.doc.Loads[i].ID)
	}
	for i := range k.doc.Sun {
		k.name("field of panels", k.doc.Sun[i].ID)
	}
}

// checkDaysKeys finds what is wrong with loads, sun, mains, drive and days.
func (k *checker) checkDaysKeys() {
	for i := range k.doc.Loads {
		k.checkLoad(&k.doc.Loads[i])
	}
	for i := range k.doc.Sun {
		s := &k.doc.Sun[i]
		k.partIs(s.Part, "a solar charger", func(p bank.PartKind) bool { return p == bank.Solar })
		zero(k, s.Peak, "peak", "W", "where there are no panels, the whole field")
	}
	m := &k.doc.Mains
	if m.Pos != (Pos{}) {
		k.checkClocks(m.From, m.To)
		if !k.hasPart(bank.PartKind.Mains) {
			k.Add(m.Pos, "the job has no mains charger among its parts; give one of kind charger or inverter_charger, or leave mains out")
		}
	}
	if d := &k.doc.Drive; d.Pos != (Pos{}) {
		k.partIs(d.Part, "an alternator", func(p bank.PartKind) bool { return p == bank.Alternator })
	}
	k.checkDaysAsk()
}

func (k *checker) checkDaysAsk() {
	d := &k.doc.Days
	if d.Floor.Set && !(d.Floor.V < 1) {
		k.Add(d.Floor.Pos, "a floor of 100 %% leaves nothing to use; give less")
	}
	if d.Start.Set && d.Floor.Set && d.Floor.V < 1 && d.Start.V < d.Floor.V {
		k.Add(d.Start.Pos, "start lies below floor; the loads would be off from the beginning")
	}
	if d.Kept.Set && !(d.Kept.V > 0) {
		k.Add(d.Kept.Pos, "kept must be above 0 %%; leave it out where it is not known")
	}
	if d.Pos != (Pos{}) && len(k.doc.Loads) == 0 {
		k.Add(d.Pos, "days needs something to hold against: give loads, as in loads: [{id: fridge, power: 55 W, duty: 35 %%}]")
	}
}

func (k *checker) checkLoad(l *DayLoad) {
	ways := 0
	for _, set := range []bool{l.Hours.Written(), l.From.Written() || l.To.Written(), l.At != nil} {
		if set {
			ways++
		}
	}
	if ways > 1 {
		k.Add(l.Pos, "when %s runs is said twice; give hours, or from and to, or at and for", l.ID.V)
	}
	k.checkClocks(l.From, l.To)
	switch {
	case l.At != nil && !l.For.Written():
		k.Add(l.Pos, "at needs for, how long each time lasts, as in for: 10 min")
	case l.At == nil && l.For.Written():
		k.Add(l.For.Pos, "for needs at, the clock times at which it begins, as in at: [06:30, 18:30]")
	case l.For.Set && float64(l.For.V)*float64(len(l.At)) > 86400:
		k.Add(l.For.Pos, "%d times of this are more than the 24 h of a day", len(l.At))
	}
	if l.Through.Written() && l.Part.Written() {
		k.Add(l.Part.Pos, "a load is fed through an inverter or is a load of parts itself, not both")
	}
	k.partIs(l.Through, "an inverter", func(p bank.PartKind) bool { return p.Draws() && p != bank.Load })
	k.partIs(l.Part, "a load", func(p bank.PartKind) bool { return p == bank.Load })
	if !l.Power.Written() && !k.givesPower(l.Part.V) {
		k.Add(l.Pos, "%s needs its power, as in power: 55 W, or a part that has one", l.ID.V)
	}
	seen := map[bank.MonthName]bool{}
	for _, m := range l.Months {
		if m.Set && seen[m.V] {
			k.Add(m.Pos, "%s stands twice", m.V)
		}
		seen[m.V] = true
	}
}

// checkClocks notes one clock time without the other, and two that are equal.
func (k *checker) checkClocks(from, to Field[Clock]) {
	switch {
	case from.Written() && !to.Written():
		k.Add(from.Pos, "from needs to, the clock time at which it ends")
	case to.Written() && !from.Written():
		k.Add(to.Pos, "to needs from, the clock time at which it begins")
	case from.Set && to.Set && from.V == to.V:
		k.Add(to.Pos, "from and to are the same; leave both out where it runs all day")
	}
}

// partIs notes a name that is no part of such a kind.
func (k *checker) partIs(id Field[string], what string, fits func(bank.PartKind) bool) {
	if !k.is("part", id) {
		return
	}
	for i := range k.doc.Parts {
		if p := &k.doc.Parts[i]; p.ID.V == id.V && p.Kind.Set && !fits(p.Kind.V) {
			k.Add(id.Pos, "%s is %s, not %s", id.V, oneKind(p.Kind.V), what)
		}
	}
}

func (k *checker) hasPart(fits func(bank.PartKind) bool) bool {
	for i := range k.doc.Parts {
		if fits(k.doc.Parts[i].Kind.V) {
			return true
		}
	}
	return false
}

func (k *checker) givesPower(id string) bool {
	for i := range k.doc.Parts {
		if p := &k.doc.Parts[i]; p.ID.V == id && id != "" {
			return p.Power.Written() || p.Current.Written()
		}
	}
	return false
}
