package assess

import (
	"math"
	"strings"

	"bankwright/internal/engine/holding"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// nutFactor gives the nut factor of a hold-down, its state in words, and whether
// that is assumed.
func nutFactor(h *bank.HoldDown) (factor float64, state string, assumed bool) {
	state = h.Nut
	if state == "" {
		assumed, state = true, "dry"
		if stainless(h.Grade) {
			state = "oiled"
		}
	}
	return map[string]float64{"dry": holding.DryNut, "zinc": holding.ZincNut, "oiled": holding.OiledNut}[state], state, assumed
}

func stainless(grade string) bool {
	return strings.HasPrefix(grade, "A2") || strings.HasPrefix(grade, "A4")
}

// preloads works out what each torque given does.
func (k *mounter) preloads() {
	for i := range k.m.HoldDowns {
		h := &k.m.HoldDowns[i]
		t, ok := threadOf(h)
		if !ok || !(h.Torque > 0) {
			continue
		}
		p := report.MountPreload{Hold: h.ID, Given: float64(h.Torque), Proof: math.NaN(), Torque: math.NaN(), Bar: math.NaN(), Opens: math.NaN(), Source: "fastener makers' tables, T = K·D·F; scatter of preload ±35 %, common practice"}
		p.Factor, p.Nut, p.NutAssumed = nutFactor(h)
		p.Mean = holding.Preload(p.Given, p.Factor, t)
		p.Least, p.Most = p.Mean*(1-holding.Scatter), p.Mean*(1+holding.Scatter)
		if g, why := gradeOf(h, t); why == "" {
			p.Proof = g.Proof * t.StressArea()
			_, p.Torque = holding.Setting(g, t, p.Factor)
		}
		if h.Kind == bank.RodsAndBar {
			p.Press = 2 * p.Most
			if h.Bar.Alloy != "" && k.known(h.Holds) {
				part := k.bar(h, h.At[0], h.At[1]).Part("bar")
				p.Bar = holding.Margin(part.Strength.Yield, p.Most)
			}
		}
		p.Opens = holding.Opens(p.Mean, k.mostPull(h.ID))
		k.out.Preloads = append(k.out.Preloads, p)
	}
}

func (k *mounter) known(ids []string) bool {
	for _, id := range ids {
		if k.body[id] == nil {
			return false
		}
	}
	return true
}

// mostPull gives the largest pull in any place of a hold-down, over all
// directions.
func (k *mounter) mostPull(id string) float64 {
	most := 0.0
	for i := range k.out.Groups {
		for _, c := range k.out.Groups[i].Cases {
			for _, p := range c.Pulls {
				if p.Of == id {
					most = max(most, p.Pull)
				}
			}
		}
	}
	return most
}

// fastener gives the metal of a hold-down's rods or bolts, "" where the job does
// not say.
func fastener(h *bank.HoldDown) string {
	switch {
	case h.Grade == "":
		return ""
	case stainless(h.Grade):
		return "stainless"
	case h.Nut == "zinc":
		return "zinc"
	}
	return "steel"
}

// metals compares what touches in each hold-down.
func (k *mounter) metals() {
	for i := range k.m.HoldDowns {
		h := &k.m.HoldDowns[i]
		screw, body, word := fastener(h), h.Metal, h.Kind.Word()
		if h.Plate.Alloy != "" {
			body = "aluminium"
		}
		if h.Kind == bank.RodsAndBar {
			word = "bar"
			if h.Bar.Alloy != "" {
				body = "aluminium"
			}
		}
		name := "bolts"
		switch h.Kind {
		case bank.RodsAndBar:
			name = "rods"
		case bank.PinAcross:
			name, word = "pins", "plate"
		}
		k.touch(h, name, screw, word, body, true)
		k.touch(h, name, screw, "floor", h.Floor.Metal, true)
		if h.Kind != bank.RodsAndBar {
			k.touch(h, word, body, "floor", h.Floor.Metal, false)
		}
	}
}

// touch adds one pair of metals, where both are known and differ.
func (k *mounter) touch(h *bank.HoldDown, one, first, other, second string, fastener bool) {
	if first == "" || second == "" || first == second {
		return
	}
	p := holding.Touch(first, second, holding.Place(k.m.Surroundings.V))
	k.out.Metals = append(k.out.Metals, report.MountMetals{Hold: h.ID, One: one, Other: other, MetalOne: first, MetalTo: second, Difference: p.Difference, Limit: p.Limit, Corrodes: p.Corrodes,
		Fastener: fastener && p.Corrodes == first, Apart: h.Isolated, Within: p.Within(), Place: k.m.Surroundings.V, Ref: p.Ref})
}

// ways says how each battery comes out: up to the lid and past what stands over
// it, or sideways past what stands in its way.
func (k *mounter) ways() {
	for i := range k.job.Bank.Batteries {
		b := &k.job.Bank.Batteries[i]
		if !b.Placed {
			continue
		}
		box := b.Body.Box()
		one := report.MountOut{Battery: b.ID, Way: k.m.Service.Way.V, Free: math.Inf(1)}
		room := k.room(box)
		if room != nil && k.m.Service.Lid.V == "fixed" {
			one.Free, one.By = room.Box.Max.Z-box.Min.Z, "the top of "+room.ID
		}
		hand := float64(k.m.Service.Hand.V)
		if one.Way != "up" {
			hand = 0 // it is drawn out, not lifted
		}
		c := holding.Clearance{Case: box.Max.Z - box.Min.Z, Lip: k.lip(b.ID), Hand: hand}
		k.swept(&one, b.ID, box, room)
		c.Free = one.Free
		one.Needs, one.Spare = c.Needs(), c.Spare()
		k.out.Out = append(k.out.Out, one)
	}
}

// room gives the compartment that a box stands in, nil for none.
func (k *mounter) room(box bank.Box) *bank.Compartment {
	for i := range k.job.Bank.Compartments {
		if c := &k.job.Bank.Compartments[i]; c.Box.Contains(box) {
			return c
		}
	}
	return nil
}

// lip gives how high the tray's lip is that a battery is drawn up over.
func (k *mounter) lip(id string) float64 {
	most := 0.0
	for i := range k.m.HoldDowns {
		for _, held := range k.m.HoldDowns[i].Holds {
			if held == id {
				most = max(most, k.m.HoldDowns[i].Lip)
			}
		}
	}
	return most
}

// swept looks at everything else that has a body: what stands over the case
// bounds the free height, what stands in the way sideways blocks it.
func (k *mounter) swept(one *report.MountOut, id string, box bank.Box, room *bank.Compartment) {
	way := bank.Heading(one.Way)
	path := box
	far := bank.Box{Min: bank.Point{X: box.Min.X - 100, Y: box.Min.Y - 100}, Max: bank.Point{X: box.Max.X + 100, Y: box.Max.Y + 100}}
	if room != nil {
		far = room.Box
	}
	switch {
	case way.X > 0:
		path.Max.X = far.Max.X
	case way.X < 0:
		path.Min.X = far.Min.X
	case way.Y > 0:
		path.Max.Y = far.Max.Y
	case way.Y < 0:
		path.Min.Y = far.Min.Y
	}
	look := func(other string, body bank.Box) {
		if other == id {
			return
		}
		above := bank.Box{Min: bank.Point{X: body.Min.X, Y: body.Min.Y, Z: box.Min.Z}, Max: bank.Point{X: body.Max.X, Y: body.Max.Y, Z: box.Max.Z}}
		if body.Min.Z >= box.Max.Z-1e-6 && above.Overlaps(box) && body.Min.Z-box.Min.Z < one.Free {
			one.Free, one.By = body.Min.Z-box.Min.Z, other
		}
		if way != (bank.Point{}) && body.Overlaps(path) {
			one.Blocks = append(one.Blocks, other)
		}
	}
	for i := range k.job.Bank.Batteries {
		if b := &k.job.Bank.Batteries[i]; b.Placed {
			look(b.ID, b.Body.Box())
		}
	}
	for i := range k.job.Bank.Parts {
		if p := &k.job.Bank.Parts[i]; p.Placed {
			look(p.ID, p.Body.Box())
		}
	}
}

// Shortest distance of the hands from the ankles where the job gives none:
// 20 cm and half of the case's depth, 25 cm where the hands begin below 25 cm.
// Reference: NIOSH 94-110, from memory.
const (
	handsReach, handsReachLow, handsLow = 0.20, 0.25, 0.25
)

// lifts holds each battery against the published lifting equation.
func (k *mounter) lifts() {
	m := &k.m.Lifting
	grip := map[string]holding.Grip{"good": holding.Good, "fair": holding.Fair, "poor": holding.Poor}[m.Grip.V]
	for i := range k.job.Bank.Batteries {
		b := &k.job.Bank.Batteries[i]
		if !(b.Mass > 0) {
			continue
		}
		l := holding.Lift{Height: float64(m.Height.V), Reach: float64(m.Reach.V), Travel: float64(m.Travel.V), Twist: float64(m.Twist.V) * 180 / math.Pi, Grip: grip}
		one := report.MountLift{Battery: b.ID, Mass: float64(b.Mass), People: m.People.V, HeightAssumed: !m.Height.Known(), ReachAssumed: !m.Reach.Known(), Source: holding.MetricLift.Ref.String()}
		if one.HeightAssumed {
			l.Height = b.Outside.Z
		}
		if one.ReachAssumed {
			l.Reach = handsReach
			if l.Height < handsLow {
				l.Reach = handsReachLow
			}
			l.Reach += min(b.Outside.X, b.Outside.Y) / 2
		}
		one.Reach, one.Height, one.Travel = l.Reach, l.Height, l.Travel
		one.Limit = holding.MetricLift.Limit(l)
		one.Index = holding.MetricLift.Index(l, one.Mass, one.People)
		if one.Limit > 0 {
			one.Enough = int(math.Ceil(one.Mass/one.Limit - 1e-9))
		}
		k.out.Lifts = append(k.out.Lifts, one)
	}
}

// floors gives the pressure under each battery, at rest and at the load down.
func (k *mounter) floors() {
	multiple := max(1, k.rule.Down)
	for i := range k.job.Bank.Batteries {
		if body := k.body[k.job.Bank.Batteries[i].ID]; body != nil {
			k.out.Floors = append(k.out.Floors, report.MountFloor{Battery: body.ID, Rest: holding.FloorPressure(body, 1), Under: holding.FloorPressure(body, multiple), Multiple: multiple})
		}
	}
}

// balance works out what the masses do to the vehicle.
func (k *mounter) balance() {
	v := k.m.Vehicle
	if v == nil {
		return
	}
	ahead := k.m.Ahead
	left := bank.Point{X: -ahead.Y, Y: ahead.X}
	dot := func(p, q bank.Point) float64 { return float64((p.X-v.Axle.X)*q.X) + float64((p.Y-v.Axle.Y)*q.Y) }
	out := &report.MountBalance{Before: math.NaN(), After: math.NaN(), MiddleBefore: math.NaN(), MiddleAfter: math.NaN(), Side: math.NaN()}
	var added []holding.Added
	put := func(id string, mass float64, at bank.Point) {
		a := holding.Added{ID: id, Mass: mass, Ahead: dot(at, ahead), Left: dot(at, left)}
		added = append(added, a)
		out.Mass += mass
		out.Ahead += float64(mass * a.Ahead)
		out.Left += float64(mass * a.Left)
		out.Words = append(out.Words, id)
	}
	for i := range k.job.Bank.Batteries {
		if body := k.body[k.job.Bank.Batteries[i].ID]; body != nil {
			put(body.ID, body.Mass, point(body.Middle()))
		}
	}
	for _, a := range v.Also {
		put(a.What, float64(a.Mass), a.At)
	}
	if len(added) == 0 {
		return
	}
	out.Ahead, out.Left = out.Ahead/out.Mass, out.Left/out.Mass
	vehicle := holding.Vehicle{Track: v.Track}
	if v.HasHitch {
		vehicle.Base = dot(v.Hitch, ahead)
	}
	s := holding.Balance(vehicle, added...)
	out.Hitch, out.Axle, out.LeftWheel, out.RightWheel = s.Nose, s.Axle, s.Left, s.Right
	if own := float64(v.Mass); v.HasCentre && own > 0 {
		all := own + out.Mass
		out.MiddleBefore = dot(v.Centre, ahead)
		out.MiddleAfter = (float64(own*out.MiddleBefore) + float64(out.Mass*out.Ahead)) / all
		out.Side = out.Mass * (out.Left - dot(v.Centre, left)) / all
		if vehicle.Base > 0 {
			out.Before, out.After = out.MiddleBefore/vehicle.Base, out.MiddleAfter/vehicle.Base
		}
	}
	k.out.Balance = out
}
