package assess

import (
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/model/report"
)

// Settings lists what to set on each charger and inverter of the job for the
// batteries that it is joined to, in the order of the parts: the batteries' own
// limits where the job gives them, else what is customary for the chemistry. A
// job whose circuit cannot be solved is refused as by [Job.Check].
func (j *Job) Settings() ([]report.Setting, error) {
	if err := j.ready(); err != nil {
		return nil, err
	}
	h := &hazardTable{j: j, side: &report.Side{}, at: feed.Islands(j.Bank, nil)}
	h.levels()
	if err := j.charges(h.side); err != nil {
		return nil, err
	}
	var all []report.Setting
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Charges() && (!p.Kind.Draws() || p.Kind == bank.Load) {
			continue
		}
		for _, g := range likes(h.fed(end(p, 0))) {
			table, ok := rating.ChargingOf(string(g[0].Chemistry))
			if !ok {
				continue
			}
			s := &setting{h: h, part: p, batteries: g, table: table}
			s.scale = table.Cells(float64(g[0].Nominal)) / h.share(g[0], end(p, 0), 1)
			if p.Kind.Charges() {
				s.charging()
			}
			if p.Kind.Draws() {
				s.cutoff()
			}
			all = append(all, s.all...)
		}
	}
	return all, nil
}

// likes groups batteries of one type.
func likes(all []*bank.Battery) [][]*bank.Battery {
	var groups [][]*bank.Battery
next:
	for _, b := range all {
		for n := range groups {
			if groups[n][0].Type == b.Type {
				groups[n] = append(groups[n], b)
				continue next
			}
		}
		groups = append(groups, []*bank.Battery{b})
	}
	return groups
}

// setting is the lines of one part and one type of battery in the making.
type setting struct {
	h         *hazardTable
	part      *bank.Part
	batteries []*bank.Battery
	table     rating.Charging
	scale     float64 // cells in series at the part's terminals
	all       []report.Setting
}

// add completes a line with how the job's own value lies to it; zero: the job
// gives none.
func (s *setting) add(one report.Setting, job float64) {
	one.Part, one.Chemistry, one.Job = s.part.ID, s.table.Chemistry, math.NaN()
	for _, b := range s.batteries {
		one.Batteries = append(one.Batteries, b.ID)
	}
	one.State = report.SettingNotGiven
	if job != 0 {
		one.Job, one.State = job, report.SettingFits
		if job < one.Least*(1-1e-9) || job > one.Most*(1+1e-9) || one.Off && math.IsNaN(one.Least) && math.IsNaN(one.Most) {
			one.State = report.SettingDiffers
		}
	}
	s.all = append(s.all, one)
}

// volts is a span of volts a cell at the part's terminals; an empty one has no
// bounds.
func (s *setting) volts(v rating.Span, unit string) report.Setting {
	if v.IsZero() {
		return report.Setting{Least: math.NaN(), Most: math.NaN(), Unit: unit}
	}
	return report.Setting{Least: v.Least * s.scale, Most: v.Most * s.scale, Unit: unit}
}

func (s *setting) charging() {
	d, b := &s.part.Device, s.batteries[0]
	absorb := s.volts(s.table.Absorb, "V")
	absorb.Kind, absorb.Assumed, absorb.Ref = report.SetAbsorb, true, s.table.AbsorbRef
	if high := b.Model.Guard.High; high.Origin == source.Given {
		most := float64(high.V) / s.h.share(b, end(s.part, 0), 1)
		absorb.Most = math.Min(absorb.Most, most)
		if absorb.Least > most {
			absorb.Least = math.NaN()
			absorb.Note = "the batteries' own high limit lies under what is customary; ask for their sheet"
		}
	}
	s.add(absorb, float64(d.Voltage))

	float := s.volts(s.table.Float, "V")
	float.Kind, float.Assumed, float.Ref, float.Off = report.SetFloat, true, s.table.FloatRef, s.table.FloatNone
	s.add(float, float64(d.Float))

	equalise := s.volts(s.table.Equalise, "V")
	equalise.Kind, equalise.Assumed, equalise.Ref, equalise.Off = report.SetEqualise, true, s.table.EqualiseRef, s.table.Equalise.IsZero()
	if !equalise.Off {
		equalise.Note = "by hand, batteries vented, caps and level looked at; 15.0 V of a 12 V battery for 2 h at most by one maker"
	}
	s.add(equalise, 0)

	comp := s.volts(s.table.Compensation, "V/K")
	comp.Kind, comp.Assumed, comp.Ref, comp.Off = report.SetCompensation, true, s.table.CompRef, s.table.Compensation.IsZero()
	if !comp.Off {
		comp.Note = "over 25 °C, by a sensor on the batteries"
	}
	s.add(comp, 0)

	s.current()
	s.lockout(b)
}

