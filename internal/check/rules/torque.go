package rules

import (
	"fmt"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

var torque = Rule{
	ID:       "TRQ-01",
	Title:    "How tight: published figures for bars, the maker's for the rest",
	Text:     "Battery posts and terminals of devices are soft or hold an inserted thread: only their maker knows the torque, and no table is taken for them. Bolts through bars have published figures, which differ by bolt and washer; the lowest and the highest that were read are given, as limits, not as a setting. A cable that is given as a resistance alone counts as having no lugs. Tighten again after the first warm day.",
	Source:   source.Ref{Title: "telecommunications power manual, Table 8-E (1998), and power equipment manual, Table 11", At: "bolts in bars", Edition: "not stated", How: source.Read},
	Severity: finding.Note,
	Failing:  dcWith("{id: P1, kind: bar, studs: 4,", "{id: P1, kind: bar, thread: M8, studs: 4,"),
	Passing:  bareJob,
	check:    checkTorque,
}

func checkTorque(r *report.Report, say *speaker) {
	used := map[string]bool{}
	for i := range r.Bank.Cables {
		if c := &r.Bank.Cables[i]; !c.Size.IsZero() { // a mere resistance has no lug
			used[c.From.ID], used[c.To.ID] = true, true
		}
	}
	said := map[string]bool{}
	for i := range r.Bank.Batteries {
		if b := &r.Bank.Batteries[i]; used[b.ID] && !said[b.Type] && b.Torque == 0 {
			said[b.Type] = true
			say.pass(b.ID, "the torque of the posts of "+b.Type+" is unknown: ask its maker")
		}
	}
	var devices, bare []string
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		bolt := p.Kind == bank.Bar || p.Kind == bank.Stud
		switch {
		case !used[p.ID], p.Rated.Torque > 0 && !bolt:
		case p.Rated.Torque > 0:
			sayGiven(say, p)
		case !bolt:
			devices = append(devices, p.ID)
		case p.Rated.Stud == "":
			bare = append(bare, p.ID)
		default:
			sayBolt(say, p)
		}
	}
	if len(devices) > 0 {
		say.pass(devices[0], "the torque of these terminals is unknown: ask the makers: "+strings.Join(devices, ", "))
	}
	if len(bare) > 0 {
		say.pass(bare[0], "the job does not give the thread, so no torque: "+strings.Join(bare, ", "))
	}
}

// sayGiven holds a torque given for the bolts of a bar or stud against what was
// published; the maker's figure goes before it.
func sayGiven(say *speaker, p *bank.Part) {
	least, most, ok := boltTorques(p.Rated.Stud)
	switch t := p.Rated.Torque; {
	case !ok:
		say.pass(p.ID, fmt.Sprintf("%s is given; no torque was read for bolts of %q in bars to hold it against", quantity.Format(t, 2), p.Rated.Stud))
	case t < least || t > most:
		say.find(p.ID, fmt.Sprintf("%s is given for the bolts of %s; published figures for %s in copper bars run from %s to %s", quantity.Format(t, 2), p.ID, p.Rated.Stud, quantity.Format(least, 2), quantity.Format(most, 2)),
			"look whether it is its maker's figure, which goes before the published ones")
	}
}

// sayBolt gives the published range for the bolts of one part.
func sayBolt(say *speaker, p *bank.Part) {
	least, most, ok := boltTorques(p.Rated.Stud)
	if !ok {
		say.pass(p.ID, "no torque was read for bolts of "+p.Rated.Stud+" in bars: ask its maker")
		return
	}
	say.find(p.ID, fmt.Sprintf("%s bolts of %s: published figures for bolts in copper bars run from %s to %s; they are limits, and its maker's figure goes before them", p.Rated.Stud, p.ID, quantity.Format(least, 2), quantity.Format(most, 2)),
		"ask for the maker's figure; without it keep within the two")
}

// boltTorques gives the lowest and the highest figure that was read for a
// thread in bars; ok is false where there is none.
func boltTorques(thread string) (least, most quantity.Torque, ok bool) {
	for _, t := range catalog.Default().TorquesFor(rating.BarBolt) {
		row := t.ForThread(thread)
		if t.Ref.How != source.Read || t.Note != "" || row == nil {
			continue // from memory, or with headings that were not certain
		}
		for _, span := range row.Torques {
			if span.IsZero() {
				continue
			}
			if !ok || span.Least < least {
				least = span.Least
			}
			most, ok = max(most, span.Most), true
		}
	}
	return least, most, ok
}
