package run

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// kind of a thing that a battery's protection watches.
type kind int

const (
	lowCharge kind = iota
	fullCharge
	tooMuchOut
	tooMuchIn
	lowVolts
	highVolts
	wrongWarmth
	canGive // discharge is open and may close
	canTake // charge is open and may close
)

// slack is what a state of charge may lack and still be empty or full: so that
// batteries that are alike go together, whatever rounding did to them.
const slack = 1e-9

// nil current, A: below it a battery neither gives nor takes.
const nilCurrent = 1e-6

// never is the excess of what does not apply.
const never = -1

// excess of one battery over one of its limits, above zero where it is past
// it. The unit is the limit's own; only the sign and continuity matter.
func (u *unit) excess(k kind, charge, kelvin float64, x *instant, i int) float64 {
	g := &u.bat.Model.Guard
	current, volts := x.current[i], x.posts[i]
	if u.away {
		return never
	}
	if u.in() {
		return u.excessIn(g, k, charge, kelvin, current, volts)
	}
	if math.IsNaN(volts) {
		volts = x.across()
	}
	if math.IsNaN(volts) && (u.noGive == "" || u.noTake == "") {
		return never
	}
	switch {
	case k == canGive && u.noGive != "" && u.noTake == "":
		return u.mayGive(g, charge, volts, x.emf[i])
	case k == canTake && u.noTake != "" && u.noGive == "":
		if g.HighRelease.Known() && u.noTake == "voltage" {
			return math.Max(float64(g.HighRelease.V)-volts, x.emf[i]-volts-1e-6)
		}
		return x.emf[i] - volts - 1e-6 // a microvolt: it would give a nil current
	case k == canTake && u.noTake != "" && u.noGive != "":
		return u.mildBy(g, kelvin)
	}
	return never
}

// across stands for the volts across posts that nothing else that is in joins:
// what draws pulls them down, what charges drives them up.
func (x *instant) across() float64 {
	const far = 1e6 // V, beyond any battery
	if x.pull == 0 {
		return math.NaN()
	}
	return -float64(x.pull) * far
}

// mayGive is by how far a battery with its discharge side open may close again:
// current forced into it, or volts that the maker calls enough.
func (u *unit) mayGive(g *bank.Guard, charge, volts, emf float64) float64 {
	const hair = 1e-3 // V, so that rounding does not close what has just opened
	forced := volts - emf - max(float64(g.Diode.V), hair)
	if g.ReconnectVoltage.Known() && charge > u.floor()+slack && u.noGive != "current" {
		return math.Max(forced, volts-float64(g.ReconnectVoltage.V))
	}
	return forced
}

// mildBy is by how many kelvin a temperature is back within its limits.
func (u *unit) mildBy(g *bank.Guard, kelvin float64) float64 {
	by, back := math.Inf(1), float64(g.TemperatureRelease.V)
	if g.Hot.Known() {
		by = math.Min(by, float64(g.Hot.V)-back-kelvin)
	}
	if g.Cold.Known() {
		by = math.Min(by, kelvin-float64(g.Cold.V)-back)
	}
	if math.IsInf(by, 1) {
		return never
	}
	return by
}

func (u *unit) excessIn(g *bank.Guard, k kind, charge, kelvin, current, volts float64) float64 {
	switch {
	case k == lowCharge && current > nilCurrent:
		return u.floor() - charge
	case k == fullCharge && current < -nilCurrent && g.Electronic:
		return charge - 1
	case k == tooMuchOut && g.Trip.Known():
		return current - float64(g.Trip.V)*(1+1e-9)
	case k == tooMuchIn && g.TripCharge.Known():
		return -current - float64(g.TripCharge.V)*(1+1e-9)
	case k == lowVolts && g.Low.Known() && current > nilCurrent:
		return float64(g.Low.V) - volts
	case k == highVolts && g.High.Known() && current < -nilCurrent:
		return volts - float64(g.High.V)
	case k == wrongWarmth:
		by, _, _ := u.warmth(kelvin, current)
		return by
	}
	return never
}

func (u *unit) floor() float64 {
	if g := &u.bat.Model.Guard; g.Floor.Known() {
		return float64(g.Floor.V)
	}
	return 0
}

// warmth is by how far the temperature is past a limit, whether both sides
// open, and the limit.
func (u *unit) warmth(kelvin, current float64) (by float64, both bool, limit warmLimit) {
	g := &u.bat.Model.Guard
	by = never
	look := func(at warmLimit, past float64, opensBoth bool) {
		if at.Known() && past > by {
			by, both, limit = past, opensBoth, at
		}
	}
	if current < -nilCurrent {
		look(g.ColdCharge, float64(g.ColdCharge.V)-kelvin, false)
		look(g.HotCharge, kelvin-float64(g.HotCharge.V), false)
	}
	look(g.Cold, float64(g.Cold.V)-kelvin, true)
	look(g.Hot, kelvin-float64(g.Hot.V), true)
	return by, both, limit
}

// warmLimit is a limit of temperature with where it comes from.
type warmLimit = source.Value[quantity.Temperature]

