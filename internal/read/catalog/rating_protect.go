package catalog

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/rating"
)

type needRow struct {
	Rows []struct {
		From, To, Over, Main, Branch, Source string
		UpTo                                 string `yaml:"up_to"`
	}
	Large struct {
		Cranking, Capacity, Exceeds, Interrupt, Volts, Source string
	}
}

type protectRow struct {
	ID, Title, Regime, Of, From, Below, Source string
	Ratio, Next                                float64
}

type reachRow struct {
	ID, Title, Regime, Length, Unless, Source string
	Battery, Sheathed                         bool
}

func (r *rows) need(row needRow) rating.RequiredInterrupt {
	var all rating.RequiredInterrupt
	r.some("required_interrupt", len(row.Rows))
	for i, n := range row.Rows {
		r.at("required_interrupt, row %d", i+1)
		one := rating.RequiredRow{
			From: due[quantity.Voltage](r, "from", n.From), To: due[quantity.Voltage](r, "to", n.To),
			Over: maybe[quantity.Current](r, "over", n.Over), UpTo: maybe[quantity.Current](r, "up_to", n.UpTo),
			Main: due[quantity.Current](r, "main", n.Main), Branch: due[quantity.Current](r, "branch", n.Branch), Ref: r.ref(n.Source),
		}
		bounds(r, one.Over, one.UpTo)
		if one.From > one.To || one.Branch > one.Main {
			r.fail("from is above to, or branch above main")
		}
		all.Rows = append(all.Rows, one)
	}
	r.at("required_interrupt, large")
	l := row.Large
	all.Large = rating.LargeBank{
		Cranking: due[quantity.Current](r, "cranking", l.Cranking), Capacity: due[quantity.Charge](r, "capacity", l.Capacity), Exceeds: due[quantity.Current](r, "exceeds", l.Exceeds),
		Interrupt: due[quantity.Current](r, "interrupt", l.Interrupt), Volts: due[quantity.Voltage](r, "volts", l.Volts), Ref: r.ref(l.Source),
	}
	return all
}

func (r *rows) protects(all []protectRow) []rating.ProtectionLimit {
	r.some("limits", len(all))
	var out []rating.ProtectionLimit
	for _, p := range all {
		r.begin("limit", p.ID, p.Title)
		one := rating.ProtectionLimit{
			ID: p.ID, Title: p.Title, Regime: r.regime(p.Regime), Of: oneOf(r, "of", p.Of, rating.OfAmpacity, rating.OfOutput),
			Ratio: quantity.Ratio(r.number("ratio", p.Ratio)), From: maybe[quantity.Voltage](r, "from", p.From), Below: maybe[quantity.Voltage](r, "below", p.Below), Ref: r.ref(p.Source),
		}
		if p.Next != 0 {
			one.Next = quantity.Ratio(r.number("next", p.Next))
			if one.Next < one.Ratio {
				r.fail("next is below ratio")
			}
		}
		bounds(r, one.From, one.Below)
		out = append(out, one)
	}
	return out
}

func (r *rows) reaches(all []reachRow) []rating.Reach {
	r.some("reaches", len(all))
	var out []rating.Reach
	for _, p := range all {
		r.begin("reach", p.ID, p.Title)
		out = append(out, rating.Reach{
			ID: p.ID, Title: p.Title, Regime: r.regime(p.Regime), Length: due[quantity.Length](r, "length", p.Length),
			Battery: p.Battery, Sheathed: p.Sheathed, Unless: p.Unless, Ref: r.ref(p.Source),
		})
	}
	return out
}
