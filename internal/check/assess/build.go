package assess

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/job"
)

// Build gives the job file that j was loaded from with the rail cables
// of a wiring in place of its own. Cables that stay keep their line, their
// comments and their units; new ones take the next free names, the size of the
// question, and a length only where the job gives one by hand. The take-off
// follows where the search moved it.
func (j *Job) Build(w *report.Wirings, one *report.Wiring) ([]byte, error) {
	rails := [2]map[bank.End]bool{{}, {}}
	for _, l := range w.Lengths {
		k := 0
		if l.Rail == "negative" {
			k = 1
		}
		rails[k][l.From], rails[k][l.To] = true, true
	}
	wanted := append(append([][2]bank.End{}, one.Positive...), one.Negative...)
	out, err := j.withoutOthers(rails, wanted)
	if err != nil {
		return nil, err
	}
	next := 1
	for n, pair := range wanted {
		if j.cableBetween(pair[0], pair[1]) != nil {
			continue
		}
		size := j.Bank.Question.Positive
		if n >= len(one.Positive) {
			size = j.Bank.Question.Negative
		}
		var id string
		id, next = j.freeID(next)
		item := fmt.Sprintf("{id: %s, from: %s, to: %s, size: %s}", id, pair[0], pair[1], size.ASCII())
		if hand := j.handPair(pair[0], pair[1]); hand != nil && hand.Length.Known() {
			length, err := quantity.FormatIn(hand.Length.V, "mm", 0)
			if err != nil {
				return nil, err
			}
			item = item[:len(item)-1] + ", length: " + length + "}"
		}
		if out, err = job.Insert(out, "cables", item); err != nil {
			return nil, err
		}
	}
	for _, take := range []struct {
		path string
		now  bank.End
		then bank.End
	}{{"takeoff.positive", j.Bank.Takeoff.Positive, one.Takeoff.Positive}, {"takeoff.negative", j.Bank.Takeoff.Negative, one.Takeoff.Negative}} {
		if take.now == take.then {
			continue
		}
		if out, err = job.Set(out, take.path, take.then.String()); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// withoutOthers takes out the rail cables that the wiring does not have. Those
// on no rail stay, and the first one between each two ends that it joins.
func (j *Job) withoutOthers(rails [2]map[bank.End]bool, wanted [][2]bank.End) ([]byte, error) {
	out := j.src
	for i := range j.Bank.Cables {
		c := &j.Bank.Cables[i]
		keep := !(rails[0][c.From] && rails[0][c.To] || rails[1][c.From] && rails[1][c.To])
		for _, p := range wanted {
			keep = keep || j.cableBetween(p[0], p[1]) == c
		}
		if keep {
			continue
		}
		var err error
		if out, err = job.Remove(out, "cables["+c.ID+"]"); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// freeID gives the first W-number from n on that nothing in the job bears.
func (j *Job) freeID(n int) (string, int) {
	for ; ; n++ {
		id := fmt.Sprintf("W%d", n)
		if !j.bears(id) {
			return id, n + 1
		}
	}
}

// bears reports whether something in the job has this ID.
func (j *Job) bears(id string) bool {
	b := j.Bank
	if b.Battery(id) != nil || b.Part(id) != nil {
		return true
	}
	for i := range b.Cables {
		if b.Cables[i].ID == id {
			return true
		}
	}
	for _, c := range b.Cases {
		if c.ID == id {
			return true
		}
	}
	for _, c := range b.Compartments {
		if c.ID == id {
			return true
		}
	}
	for _, p := range b.Passages {
		if p.ID == id {
			return true
		}
	}
	for _, r := range b.Runs {
		if r.ID == id {
			return true
		}
	}
	for _, r := range b.Readings {
		if r.ID == id {
			return true
		}
	}
	return false
}
