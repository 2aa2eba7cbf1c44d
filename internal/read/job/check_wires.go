package job

import (
	"fmt"
	"strings"

	"bankwright/internal/model/bank"
)

func (k *checker) checkParts() {
	for i := range k.doc.Parts {
		p := &k.doc.Parts[i]
		k.sizePositive(p.Size)
		k.positive(p.Pitch, "the pitch")
		if !p.Kind.Set {
			continue
		}
		switch kind := p.Kind.V; {
		case kind == bank.Bar:
			k.checkBar(p)
		case kind.Conducts() && !kind.Protects() && !p.Resistance.Written() && !p.Rating.Written():
			k.Add(p.Pos, "a %s needs its resistance from a to b, as in resistance: 0.1 mΩ, or a rating to assume it from; measure it, or take rated millivolts over rated amps", kind)
		}
		k.checkOn(p)
		k.checkTimes(p)
		k.checkEfficiency(p)
		k.checkZeros(p)
		k.strangers(p)
	}
}

func (k *checker) checkBar(p *Part) {
	switch {
	case !p.Studs.Written():
		k.Add(p.Pos, "a bar needs studs, as in studs: 6")
	case !p.Resistance.Written() && !(p.Section.Written() && p.Pitch.Written()):
		k.Add(p.Pos, "a bar needs its resistance from first to last stud, or section and pitch, as in section: [25 mm, 6 mm], pitch: 40 mm")
	case p.Section.Set && (!(p.Section.V[0] > 0) || !(p.Section.V[1] > 0)):
		k.Add(p.Section.Pos, "the bar's section is zero; write [width, thickness]")
	case p.At.Set && p.Size.Length.Set && !p.Pitch.Written():
		k.Add(p.Pos, "a placed bar needs its pitch, stud to stud, as in pitch: 40 mm")
	case p.Pitch.Set && p.Size.Length.Set && float64(p.Studs.V-1)*float64(p.Pitch.V) > float64(p.Size.Length.V)+1e-9:
		k.Add(p.Pitch.Pos, "%d studs at this pitch do not fit on the bar's length", p.Studs.V)
	}
}

// strangers notes keys that mean nothing for the part's kind, which would
// otherwise be dropped in silence.
func (k *checker) strangers(p *Part) {
	kind := p.Kind.V
	bar, draws, charges := kind == bank.Bar, kind.Draws(), kind.Charges()
	inverts, mains := draws && kind != bank.Load, kind.Mains()
	for _, key := range []struct {
		name string
		set  bool
		pos  Pos
		ok   bool
	}{
		{"studs", p.Studs.Set, p.Studs.Pos, bar},
		{"pitch", p.Pitch.Set, p.Pitch.Pos, bar},
		{"section", p.Section.Set, p.Section.Pos, bar},
		{"open", p.Open.Set, p.Open.Pos, p.Kind.V.Opens()},
		{"class", p.Class.Set, p.Class.Pos, kind.Protects()},
		{"rating", p.Rating.Set, p.Rating.Pos, bar || kind == bank.Stud || kind.Conducts()},
		{"interrupt", p.Interrupt.Set, p.Interrupt.Pos, kind.Protects() || kind.Opens()},
		{"volts", p.Volts.Set, p.Volts.Pos, kind.Protects() || kind.Opens()},
		{"power", p.Power.Set, p.Power.Pos, draws},
		{"surge", p.Surge.Set, p.Surge.Pos, draws},
		{"surge_for", p.SurgeFor.Set, p.SurgeFor.Pos, draws},
		{"efficiency", p.Efficiency.Set(), p.Efficiency.Pos, inverts || mains},
		{"cutout", p.Cutout.Set, p.Cutout.Pos, draws},
		{"capacitance", p.Capacitance.Set, p.Capacitance.Pos, draws},
		{"current", p.Current.Set, p.Current.Pos, kind.Device()},
		{"voltage", p.Voltage.Set, p.Voltage.Pos, charges},
		{"float", p.Float.Set, p.Float.Pos, charges},
		{"cold_lockout", p.ColdLockout.Set, p.ColdLockout.Pos, charges},
		{"on_open", p.OnOpen.Set, p.OnOpen.Pos, charges},
		{"let_through", p.LetThrough.Set, p.LetThrough.Pos, kind.Protects()},
		{"times", p.Times != nil, p.Pos, kind.Protects()},
		{"on", p.On.Set, p.On.Pos, kind.Conducts()},
		{"covered", p.Covered.Set, p.Covered.Pos, kind != bank.Frame},
		{"torque", p.Torque.Set, p.Torque.Pos, kind != bank.Frame},
		{"stud_length", p.StudLength.Set, p.StudLength.Pos, kind != bank.Frame},
		{"idle", p.Idle.Set, p.Idle.Pos, inverts},
		{"hot_lockout", p.HotLockout.Set, p.HotLockout.Pos, charges},
		{"limited", p.Limited.Set, p.Limited.Pos, kind == bank.Alternator},
		{"input", p.Input.Set, p.Input.Pos, mains},
		{"resistance", p.Resistance.Set, p.Resistance.Pos, bar || p.Kind.V.Conducts()},
	} {
		if key.set && !key.ok {
			k.Add(key.pos, "%s means nothing for %s; leave it out", key.name, oneKind(p.Kind.V))
		}
	}
}