// delay is how long an excess must last, s; k counts from tooMuchOut.
func (u *unit) delay(k int) float64 {
	if k < 2 {
		return float64(u.bat.Model.Guard.TripDelay.V)
	}
	return float64(u.bat.Model.Guard.VoltageDelay.V)
}

// timed gives the place of a kind among those that must last.
func (k kind) timed() (int, bool) { return int(k - tooMuchOut), k >= tooMuchOut && k <= highVolts }

// watchedOf lists what a battery's protection watches while it is in.
func watchedOf(g *bank.Guard) []kind {
	all := []kind{lowCharge}
	add := func(k kind, is bool) {
		if is {
			all = append(all, k)
		}
	}
	add(fullCharge, g.Electronic)
	add(tooMuchOut, g.Trip.Known())
	add(tooMuchIn, g.TripCharge.Known())
	add(lowVolts, g.Low.Known())
	add(highVolts, g.High.Known())
	add(wrongWarmth, g.ColdCharge.Known() || g.HotCharge.Known() || g.Cold.Known() || g.Hot.Known())
	return all
}

// closing is what can happen while a battery is out.
var closing = []kind{canGive, canTake}

// watches lists what can happen to a battery now.
func (u *unit) watches() []kind {
	switch {
	case u.away:
		return nil
	case u.in():
		return u.watched
	}
	return closing
}

// excess gives the largest excess at the end of the step that was tried, of
// what is not past its limit already.
func (s *runner) excess() float64 {
	worst := math.Inf(-1)
	for i := range s.units {
		u := &s.units[i]
		for _, k := range u.watches() {
			if t, timed := k.timed(); timed && !math.IsNaN(u.over[t]) {
				continue
			}
			if past := u.excess(k, s.trying[i].Charge, s.trying[i].Kelvin, &s.third, i); past > worst {
				worst = past
			}
		}
	}
	if limit := s.tailExcess(&s.third); limit > worst {
		worst = limit
	}
	return worst
}

// excessNow is the same at the beginning of the step.
func (s *runner) excessNow() float64 {
	worst := math.Inf(-1)
	for i := range s.units {
		u := &s.units[i]
		for _, k := range u.watches() {
			worst = math.Max(worst, u.excess(k, u.state.Charge, u.state.Kelvin, &s.first, i))
		}
	}
	return math.Max(worst, s.tailExcess(&s.first))
}

// tailExcess is by how much a charge current has fallen below its tail.
func (s *runner) tailExcess(x *instant) float64 {
	tail := float64(s.demand.Tail)
	if tail <= 0 || !x.held || !s.first.carries {
		return never
	}
	if x != &s.first && s.first.held && tail+s.first.draw >= 0 {
		return never // it was there before the step
	}
	return tail + x.draw
}

// drop takes out what is to go by hand at this instant.
func (s *runner) drop() bool {
	any := false
	for _, d := range s.o.Drops {
		if u := &s.units[d.Battery]; !u.away && d.Time <= s.now+tiny(s.now) {
			if !any {
				s.keep()
			}
			u.away, any, s.calm = true, true, false
		}
	}
	return any
}

// settle lets every protection act that has to at this instant, one round after
// the other, until none does.
func (s *runner) settle() error {
	for range 4*len(s.units) + 4 {
		if !s.round() {
			s.note()
			return nil
		}
		if err := s.refresh(); err != nil {
			return err
		}
	}
	s.note()
	return nil
}

// round applies the first sort of event that is due: the states of charge of
// all batteries at once, then temperatures, volts, the one battery that is
// furthest over its current, and last what closes again.
func (s *runner) round() bool {
	for _, sort := range [][]kind{{lowCharge, fullCharge}, {wrongWarmth}, {lowVolts, highVolts}} {
		if s.applyAll(sort) {
			return true
		}
	}
	return s.applyWorst() || s.applyAll([]kind{canGive, canTake}) || s.retries()
}

func (s *runner) applyAll(sort []kind) bool {
	type hit struct {
		i int
		k kind
	}
	var hits []hit
	for i := range s.units {
		for _, k := range sort {
			if s.due(i, k) {
				hits = append(hits, hit{i, k})
			}
		}
	}
	if hits != nil {
		s.keep()
	}
	for _, h := range hits {
		s.apply(h.i, h.k)
	}
	return hits != nil
}

// due reports whether a thing has been past its limit for as long as it must.
func (s *runner) due(i int, k kind) bool {
	u := &s.units[i]
	past := u.excess(k, u.state.Charge, u.state.Kelvin, &s.first, i)
	t, timed := k.timed()
	if !timed {
		return past > 0 || (k <= fullCharge && past > -slack && past != never)
	}
	if !(past > 0) && !(past > -slack && !math.IsNaN(u.over[t])) {
		u.over[t] = math.NaN()
		return false
	}
	if math.IsNaN(u.over[t]) {
		u.over[t] = s.now
	}
	return s.now >= u.over[t]+u.delay(t)-tiny(s.now)
}

