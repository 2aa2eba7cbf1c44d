package spread

import (
	"fmt"
	"math"

	"bankwright/internal/engine/outage"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// layout is a bank in one case, with all that no build changes. Batteries are
// those that are in, in job order.
type layout struct {
	program   *program
	job       []int // index in the bank, by battery
	ends      [][2]int32
	takeoff   [2]int32
	draw      float64
	batteries []battery
	cables    []cable
	parts     []float64 // S
	groups    int
	bears     []bool // the bank still carries with this battery out
	bridge    []bool // no current goes round through this battery
	whole     bool   // a cable has its resistance given whole
	limited   bool   // a battery has a limit
}

type battery struct {
	resistance, capacity, emf float64
	group                     int // -1 where it counts in none
	discharge, charge         float64
}

// cable is fixed + length·factor + Σ joint·factor, ohm.
type cable struct {
	fixed, length float64
	joints        [2]float64
}

// joint is what each end of a cable is taken to be where its resistance is
// given whole: as a cable end of a job that says nothing, 0.05 mΩ; common
// practice, no source. Both are at most the whole.
const joint = 0.05e-3 // ohm

// newLayout lays out a bank whose snapshot, which has checked it, is known.
func newLayout(b *bank.Bank, c bank.Case, s *report.Sharing) *layout {
	l := &layout{draw: s.Current}
	number := map[bank.End]int32{}
	for i, e := range b.Ends() {
		number[e] = int32(i)
	}
	l.takeoff = [2]int32{number[b.Takeoff.Positive], number[b.Takeoff.Negative]}
	var branches [][2]int32
	for i := range b.Batteries {
		if bat := &b.Batteries[i]; !bat.Off {
			l.addBattery(bat, s.Batteries[i].Group)
			l.job = append(l.job, i)
			branches = append(branches, [2]int32{number[bat.Minus()], number[bat.Plus()]})
		}
	}
	l.ends = branches
	for i := range b.Cables {
		l.addCable(&b.Cables[i], c)
		branches = append(branches, [2]int32{number[b.Cables[i].From], number[b.Cables[i].To]})
	}
	for i := range b.Parts {
		p := &b.Parts[i]
		ends := p.Ends()
		for k := 1; k < len(ends) && !p.Open; k++ {
			l.parts = append(l.parts, float64(len(ends)-1)/float64(p.Resistance.V))
			branches = append(branches, [2]int32{number[ends[k-1]], number[ends[k]]})
		}
	}
	l.program = compile(len(number), branches)
	l.losses(len(number), branches)
	return l
}

func (l *layout) addBattery(b *bank.Battery, group int) {
	discharge, charge := outage.Limits(b)
	l.batteries = append(l.batteries, battery{float64(b.Resistance.V), float64(b.Capacity.V), float64(b.EMF.V), group, discharge.Current, charge.Current})
	l.groups = max(l.groups, group+1)
	l.limited = l.limited || discharge.What != "" || charge.What != ""
}

func (l *layout) addCable(c *bank.Cable, in bank.Case) {
	all := float64(c.Resistance(in.CableTemperature.V))
	if c.Whole.Known() {
		each := min(joint, all/2)
		l.whole = true
		l.cables = append(l.cables, cable{fixed: all - 2*each, joints: [2]float64{each, each}})
		return
	}
	joints := [2]float64{float64(c.Joints[0].V), float64(c.Joints[1].V)}
	l.cables = append(l.cables, cable{length: all - joints[0] - joints[1], joints: joints})
}

// losses says what the loss of each battery leaves of the graph. Batteries are
// its first branches.
func (l *layout) losses(nodes int, branches [][2]int32) {
	for k, posts := range l.ends {
		u := newUnion(nodes)
		for i, b := range branches {
			if i != k {
				u.join(b[0], b[1])
			}
		}
		l.bears = append(l.bears, u.root(l.takeoff[0]) == u.root(l.takeoff[1]))
		l.bridge = append(l.bridge, u.root(posts[0]) != u.root(posts[1]))
	}
}

// nominal takes the snapshot of the bank as given and refuses what a spread
// has no meaning for.
func nominal(b *bank.Bank, c bank.Case) (report.Sharing, error) {
	if n := len(b.Batteries); n > maxBatteries {
		return report.Sharing{}, fmt.Errorf("the spread is computed for at most %d batteries, the bank has %d; ask about a part of it", maxBatteries, n)
	}
	s, err := sharing.Solve(b, c)
	if err != nil {
		return s, err
	}
	if math.IsNaN(s.Imbalance) || s.Current == 0 {
		return s, fmt.Errorf("case %s draws nothing at the take-off, so that no battery has a share; give a case with a draw or a charge", c.ID)
	}
	for i, one := range s.Batteries {
		if capacity := float64(b.Batteries[i].Capacity.V); !one.Off && !(capacity > 0) {
			return s, fmt.Errorf("battery %s: capacity is %g Ah; a share needs one above zero", one.ID, capacity/3600)
		}
	}
	return s, nil
}