func (k *checker) checkCables() {
	for i := range k.doc.Cables {
		c := &k.doc.Cables[i]
		from, to := k.end(c.From), k.end(c.To)
		if from && to && c.From.V == c.To.V {
			k.Add(c.To.Pos, "cable %s goes from %s to itself; name two ends", c.ID.V, c.From.V)
		}
		k.positive(c.Length, "the length")
		for _, run := range c.Along {
			k.is("run", run)
		}
	}
	t := &k.doc.Takeoff
	if positive, negative := k.end(t.Positive), k.end(t.Negative); positive && negative && t.Positive.V == t.Negative.V {
		k.Add(t.Negative.Pos, "the take-off's two ends are the same; name the positive and the negative end of the bank")
	}
}

// checkSized notes cables that say nothing of their copper, and devices without
// a rating or resistance. Only where sizes
// are to be chosen may they be without.
func checkSized(c *Collector, d *Document) {
	for i := range d.Parts {
		if p := &d.Parts[i]; p.Kind.Set && p.Kind.V.Protects() && !p.Resistance.Written() && !p.Rating.Written() {
			c.Add(p.Pos, "a %s needs its resistance from a to b, as in resistance: 0.1 mΩ, or a rating to assume it from; bankwright choose proposes one", p.Kind.V)
		}
	}
	for i := range d.Cables {
		if one := &d.Cables[i]; !one.Size.Written() && !one.Resistance.Written() {
			c.Add(one.Pos, "cable %s needs a size, as in size: 2/0 AWG, or the whole of its resistance; bankwright choose proposes one", one.ID.V)
		}
	}
}

func (k *checker) checkQuestion() {
	for i := range k.doc.Wirings.Pairs {
		p := &k.doc.Wirings.Pairs[i]
		if from, to := k.end(p.From), k.end(p.To); from && to && p.From.V == p.To.V {
			k.Add(p.To.Pos, "the pair goes from %s to itself; name two ends", p.From.V)
		}
		k.positive(p.Length, "the length")
		if !p.Length.Written() && len(p.Along) == 0 {
			k.Add(p.Pos, "the pair says nothing: give a length, or runs under along")
		}
		for _, run := range p.Along {
			k.is("run", run)
		}
	}
}

func (k *checker) checkReadings() {
	for i := range k.doc.Readings {
		r := &k.doc.Readings[i]
		k.is("case", r.Case)
		for _, e := range r.Current {
			k.readingName(e.Name, e.Pos, "battery", "cable")
		}
		for _, e := range r.Voltage {
			k.readingName(e.Name, e.Pos, "battery", "")
		}
		for _, e := range r.Drop {
			k.dropName(e.Name, e.Pos)
		}
		if r.Current == nil && r.Drop == nil && r.Voltage == nil {
			k.Add(r.Pos, "the reading holds no values; give current, drop or voltage")
		}
	}
}

func (k *checker) readingName(name string, pos Pos, a, b string) {
	if what := k.ids[name].what; name != "takeoff" && what != a && (b == "" || what != b) {
		k.Add(pos, "%s is no %s of this job; a name here is a %s%s or takeoff", name, a, a, orWord(b))
	}
}

func orWord(b string) string {
	if b == "" {
		return ""
	}
	return ", a " + b
}

func (k *checker) dropName(name string, pos Pos) {
	id, end, at := strings.Cut(name, "@")
	if k.ids[id].what != "cable" {
		k.Add(pos, "%s is no cable of this job; a drop is named by a cable (W1) or one end of it (W1@B2+)", id)
		return
	}
	if !at {
		return
	}
	for i := range k.doc.Cables {
		if c := &k.doc.Cables[i]; c.ID.V == id && c.From.V.String() != end && c.To.V.String() != end {
			k.Add(pos, "cable %s has the ends %s and %s, not %s", id, c.From.V, c.To.V, end)
		}
	}
}

