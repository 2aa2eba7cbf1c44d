package assess

import (
	"fmt"
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// keepOff is how far the middle of a post or cap stays from the edge of a strap:
// common practice, no source.
const keepOff = 0.015 // m

// straps looks what each strap lies over, and how it could be moved.
func (k *mounter) straps() {
	for i := range k.out.Straps {
		s := &k.out.Straps[i]
		along := bank.Point{X: s.To.X - s.From.X, Y: s.To.Y - s.From.Y}
		long := math.Hypot(along.X, along.Y)
		if long == 0 {
			continue
		}
		across := bank.Point{X: -along.Y / long, Y: along.X / long}
		spots := k.spots(s, across)
		reach := s.Width/2 + keepOff
		for _, p := range spots {
			if math.Abs(p.off) < reach-1e-9 {
				s.Over = append(s.Over, p.name)
			}
		}
		if s.Over != nil {
			k.shift(s, spots, across, reach)
		}
	}
}

// spot is a post or cap: how far it lies across from the middle of a strap.
type spot struct {
	name string
	off  float64
}

// spots lists the posts and caps of every battery that the strap could lie over,
// with their distance across it.
func (k *mounter) spots(s *report.MountStrap, across bank.Point) []spot {
	var all []spot
	add := func(name string, p bank.Point) {
		all = append(all, spot{name, float64((p.X-s.From.X)*across.X) + float64((p.Y-s.From.Y)*across.Y)})
	}
	for _, id := range k.m.HoldDown(s.Of).Holds {
		b := k.job.Bank.Battery(id)
		for _, plus := range []bool{true, false} {
			if p, ok := b.Post(plus); ok {
				end := b.Minus()
				if plus {
					end = b.Plus()
				}
				add(end.String(), p)
			}
		}
		for n, c := range b.Caps {
			add(fmt.Sprintf("cap %d of %s", n+1, b.ID), b.Body.Top(c[0], c[1]))
		}
	}
	return all
}

// shift looks for the nearest way beside the strap's own that lies on the cases
// with its whole width and covers nothing.
func (k *mounter) shift(s *report.MountStrap, spots []spot, across bank.Point, reach float64) {
	box := k.boxOf(k.m.HoldDown(s.Of).Holds)
	const step, far = 0.001, 3.0 // m
	for n := 1; float64(n)*step <= far; n++ {
		for _, d := range []float64{float64(n) * step, -float64(n) * step} {
			move := bank.Point{X: across.X * d, Y: across.Y * d}
			if free(spots, d, reach) && onBox(s, move, across, box) {
				s.Shift, s.Moved = move, true
				return
			}
		}
	}
}

func free(spots []spot, moved, reach float64) bool {
	for _, p := range spots {
		if math.Abs(p.off-moved) < reach-1e-9 {
			return false
		}
	}
	return true
}

// onBox reports whether both edges of the moved strap lie on the box.
func onBox(s *report.MountStrap, move, across bank.Point, box bank.Box) bool {
	for _, edge := range []float64{-s.Width / 2, s.Width / 2} {
		off := bank.Point{X: move.X + across.X*edge, Y: move.Y + across.Y*edge}
		a, z := s.Anchors[0].Add(off), s.Anchors[1].Add(off)
		if _, _, ok := crosses(a, z, box); !ok {
			return false
		}
	}
	return true
}

// placeWords prints a place of the plan.
func placeWords(j *Job, p bank.Point) string {
	return fmt.Sprintf("[%s, %s]", j.Bank.Show.FormatLength(quantity.Length(p.X)), j.Bank.Show.FormatLength(quantity.Length(p.Y)))
}

// unlooked says what of one hold-down the job does not let be looked at.
func unlooked(h *bank.HoldDown) []string {
	var all []string
	shear := h.Kind == bank.Bracket && !h.Grips || h.Kind == bank.Tray
	switch {
	case h.Kind == bank.Tray && len(h.At) == 0:
		return []string{fmt.Sprintf("how the tray %s itself is fixed: the job gives no bolts for it", h.ID)}
	case shear:
		all = append(all, fmt.Sprintf("the floor under the bolts of %s, and prying: they are taken in shear alone", h.ID))
	case h.Kind != bank.PinAcross && !h.Floor.Given:
		all = append(all, fmt.Sprintf("what %s pulls on: the job gives no floor for it", h.ID))
	}
	if (shear || h.Kind == bank.PinAcross) && h.Plate.Alloy == "" {
		all = append(all, fmt.Sprintf("the holes that the bolts or pins of %s bear in: the job gives no plate for it", h.ID))
	}
	return all
}

// notChecked lists what nothing here looks at.
func (k *mounter) notChecked() {
	say := func(format string, args ...any) {
		k.out.NotChecked = append(k.out.NotChecked, fmt.Sprintf(format, args...))
	}
	for i := range k.m.HoldDowns {
		h := &k.m.HoldDowns[i]
		for _, words := range unlooked(h) {
			say("%s", words)
		}
		if h.Kind == bank.RodsAndBar && k.known(h.Holds) {
			for n := 0; n+1 < len(h.At); n += 2 {
				if k.bears(h, h.At[n], h.At[n+1]) == 0 {
					say("the bar from %s to %s lies over none of the batteries it holds: look at its places", numbered(h, n), numbered(h, n+1))
				}
			}
		}
	}
	say("the cases themselves under bars, straps and lips, and what is bolted to them")
	say("the vehicle's own frame and floor beyond the washers, welds and glue")
	say("shaking, fatigue, and nuts that work loose: use prevailing-torque nuts and look again after the first drive")
	say("loads beyond the rule's, as in a crash, unless the rule is for that")
	if k.m.Vehicle == nil {
		say("the vehicle's balance: the job gives no vehicle")
	} else {
		say("the vehicle's own limits: the weights on hitch, axle and tyres that its papers allow")
	}
}

// assume lists what all of it rests on that nobody gave.
func (k *mounter) assume() {
	var list assumptions
	m := k.m
	show := k.job.Bank.Show
	addAssumed(&list, "rule", "mounting", m.Rule.V, m.Rule)
	addAssumed(&list, "surroundings", "mounting", m.Surroundings.V, m.Surroundings)
	addAssumed(&list, "way out", "service", m.Service.Way.V, m.Service.Way)
	addAssumed(&list, "top of the compartment", "service", m.Service.Lid.V, m.Service.Lid)
	addAssumed(&list, "room for a hand", "service", show.FormatLength(m.Service.Hand.V), m.Service.Hand)
	addAssumed(&list, "people who lift", "lifting", fmt.Sprint(m.Lifting.People.V), m.Lifting.People)
	addAssumed(&list, "travel of a lift", "lifting", show.FormatLength(m.Lifting.Travel.V), m.Lifting.Travel)
	addAssumed(&list, "twist of a lift", "lifting", quantity.Format(m.Lifting.Twist.V, 3), m.Lifting.Twist)
	addAssumed(&list, "grip of a lift", "lifting", m.Lifting.Grip.V, m.Lifting.Grip)
	for i := range k.out.Lifts {
		if l := &k.out.Lifts[i]; l.ReachAssumed {
			list.add("reach of a lift", l.Battery, show.FormatLength(quantity.Length(l.Reach)), "20 cm (25 cm low down) and half of the case's lesser side", "NIOSH 94-110, revised 2021 (from memory)")
		}
	}
	for i := range k.out.Lifts {
		if l := &k.out.Lifts[i]; l.HeightAssumed {
			list.add("hands at the start of a lift", l.Battery, show.FormatLength(quantity.Length(l.Height)), "the height of the case, as though it stood on the ground", "")
		}
	}
	for i := range m.HoldDowns {
		h := &m.HoldDowns[i]
		addAssumed(&list, "width of a strap", h.ID, show.FormatLength(h.Width.V), h.Width)
		addAssumed(&list, "planes of a pin", h.ID, fmt.Sprint(h.Planes.V), h.Planes)
		if factor, state, assumed := nutFactor(h); assumed && h.Torque > 0 {
			list.add("state of the nuts", h.ID, fmt.Sprintf("%s, factor %.2f", state, factor), "", "fastener makers' tables")
		}
	}
	if len(k.out.Straps) > 0 {
		list.add("room between a strap's edge and the middle of a post or cap", "straps", show.FormatLength(keepOff), "", "common practice, no source")
	}
	if len(k.out.Groups) > 0 {
		list.add("centre of mass", "batteries", "the middle of the case", "", "common practice, no source")
		list.add("a block", "batteries", "rigid, on a rigid floor; like hold-downs alike stiff", "what one battery does inside a block is not looked at", "")
	}
	k.out.Assumed = list
}