// applyWorst opens the battery that is furthest over its current.
func (s *runner) applyWorst() bool {
	worst, at, of := 0.0, -1, tooMuchOut
	for i := range s.units {
		g := &s.units[i].bat.Model.Guard
		for _, k := range []kind{tooMuchOut, tooMuchIn} {
			if !s.due(i, k) {
				continue
			}
			ratio := s.first.current[i] / float64(g.Trip.V)
			if k == tooMuchIn {
				ratio = -s.first.current[i] / float64(g.TripCharge.V)
			}
			if ratio > worst*(1+1e-9) {
				worst, at, of = ratio, i, k
			}
		}
	}
	if at < 0 {
		return false
	}
	s.keep()
	s.apply(at, of)
	return true
}

func (s *runner) retries() bool {
	any := false
	for i := range s.units {
		u := &s.units[i]
		if u.retry <= s.now+tiny(s.now) {
			if !any {
				s.keep()
			}
			any = true
			s.close(i, "time", s.now, u.retry)
		}
	}
	return any
}

// apply lets one protection act.
func (s *runner) apply(i int, k kind) {
	u, g := &s.units[i], &s.units[i].bat.Model.Guard
	e := report.Event{Time: s.now, Battery: u.bat.ID, OnCharge: s.first.current[i] < 0}
	switch k {
	case lowCharge:
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.Empty, "charge", u.state.Charge, u.floor(), g.Floor.Mark() != ""
	case fullCharge:
		e.What, e.Because, e.Value, e.Limit = report.Full, "charge", u.state.Charge, 1
	case tooMuchOut:
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.TripCurrent, "current", s.first.current[i], float64(g.Trip.V), g.Trip.Mark() != ""
		if g.ReconnectAfter.Known() {
			u.retry = s.now + float64(g.ReconnectAfter.V)
		}
	case tooMuchIn:
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.TripCurrent, "current", -s.first.current[i], float64(g.TripCharge.V), g.TripCharge.Mark() != ""
	case lowVolts:
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.Empty, "voltage", s.first.posts[i], float64(g.Low.V), g.Low.Mark() != ""
	case highVolts:
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.TripVoltage, "voltage", s.first.posts[i], float64(g.High.V), g.High.Mark() != ""
	case wrongWarmth:
		_, both, limit := u.warmth(u.state.Kelvin, s.first.current[i])
		u.wrong = limit.V
		e.What, e.Because, e.Value, e.Limit, e.Assumed = report.TripTemperature, "temperature", u.state.Kelvin, float64(limit.V), limit.Mark() != ""
		if both {
			e.Opens = "both"
		}
	default:
		if u.noGive != "" && u.noTake != "" {
			s.close(i, "temperature", u.state.Kelvin, float64(u.wrong))
		} else {
			s.close(i, "voltage", s.first.posts[i], s.first.emf[i])
		}
		return
	}
	s.open(u, k, &e)
	s.out.Events = append(s.out.Events, e)
}

// open opens a side of a battery for an event.
func (s *runner) open(u *unit, k kind, e *report.Event) {
	switch {
	case e.Opens == "both":
		u.noGive, u.noTake = e.Because, e.Because
	case k == lowCharge || k == tooMuchOut || k == lowVolts:
		u.noGive, e.Opens = e.Because, "discharge"
	default:
		u.noTake, e.Opens = e.Because, "charge"
	}
	for t := range u.over {
		u.over[t] = math.NaN()
	}
	b := s.battery(u)
	switch {
	case e.What == report.Empty && math.IsNaN(b.EmptyAt):
		b.EmptyAt = s.now
	case e.What == report.Full && math.IsNaN(b.FullAt):
		b.FullAt = s.now
	}
	if u.noGive != "" && isDraw(s.demand) && math.IsNaN(s.out.FirstOut) {
		s.out.FirstOut, s.out.FirstOutJ = s.out.Delivered, s.out.Energy
	}
}

// close closes what a battery had open.
func (s *runner) close(i int, because string, value, limit float64) {
	u := &s.units[i]
	e := report.Event{Time: s.now, Battery: u.bat.ID, What: report.Reconnect, Because: because, Value: value, Limit: limit, OnCharge: !isDraw(s.demand) && drawsOrCharges(s.demand)}
	switch {
	case u.noGive != "" && u.noTake != "":
		e.Opens = "both"
	case u.noGive != "":
		e.Opens = "discharge"
	default:
		e.Opens = "charge"
	}
	u.noGive, u.noTake, u.retry = "", "", math.Inf(1)
	s.out.Events = append(s.out.Events, e)
}

// note keeps what an instant says once its protections have acted.
func (s *runner) note() {
	for i := range s.units {
		s.peak(i, s.first.current[i], s.now)
	}
	if isDraw(s.demand) && (!s.first.carries || s.first.weak) && math.IsNaN(s.out.BankOut) {
		s.out.BankOut, s.out.BankOutJ = s.out.Delivered, s.out.Energy
		if math.IsNaN(s.out.FirstOut) {
			s.out.FirstOut, s.out.FirstOutJ = s.out.Delivered, s.out.Energy
		}
	}
}
