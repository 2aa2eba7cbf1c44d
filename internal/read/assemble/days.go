package assemble

import (
	"math"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/job"
)

// What the balance of days takes for granted where the job says nothing.
var (
	mixedLoss = source.Ref{Title: "Dobos, PVWatts, NREL/TP-6A20-62641: default losses, 14.08 % together, and 3 % in the controller (common practice)", Edition: "2014", How: source.Read}
	slopeRef  = source.Ref{Title: "crystalline silicon loses 0.3 to 0.5 % of its power a kelvin", How: source.Practice}
	roofRef   = source.Ref{Title: "panels of vehicles and boats lie close above a roof", How: source.Practice}
	flatRef   = source.Ref{Title: "panels of vehicles and boats lie flat", How: source.Practice}
	floorRef  = source.Ref{Title: "lithium is used down to 20 %, lead to 50 %", How: source.Practice}
	wishRef   = source.Ref{Title: "two to four days without sun are customary", How: source.Practice}
	darkRef   = source.Ref{Title: "an overcast day brings a tenth to a third of a mean day's sun", How: source.Practice}
	tailRef   = source.Ref{Title: "the tail of lead has a time constant of 1 to 3 h; that of lithium holds 2 to 5 % of the capacity", How: source.Practice}
	morning   = source.Ref{Title: "the engine runs from nine in the morning", How: source.Practice}
	startRef  = source.Ref{Title: "a week begins with a full bank", How: source.Practice}
)

// The whole of both: 1 − 0.859243·0.97.
const panelLoss = 0.166534

// days is what the balance of days is asked.
func (b *builder) days() {
	d := &b.bank.Days
	for i := range b.doc.Loads {
		d.Loads = append(d.Loads, b.load(&b.doc.Loads[i]))
	}
	for i := range b.doc.Sun {
		d.Sun = append(d.Sun, sunField(&b.doc.Sun[i]))
	}
	if m := &b.doc.Mains; m.Pos != (job.Pos{}) {
		d.Mains.Spans, d.Mains.Days = []bank.Span{{From: 0, To: 86400}}, 7
		if m.From.Set && m.To.Set {
			d.Mains.Spans = bank.SpansOf(float64(m.From.V), float64(m.To.V))
		}
		if m.Days.Set {
			d.Mains.Days = m.Days.V
		}
	}
	if one := &b.doc.Drive; one.Part.Set {
		d.Drive = bank.Drive{Part: one.Part.V, Hours: one.Hours.V, Days: 7, From: orAssumed(one.From, 9*3600, morning, "")}
		d.Drive.Spans = endless(float64(d.Drive.From.V), float64(one.Hours.V))
		if one.Days.Set {
			d.Drive.Days = one.Days.V
		}
	}
	b.daysAsk()
}

func (b *builder) daysAsk() {
	d, ask := &b.bank.Days, &b.doc.Days
	lead := len(b.bank.Batteries) > 0 && b.bank.Batteries[0].Chemistry != bank.LFP
	floor, tail := quantity.Ratio(0.2), quantity.Duration(900)
	if lead {
		floor, tail = 0.5, 7200
	}
	d.Floor = orAssumed(ask.Floor, floor, floorRef, "")
	d.Start = orAssumed(ask.Start, 1, startRef, "")
	if own := ownFloor(b.bank.Batteries); !ask.Floor.Set && own > 0 {
		d.Floor = source.Of(own)
		d.Floor.Note = "the batteries' own floor"
	}
	if mean, given := meanStart(b.bank.Batteries); !ask.Start.Set && given {
		d.Start = source.Of(mean)
		d.Start.Note = "the batteries' start"
	}
	d.Wish = orAssumed(ask.Wish, 3*86400, wishRef, "")
	d.Dark = orAssumed(ask.Dark, 0.2, darkRef, "")
	d.Tail = orAssumed(ask.Tail, tail, tailRef, "")
	if ask.Kept.Set {
		d.Kept = source.Of(ask.Kept.V)
	}
	d.InvertersOff = ask.InvertersOff.V
}