// current is what the source may give alone, and all of them together: until
// the battery with the largest share for its limit reaches that.
func (s *setting) current() {
	for i := range s.h.side.Charges {
		c := &s.h.side.Charges[i]
		if !slices.Contains(c.Sources, s.part.ID) {
			continue
		}
		most, first := reaches(c)
		one := report.Setting{Kind: report.SetCurrent, Least: math.NaN(), Most: most, Unit: "A"}
		switch {
		case len(c.Sources) > 1:
			one.Kind = report.SetTogether
			one.Note = strings.Join(c.Sources, ", ") + " can all charge at once; "
		case math.IsNaN(most):
		default:
			one.Note = "alone; "
		}
		if math.IsNaN(most) {
			one.Note = "the job gives no charge limit: ask for the batteries' sheet"
		} else {
			one.Note += first + " has the largest share and reaches its charge limit first"
		}
		s.add(one, c.Amps)
	}
	if s.part.Device.Current <= 0 {
		s.add(report.Setting{Kind: report.SetCurrent, Least: math.NaN(), Most: s.h.most(end(s.part, 0), chargeLimit), Unit: "A", Note: "the sum of the batteries' charge limits, where they share evenly; the job gives no current of it"}, 0)
	}
}

// reaches is the current of sources at which the first battery reaches its
// charge limit, as they share it; NaN where one has no limit.
func reaches(c *report.Charge) (most float64, first string) {
	most = math.Inf(1)
	for _, b := range c.Batteries {
		if b.Limit <= 0 {
			return math.NaN(), ""
		}
		if b.Amps <= 0 {
			continue
		}
		if at := c.Amps * b.Limit / b.Amps; at < most*(1-1e-9) {
			most, first = at, b.ID
		}
	}
	if first == "" {
		return math.NaN(), ""
	}
	return most, first
}

// lockout is for lithium: other chemistries have none.
func (s *setting) lockout(b *bank.Battery) {
	if b.Chemistry != bank.LFP {
		return
	}
	cold := b.Model.Guard.ColdCharge
	one := report.Setting{Kind: report.SetLockout, Least: float64(cold.V), Most: math.NaN(), Unit: "K", Assumed: cold.Origin == source.Assumed, Ref: cold.Ref,
		Note: "at or above the batteries' own limit, by a sensor on the coldest of them"}
	if !cold.Known() {
		one.Least, one.Assumed = freezing, true
	}
	s.add(one, float64(s.part.Device.ColdLockout))
}

// cutoff is where an inverter stops: no lower than the batteries' own limit.
func (s *setting) cutoff() {
	b := s.batteries[0]
	one := report.Setting{Kind: report.SetCutoff, Least: s.table.Cutoff * s.scale, Most: math.NaN(), Unit: "V", Assumed: true, Ref: s.table.CutoffRef,
		Note: "above the batteries' own, so that they never have to open under load"}
	if low := b.Model.Guard.Low; low.Origin == source.Given {
		one.Least, one.Assumed, one.Ref = float64(low.V)/s.h.share(b, end(s.part, 0), 1), false, source.Ref{}
	}
	s.add(one, float64(s.part.Device.Cutout))
}
