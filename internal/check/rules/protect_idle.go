package rules

import (
	"bankwright/internal/model/bank"
)

// hanging gives the place that all copper and devices round a protective
// device hang on alone: behind it lies no post of a battery, no device that
// draws or charges, no take-off. ok is false where it stands between two of
// them. loop says that both its ends come back to that place.
func hanging(b *bank.Bank, p *bank.Part) (at string, loop, ok bool) {
	links := placeLinks(b)
	ends := p.Ends()
	a, z := placeOf(b, ends[0]), placeOf(b, ends[1])
	candidates := placesRound(links, a, "")
	for _, v := range candidates {
		// With one place taken away: does the device still reach anything?
		some := false
		for _, from := range []string{a, z} {
			if from == v {
				continue
			}
			for _, place := range placesRound(links, from, v) {
				some = some || endsAt(b, place)
			}
		}
		if !some {
			return v, a != v && z != v && len(links[a]) > 1 && len(links[z]) > 1, true
		}
	}
	return "", false, false
}

// placeLinks joins the places of a bank by cables and by parts that conduct,
// protective devices too; what draws or charges does not.
func placeLinks(b *bank.Bank) map[string][]string {
	links := map[string][]string{}
	join := func(x, y bank.End) {
		p, q := placeOf(b, x), placeOf(b, y)
		if p != q {
			links[p], links[q] = append(links[p], q), append(links[q], p)
		}
	}
	for i := range b.Cables {
		join(b.Cables[i].From, b.Cables[i].To)
	}
	for i := range b.Parts {
		ends := b.Parts[i].Joined()
		for k := 1; k < len(ends); k++ {
			join(ends[k-1], ends[k])
		}
	}
	return links
}

// placesRound lists what hangs together with a place, itself first, another
// taken out.
func placesRound(links map[string][]string, from, without string) []string {
	seen := map[string]bool{from: true, without: true}
	list := []string{from}
	for n := 0; n < len(list); n++ {
		for _, next := range links[list[n]] {
			if !seen[next] {
				seen[next] = true
				list = append(list, next)
			}
		}
	}
	return list
}

// endsAt reports whether current begins or ends at a place.
func endsAt(b *bank.Bank, place string) bool {
	for _, e := range []bank.End{b.Takeoff.Positive, b.Takeoff.Negative} {
		if placeOf(b, e) == place {
			return true
		}
	}
	for i := range b.Batteries {
		if one := &b.Batteries[i]; one.Plus().String() == place || one.Minus().String() == place {
			return true
		}
	}
	for i := range b.Parts {
		if p := &b.Parts[i]; p.Kind.Device() {
			for _, e := range p.Ends() {
				if e.String() == place {
					return true
				}
			}
		}
	}
	return false
}
