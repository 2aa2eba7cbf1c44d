package job

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// checker holds what the checks across the file look names up in.
type checker struct {
	*Collector
	doc   *Document
	ids   map[string]named       // every ID, with what it names
	ends  map[bank.End]bool      // every end there is
	types map[string]BatteryType // by name
}

type named struct {
	what string
	pos  Pos
}

// checkDocument finds what is wrong between the lines: names, ends, values
// that contradict each other, cases in one another, dead shorts.
func checkDocument(c *Collector, doc *Document) {
	k := &checker{Collector: c, doc: doc, ids: map[string]named{}, ends: map[bank.End]bool{}, types: map[string]BatteryType{}}
	k.names()
	k.checkTypes()
	k.checkBatteries()
	k.checkParts()
	k.checkCables()
	k.checkQuestion()
	k.checkCases()
	k.checkReadings()
	k.checkGeometry()
	k.checkShorts()
	k.checkPlaceKeys()
	k.checkHeatKeys()
	k.checkMounting()
	k.checkDaysKeys()
}

// names fills the tables and notes IDs used twice. There is one name space.
func (k *checker) names() {
	d := k.doc
	for _, t := range d.Types {
		k.types[t.Name] = t.V
	}
	for i := range d.Batteries {
		b := &d.Batteries[i]
		k.name("battery", b.ID)
		k.ends[bank.End{ID: b.ID.V, Place: "+"}], k.ends[bank.End{ID: b.ID.V, Place: "-"}] = true, true
	}
	for i := range d.Parts {
		p := &d.Parts[i]
		k.name("part", p.ID)
		part := bank.Part{ID: p.ID.V, Kind: p.Kind.V, Studs: p.Studs.V}
		for n, e := range part.Ends() {
			k.ends[e] = n > 0 || !p.On.Written()
		}
	}
	for i := range d.Cables {
		k.name("cable", d.Cables[i].ID)
	}
	for i := range d.Compartments {
		k.name("compartment", d.Compartments[i].ID)
	}
	for i := range d.Passages {
		k.name("passage", d.Passages[i].ID)
	}
	for i := range d.Runs {
		k.name("run", d.Runs[i].ID)
	}
	for i := range d.Cases {
		k.name("case", d.Cases[i].ID)
	}
	for i := range d.Sequences {
		k.name("sequence", d.Sequences[i].ID)
	}
	for i := range d.Readings {
		k.name("reading", d.Readings[i].ID)
	}
	k.nameHeat()
	k.nameMount()
	k.nameDays()
}

func (k *checker) name(what string, id Field[string]) {
	if !id.Set {
		return
	}
	if first, twice := k.ids[id.V]; twice {
		k.Add(id.Pos, "the ID %s is used twice; line %d gives it to a %s; all IDs of a job share one name space", id.V, first.pos.Line, first.what)
		return
	}
	k.ids[id.V] = named{what, id.Pos}
}

// is notes a fault unless the ID names such a thing.
func (k *checker) is(what string, id Field[string]) bool {
	if !id.Set {
		return false
	}
	if have, ok := k.ids[id.V]; !ok {
		k.Add(id.Pos, "there is no %s %s%s", what, id.V, didYouMean(id.V, k.idsOf(what)))
		return false
	} else if have.what != what {
		k.Add(id.Pos, "%s is a %s, not a %s", id.V, have.what, what)
		return false
	}
	return true
}

func (k *checker) idsOf(what string) []string {
	var ids []string
	for i := range k.doc.Batteries {
		ids = append(ids, k.doc.Batteries[i].ID.V)
	}
	for i := range k.doc.Parts {
		ids = append(ids, k.doc.Parts[i].ID.V)
	}
	for i := range k.doc.Cables {
		ids = append(ids, k.doc.Cables[i].ID.V)
	}
	for i := range k.doc.Runs {
		ids = append(ids, k.doc.Runs[i].ID.V)
	}
	for i := range k.doc.Cases {
		ids = append(ids, k.doc.Cases[i].ID.V)
	}
	kept := ids[:0]
	for _, id := range ids {
		if k.ids[id].what == what {
			kept = append(kept, id)
		}
	}
	return kept
}

// end notes a fault unless the end exists.
func (k *checker) end(e Field[bank.End]) bool {
	if !e.Set || k.ends[e.V] {
		return e.Set
	}
	have, known := k.ids[e.V.ID]
	var why string
	switch {
	case !known:
		why = fmt.Sprintf("there is no battery or part %s", e.V.ID)
	case have.what == "battery":
		why = fmt.Sprintf("%s is a battery; its ends are %s+ and %s-", e.V.ID, e.V.ID, e.V.ID)
	case have.what == "part":
		why = fmt.Sprintf("the ends of %s are %s", e.V.ID, k.endsOf(e.V.ID))
	default:
		why = fmt.Sprintf("%s is a %s, which has no ends a lug can go on", e.V.ID, have.what)
	}
	k.Add(e.Pos, "there is no end %s: %s", e.V, why)
	return false
}

func (k *checker) endsOf(id string) string {
	for i := range k.doc.Parts {
		if p := &k.doc.Parts[i]; p.ID.V == id {
			part := bank.Part{ID: id, Kind: p.Kind.V, Studs: p.Studs.V, On: p.On.V}
			var names []string
			for _, e := range part.Ends() {
				names = append(names, e.String())
			}
			if len(names) > 4 {
				names = []string{names[0], "…", names[len(names)-1]}
			}
			return strings.Join(names, ", ")
		}
	}
	return ""
}

