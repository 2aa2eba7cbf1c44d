package published

import (
	"fmt"
	"strings"
	"sync"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
)

type getter = func() (float64, error)

// solved is a small job and its report, worked out when first asked for.
type solved func() (*report.Report, error)

// solve assesses the first case of a job.
func solve(text string) solved {
	return sync.OnceValues(func() (*report.Report, error) {
		j, err := assess.Load("published.yaml", []byte(text))
		if err != nil {
			return nil, err
		}
		return j.Currents("")
	})
}

func (s solved) get(of func(*report.Report) (float64, error)) getter {
	return func() (float64, error) {
		r, err := s()
		if err != nil {
			return 0, err
		}
		return of(r)
	}
}

// battery gives a battery's current in A.
func (s solved) battery(id string) getter {
	return s.get(func(r *report.Report) (float64, error) {
		if b := r.Sharing.Battery(id); b != nil {
			return b.Current, nil
		}
		return 0, fmt.Errorf("no battery %s", id)
	})
}

// cable gives something of a cable.
func (s solved) cable(id string, of func(report.Flow) float64) getter {
	return s.get(func(r *report.Report) (float64, error) {
		for _, f := range r.Sharing.Cables {
			if f.ID == id {
				return of(f), nil
			}
		}
		return 0, fmt.Errorf("no cable %s", id)
	})
}

// bank gives something of the whole sharing.
func (s solved) bank(of func(*report.Sharing) float64) getter {
	return s.get(func(r *report.Report) (float64, error) { return of(&r.Sharing), nil })
}

func voltage(s *report.Sharing) float64 { return s.Voltage }
func milliohm(s *report.Sharing) float64 {
	return s.Resistance * 1e3
}

// worst is the largest current over the mean, for batteries of one capacity.
func worst(s *report.Sharing) float64 { return 1 + s.Imbalance }

// chain is equal batteries side by side, neighbours joined by links on both
// rails: P1 and N1 between B1 and B2, and so on.
type chain struct {
	n                  int
	emf, ohm           string
	plus, minus        string // resistance of the positive and of the negative links
	positive, negative int    // batteries it is taken off at, from 1
	demand             string // as in a case, "draw: 100 A"
	battery            map[int]string
	link               map[string]string // resistance of single links
}

// job writes the chain as a job.
func (c chain) job() string {
	var s strings.Builder
	fmt.Fprintf(&s, "bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: %s, resistance: %s}\nbatteries:\n", c.emf, c.ohm)
	for i := 1; i <= c.n; i++ {
		fmt.Fprintf(&s, "  - {id: B%d, type: unit%s}\n", i, more(c.battery[i]))
	}
	s.WriteString("cables:\n")
	for i := 1; i < c.n; i++ {
		for _, rail := range []struct{ name, sign, ohm string }{{"P", "+", c.plus}, {"N", "-", c.minus}} {
			id, ohm := fmt.Sprintf("%s%d", rail.name, i), rail.ohm
			if own := c.link[id]; own != "" {
				ohm = own
			}
			fmt.Fprintf(&s, "  - {id: %s, from: B%d%s, to: B%d%s, resistance: %s}\n", id, i, rail.sign, i+1, rail.sign, ohm)
		}
	}
	fmt.Fprintf(&s, "takeoff: {positive: B%d+, negative: B%d-}\ncases: [{id: asked, %s}]\n", c.positive, c.negative, c.demand)
	return s.String()
}

func more(keys string) string {
	if keys == "" {
		return ""
	}
	return ", " + keys
}

// star is batteries each with two leads to the studs of the take-off; half of
// leads[i], in mΩ, is in each of B(i+1)'s.
func star(emf, ohm string, leads []float64, demand string) string {
	var s strings.Builder
	fmt.Fprintf(&s, "bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, emf: %s, resistance: %s}\nbatteries:\n", emf, ohm)
	for i := range leads {
		fmt.Fprintf(&s, "  - {id: B%d, type: unit}\n", i+1)
	}
	s.WriteString("parts: [{id: S1, kind: stud}, {id: S2, kind: stud}]\ncables:\n")
	for i, lead := range leads {
		fmt.Fprintf(&s, "  - {id: P%d, from: B%d+, to: S1, resistance: %.9g mohm}\n  - {id: N%d, from: B%d-, to: S2, resistance: %.9g mohm}\n", i+1, i+1, lead/2, i+1, i+1, lead/2)
	}
	fmt.Fprintf(&s, "takeoff: {positive: S1, negative: S2}\ncases: [{id: asked, %s}]\n", demand)
	return s.String()
}

// nothing is the least a cable may have, for joints that a source takes as
// perfect, in mΩ: halved it is the 1 nΩ that a job can hold.
const nothing = 2e-6

// eachBattery makes a row a battery: B1, B2 … with the wanted currents.
func eachBattery(id, what string, s solved, want []float64, like Row) []Row {
	var rows []Row
	for i, w := range want {
		r := like
		name := fmt.Sprintf("B%d", i+1)
		r.ID, r.What = id+"-"+name, what+", "+name
		r.Want, r.Unit, r.Got = w, "A", s.battery(name)
		rows = append(rows, r)
	}
	return rows
}