// joins is a union of ends that copper joins.
type joins map[bank.End]bank.End

func (j joins) root(e bank.End) bank.End {
	for {
		up, ok := j[e]
		if !ok || up == e {
			return e
		}
		if over, ok := j[up]; ok {
			j[e] = over // halve the way for the next look
		}
		e = up
	}
}

func (j joins) join(a, b bank.End) { j[j.root(a)] = j.root(b) }

// partJoins joins what the parts themselves join.
func (k *checker) partJoins() joins {
	j := joins{}
	for i := range k.doc.Parts {
		p := &k.doc.Parts[i]
		if !p.ID.Set || p.Open.V {
			continue
		}
		ends := (&bank.Part{ID: p.ID.V, Kind: p.Kind.V, Studs: p.Studs.V, On: p.On.V}).Joined()
		for _, e := range ends[min(1, len(ends)):] {
			j.join(ends[0], e)
		}
	}
	return j
}

// checkShorts notes each cable that closes a way of copper alone between the
// two ends of the take-off or the two posts of one battery.
func (k *checker) checkShorts() {
	j := k.partJoins()
	told := map[string]bool{}
	for i := range k.doc.Cables {
		c := &k.doc.Cables[i]
		if !k.ends[c.From.V] || !k.ends[c.To.V] {
			continue
		}
		j.join(c.From.V, c.To.V)
		if t := k.doc.Takeoff; k.ends[t.Positive.V] && k.ends[t.Negative.V] && !told["takeoff"] && t.Positive.V != t.Negative.V && j.root(t.Positive.V) == j.root(t.Negative.V) {
			told["takeoff"] = true
			k.Add(c.Pos, "with cable %s, cables and bars alone join the take-off's ends %s and %s: a dead short; take out %s or another cable on that way", c.ID.V, t.Positive.V, t.Negative.V, c.ID.V)
		}
		for n := range k.doc.Batteries {
			id := k.doc.Batteries[n].ID.V
			if !told[id] && j.root(bank.End{ID: id, Place: "+"}) == j.root(bank.End{ID: id, Place: "-"}) {
				told[id] = true
				k.Add(c.Pos, "with cable %s, cables and bars alone join %s+ and %s-: a dead short of battery %s; take out %s or another cable on that way", c.ID.V, id, id, id, c.ID.V)
			}
		}
	}
}

// CheckWired says what keeps a job's cables from being a circuit: posts with
// no cable, and batteries that nothing joins to the take-off. The search does
// not need it; currents do.
func CheckWired(d *Document) error {
	k := &checker{Collector: &Collector{}, doc: d}
	j := k.partJoins()
	used := map[bank.End]bool{d.Takeoff.Positive.V: true, d.Takeoff.Negative.V: true}
	for i := range d.Parts {
		used[d.Parts[i].On.V] = true
	}
	for i := range d.Cables {
		c := &d.Cables[i]
		used[c.From.V], used[c.To.V] = true, true
		j.join(c.From.V, c.To.V)
	}
	for i := range d.Batteries {
		for _, place := range []string{"+", "-"} {
			if e := (bank.End{ID: d.Batteries[i].ID.V, Place: place}); !used[e] {
				k.Add(d.Batteries[i].ID.Pos, "post %s has no cable; wire it, or take the battery out of the job", e)
			}
		}
	}
	if len(k.list) == 0 {
		k.checkReached(j)
	}
	return k.Err(d.File)
}

// checkReached notes batteries on islands: joined to each other perhaps, but
// not to the take-off.
func (k *checker) checkReached(j joins) {
	d := k.doc
	for i := range d.Batteries {
		id := d.Batteries[i].ID.V
		j.join(bank.End{ID: id, Place: "+"}, bank.End{ID: id, Place: "-"})
	}
	home := j.root(d.Takeoff.Positive.V)
	if j.root(d.Takeoff.Negative.V) != home {
		k.Add(d.Takeoff.Pos, "nothing joins the take-off's ends %s and %s; wire both to the bank%s", d.Takeoff.Positive.V, d.Takeoff.Negative.V, openSwitches(d))
		return // which batteries are then on which side says nothing
	}
	for i := range d.Batteries {
		if id := d.Batteries[i].ID; j.root(bank.End{ID: id.V, Place: "+"}) != home {
			k.Add(id.Pos, "battery %s is not joined to the take-off; wire it, or take it out of the job%s", id.V, openSwitches(d))
		}
	}
}

func openSwitches(d *Document) string {
	for i := range d.Parts {
		if d.Parts[i].Open.V {
			return fmt.Sprintf(" (switch %s is open)", d.Parts[i].ID.V)
		}
	}
	return ""
}