// positive notes a fault where a length that must be more than nothing is not.
func (k *checker) positive(f Field[quantity.Length], what string) {
	if f.Set && !(f.V > 0) {
		k.Add(f.Pos, "%s is zero; it needs to be more", what)
	}
}

func (k *checker) sizePositive(s Size) {
	k.positive(s.Length, "the length")
	k.positive(s.Width, "the width")
	k.positive(s.Height, "the height")
}

func (k *checker) checkTypes() {
	for i := range k.doc.Types {
		t := &k.doc.Types[i].V
		k.sizePositive(t.Size)
		k.checkCurve(t.Curve)
		checkFactors(k, t.Warmth)
		checkFactors(k, t.Depth)
		checkFactors(k, t.CapacityWarmth)
		k.checkLimits(&t.Limits)
		k.checkPosts(t)
	}
}

func (k *checker) checkCurve(points []CurvePoint) {
	for _, p := range points {
		if !p.ok {
			return // told already
		}
	}
	for i := 1; i < len(points); i++ {
		switch a, b := points[i-1], points[i]; {
		case !(b.Charge > a.Charge):
			k.Add(b.Pos, "the state of charge does not rise from the point before; list the curve from empty to full, each state once")
		case b.Voltage < a.Voltage:
			k.Add(b.Pos, "the voltage falls as the charge rises; check the order of the pair: [state of charge, voltage]")
		}
	}
	if len(points) >= 2 && (points[0].Charge != 0 || points[len(points)-1].Charge != 1) {
		k.Add(points[0].Pos, "the curve runs from %s to %s; it needs points at 0 %% and 100 %%", quantity.Format(points[0].Charge, 3), quantity.Format(points[len(points)-1].Charge, 3))
	}
}

// checkFactors notes points that do not rise along their axis.
func checkFactors[Q ~float64](k *checker, points []FactorPoint[Q]) {
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; a.ok && b.ok && !(b.At > a.At) {
			k.Add(b.Pos, "the points do not rise; list them from the lowest to the highest, each once")
		}
	}
}

// checkLimits notes limits that contradict each other.
func (k *checker) checkLimits(l *Limits) {
	before := func(low, high Field[quantity.Voltage], words string) {
		if low.Set && high.Set && !(low.V < high.V) {
			k.Add(high.Pos, "%s", words)
		}
	}
	before(l.Low, l.High, "high is not above low")
	before(l.HighRelease, l.High, "high_release is not below high")
	before(l.Low, l.Reconnect, "reconnect is not above low; the battery would close and open without end")
	for _, pair := range [][2]Field[quantity.Temperature]{{l.Cold, l.Hot}, {l.ColdCharge, l.HotCharge}} {
		if pair[0].Set && pair[1].Set && !(pair[0].V < pair[1].V) {
			k.Add(pair[1].Pos, "the upper temperature is not above the lower one")
		}
	}
}

func (k *checker) checkPosts(t *BatteryType) {
	if !t.Posts.Positive.Set || !t.Posts.Negative.Set {
		return
	}
	for _, post := range []Field[[]quantity.Length]{t.Posts.Positive, t.Posts.Negative} {
		if t.Size.Length.Set && post.V[0] > t.Size.Length.V || t.Size.Width.Set && post.V[1] > t.Size.Width.V {
			k.Add(post.Pos, "the post lies outside the case; it is [along the length, along the width] from the corner at the origin at turn 0")
		}
	}
	if a, b := t.Posts.Positive.V, t.Posts.Negative.V; a[0] == b[0] && a[1] == b[1] {
		k.Add(t.Posts.Negative.Pos, "both posts are at the same place")
	}
}

func (k *checker) checkBatteries() {
	for i := range k.doc.Batteries {
		b := &k.doc.Batteries[i]
		if !b.Type.Set {
			continue
		}
		if _, ok := k.types[b.Type.V]; !ok {
			var names []string
			for _, t := range k.doc.Types {
				names = append(names, t.Name)
			}
			k.Add(b.Type.Pos, "there is no battery type %s%s; battery_types has %s", b.Type.V, didYouMean(b.Type.V, names), strings.Join(names, ", "))
		}
	}
}

func (k *checker) checkSequences() {
	for i := range k.doc.Sequences {
		for _, id := range k.doc.Sequences[i].Cases {
			k.is("case", id)
		}
	}
}

// checkCharger notes a charger's voltage and tail where they have no meaning.
func (k *checker) checkCharger(c *Case) {
	if c.Voltage.Set && !c.Charge.Written() {
		k.Add(c.Voltage.Pos, "voltage belongs to a charge: what the charger holds once it is reached")
	}
	if c.Tail.Set && !c.Voltage.Written() {
		k.Add(c.Tail.Pos, "tail needs the charger's voltage beside it, as in {charge: 60 A, voltage: 14.2 V, tail: 6 A}")
	}
}

func (k *checker) checkCases() {
	k.checkSequences()
	for i := range k.doc.Cases {
		c := &k.doc.Cases[i]
		k.checkCharger(c)
		if c.Draw.Written() == c.Charge.Written() {
			k.Add(c.Pos, "a case needs either draw or charge, as in draw: 100 A or charge: 60 A; at rest is draw: 0 A")
		}
		if d := c.Charge; d.Set && d.V.ByPower && d.V.Power == 0 || c.Draw.Set && c.Draw.V.ByPower && c.Draw.V.Power == 0 {
			k.Add(c.Pos, "zero power; at rest is draw: 0 A")
		}
	}
}
