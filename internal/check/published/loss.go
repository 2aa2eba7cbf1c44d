package published

import (
	"fmt"
	"sync"

	"bankwright/internal/engine/outage"
	"bankwright/internal/model/report"
)

// losses is a bank that is asked what each loss does to it, worked out when
// first asked for.
type losses func() (*report.Dropout, error)

// losing is four batteries of 5 mΩ on links of 0.5 mΩ that open above 100 A.
func losing(negative int, demand string, o outage.Options) losses {
	l := load(kindred{kind: "chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: 13.2 V, resistance: 5 mΩ, limits: {trip: 100 A}", own: []string{"", "", "", ""},
		link: "0.5 mΩ", negative: negative, cases: "cases: [{id: load, " + demand + "}]"}.job())
	return sync.OnceValues(func() (*report.Dropout, error) {
		j, err := l()
		if err != nil {
			return nil, err
		}
		if o == (outage.Options{}) {
			return j.Dropout("")
		}
		d, err := outage.Solve(j.Bank, j.Bank.Cases[0], o)
		return &d, err
	})
}

func (l losses) get(of func(*report.Dropout) (float64, error)) getter {
	return func() (float64, error) {
		d, err := l()
		if err != nil {
			return 0, err
		}
		return of(d)
	}
}

// each makes a row a battery of a list of currents.
func (l losses) each(like Row, want []float64, current func(*report.Dropout) []float64) []Row {
	var rows []Row
	for i, w := range want {
		r := like
		r.ID, r.What = fmt.Sprintf("%s-B%d", like.ID, i+1), fmt.Sprintf("%s, B%d", like.What, i+1)
		r.Want, r.Unit, r.Kind, r.Tolerance = w, "A", Computed, within(0.006, "half of the last digit given, and a little")
		r.Got = l.get(func(d *report.Dropout) (float64, error) {
			if all := current(d); i < len(all) {
				return all[i], nil
			}
			return 0, fmt.Errorf("not told")
		})
		rows = append(rows, r)
	}
	return rows
}

// lossRows: who carries what once one is out, found from the bank with all in;
// how many open then; the largest draws.
func lossRows() []Row {
	ref := nodal("four batteries of 5 mΩ, links of 0.5 mΩ, 300 A, each opens above 100 A")
	same, across := losing(1, "draw: 300 A", outage.Options{}), losing(4, "draw: 300 A", outage.Options{})
	out := func(k int) func(*report.Dropout) []float64 {
		return func(d *report.Dropout) []float64 { return d.Outs[k].Current }
	}
	rows := same.each(Row{ID: "LOSS-SAME-1", What: "300 A at one end, just after the loss of B1", Source: ref}, []float64{0, 128.13, 93.75, 78.13}, out(0))
	rows = append(rows, across.each(Row{ID: "LOSS-ACROSS-1", What: "300 A at opposite ends, just after the loss of B1", Source: ref}, []float64{0, 103.13, 93.75, 103.13}, out(0))...)
	rows = append(rows, across.each(Row{ID: "LOSS-ACROSS-2", What: "300 A at opposite ends, just after the loss of B2", Source: ref}, []float64{107.94, 0, 91.12, 100.93}, out(1))...)
	for _, c := range []struct {
		id, what string
		of       losses
		want     float64
		trips    func(*report.Dropout) []string
	}{
		{"LOSS-SAME-ALL", "300 A at one end, batteries that open", same, 4, func(d *report.Dropout) []string { return d.AllInTrips }},
		{"LOSS-ACROSS-ALL", "300 A at opposite ends, batteries that open", across, 0, func(d *report.Dropout) []string { return d.AllInTrips }},
		{"LOSS-ACROSS-1-ALL", "the same without B1, batteries that open", across, 3, func(d *report.Dropout) []string { return d.Outs[0].Trips }},
		{"LOSS-ACROSS-2-ALL", "the same without B2, batteries that open", across, 3, func(d *report.Dropout) []string { return d.Outs[1].Trips }},
	} {
		rows = append(rows, Row{c.id, c.what, ref, Computed, c.want, "", within(0, "a count; once one has opened the rest cannot carry 300 A below 100 A each"),
			c.of.get(func(d *report.Dropout) (float64, error) { return float64(len(c.trips(d))), nil })})
	}
	limits := part(1e-4, "the currents go with the draw; they are given to a hundredth")
	return append(append(rows, weakRows()...),
		Row{"LOSS-SAME-MOST", "largest draw at one end with all in", ref, Computed, 300 * 100 / 115.62, "A", limits, same.get(func(d *report.Dropout) (float64, error) { return d.LimitAllIn, nil })},
		Row{"LOSS-ACROSS-MOST", "largest draw at opposite ends with all in", ref, Computed, 300 * 100 / 81.82, "A", limits, across.get(func(d *report.Dropout) (float64, error) { return d.LimitAllIn, nil })},
		Row{"LOSS-ACROSS-ONE", "largest draw at opposite ends that bears any one out", ref, Computed, 300 * 100 / 107.94, "A", limits, across.get(func(d *report.Dropout) (float64, error) { return d.LimitOneOut, nil })})
}

// weakRows: one battery aged, one joint bad.
func weakRows() []Row {
	ref := nodal("four batteries of 5 mΩ, links of 0.5 mΩ, opposite ends, 200 A")
	weak := func(what, place string) func(*report.Dropout) []float64 {
		return func(d *report.Dropout) []float64 {
			for _, w := range d.Weak {
				if w.What == what && w.Place == place {
					return w.Current
				}
			}
			return nil
		}
	}
	rows := losing(4, "draw: 200 A", outage.Options{}).each(Row{ID: "WEAK-AGED", What: "200 A at opposite ends, B1 aged to twice its resistance", Source: ref}, []float64{33.78, 54.32, 51.94, 59.95}, weak(outage.Aged, "B1"))
	return append(rows, losing(4, "draw: 200 A", outage.Options{Joint: 3e-3}).each(Row{ID: "WEAK-JOINT", What: "200 A at opposite ends, 3 mΩ more in link P1", Source: ref}, []float64{93.73, 28.72, 33.21, 44.34}, weak(outage.BadJoint, "P1"))...)
}