// ownFloor is the highest floor that the batteries have, 0 for none.
func ownFloor(all []bank.Battery) quantity.Ratio {
	most := quantity.Ratio(0)
	for i := range all {
		most = max(most, all[i].Limits.Floor)
	}
	return most
}

// meanStart is the mean state of charge by capacity; given only where the job
// gives every battery's.
func meanStart(all []bank.Battery) (quantity.Ratio, bool) {
	sum, whole := 0.0, 0.0
	for i := range all {
		if all[i].Start.Origin != source.Given {
			return 0, false
		}
		sum += float64(all[i].Start.V) * float64(all[i].Capacity.V)
		whole += float64(all[i].Capacity.V)
	}
	return quantity.Ratio(sum / whole), whole > 0
}

func orAssumed[T any](f job.Field[T], otherwise T, ref source.Ref, note string) source.Value[T] {
	if f.Set {
		return source.Of(f.V)
	}
	return source.Assume(otherwise, ref, note)
}

func (b *builder) load(l *job.DayLoad) bank.DayLoad {
	one := bank.DayLoad{ID: l.ID.V, Name: l.Name.V, Through: l.Through.V, Part: l.Part.V, Duty: 1}
	if one.Name == "" {
		one.Name = one.ID
	}
	if l.Duty.Set {
		one.Duty = l.Duty.V
	}
	if one.BadDuty = one.Duty; l.BadDuty.Set {
		one.BadDuty = l.BadDuty.V
	}
	one.Power = b.loadPower(l)
	switch {
	case l.From.Set && l.To.Set:
		one.Spans = bank.SpansOf(float64(l.From.V), float64(l.To.V))
	case l.At != nil:
		for _, at := range l.At {
			one.Spans = append(one.Spans, endless(float64(at.V), float64(l.For.V))...)
		}
	case l.Hours.Set:
		one.Hours = source.Of(l.Hours.V)
	default:
		one.Spans = []bank.Span{{From: 0, To: 86400}}
	}
	for m := range one.Months {
		one.Months[m] = l.Months == nil
	}
	for _, m := range l.Months {
		for n, name := range bank.MonthNames {
			if name == m.V {
				one.Months[n] = true
			}
		}
	}
	return one
}

// endless gives the spans of so many seconds from a clock time on.
func endless(from, seconds float64) []bank.Span {
	const day = 86400
	switch {
	case !(seconds > 0):
		return []bank.Span{}
	case seconds >= day:
		return []bank.Span{{From: 0, To: day}}
	}
	from = math.Mod(from, day)
	return bank.SpansOf(from, math.Mod(from+seconds, day))
}

// loadPower is the given one, else that of its part.
func (b *builder) loadPower(l *job.DayLoad) source.Value[quantity.Power] {
	if l.Power.Set {
		return source.Of(l.Power.V)
	}
	for i := range b.bank.Parts {
		p := &b.bank.Parts[i]
		if p.ID != l.Part.V {
			continue
		}
		v := source.Of(p.Device.Power)
		v.Note = "the power of " + p.ID
		if v.V == 0 {
			v = source.Value[quantity.Power]{Origin: source.Computed, Note: "the current of " + p.ID + " at the bank's nominal voltage"}
		}
		return v
	}
	return source.Value[quantity.Power]{}
}

func sunField(s *job.SunField) bank.SunField {
	one := bank.SunField{ID: s.ID.V, Part: s.Part.V, Peak: s.Peak.V}
	one.Tilt = orAssumed(s.Tilt, 0, flatRef, "")
	if s.Azimuth.Set {
		one.Azimuth = source.Of(s.Azimuth.V)
	}
	one.Mounting = orAssumed(s.Mounting, bank.OnRoof, roofRef, "")
	one.Loss = orAssumed(s.Loss, panelLoss, mixedLoss, "")
	one.Coefficient = orAssumed(s.Coefficient, 0.004, slopeRef, "")
	return one
}
