package rules

import "bankwright/internal/model/bank"

// farSide is what lies on the side of a cable away from batteries. A second
// cable beside it leads back to them; so each side is looked at with the place
// at the cable's other end closed.
func farSide(b *bank.Bank, c *bank.Cable, index int) beyond {
	from := lookPast(b, c.From, index, placeOf(b, c.To))
	to := lookPast(b, c.To, index, placeOf(b, c.From))
	if len(from.batteries) == 0 && len(to.batteries) > 0 {
		return from
	}
	return to
}

// joinsBatteries reports whether a cable is a link: from its one end a battery's
// post is reached, from its other end a post of another battery, with no place
// on both ways. Leads side by side to one place are no link, and neither is what
// hangs on both. It is a flow of two with room for one at each place and each
// battery (Ford and Fulkerson 1956; Menger 1927).
func joinsBatteries(b *bank.Bank, c *bank.Cable, index int) bool {
	const source, sink = "source", "sink"
	in, out := func(place string) string { return "in " + place }, func(place string) string { return "out " + place }
	room := network{}
	for _, e := range []bank.End{c.From, c.To} {
		room.add(source, in(placeOf(b, e)), 1)
	}
	for _, e := range b.Ends() {
		room.add(in(placeOf(b, e)), out(placeOf(b, e)), 1)
	}
	for place, others := range bareLinks(b, index) {
		for _, to := range others {
			room.add(out(place), in(to), 1)
		}
	}
	for i := range b.Batteries {
		one := &b.Batteries[i]
		own := "battery " + one.ID
		room.add(out(one.Plus().String()), own, 1)
		room.add(out(one.Minus().String()), own, 1)
		room.add(own, sink, 1)
	}
	first := room.push(source, sink) // two ways that share no place: two pushes find one each
	return first && room.push(source, sink)
}

// bareLinks joins places by cables but one, and by parts that neither protect
// nor draw.
func bareLinks(b *bank.Bank, without int) map[string][]string {
	links := map[string][]string{}
	join := func(x, y bank.End) {
		if p, q := placeOf(b, x), placeOf(b, y); p != q {
			links[p], links[q] = append(links[p], q), append(links[q], p)
		}
	}
	for i := range b.Cables {
		if i != without {
			join(b.Cables[i].From, b.Cables[i].To)
		}
	}
	for i := range b.Parts {
		p := &b.Parts[i]
		ends := p.Joined()
		for k := 1; k < len(ends) && !p.Kind.Protects(); k++ {
			join(ends[k-1], ends[k])
		}
	}
	return links
}

// network is the room left from one node to another.
type network map[string]map[string]int

// add sets the room of an edge; edges side by side count once.
func (n network) add(from, to string, room int) {
	for _, e := range []string{from, to} {
		if n[e] == nil {
			n[e] = map[string]int{}
		}
	}
	n[from][to] = room
	if _, back := n[to][from]; !back {
		n[to][from] = 0
	}
}

// push sends one more from a node to another, false where none passes.
func (n network) push(from, to string) bool {
	came := map[string]string{from: from}
	list := []string{from}
	for k := 0; k < len(list) && came[to] == ""; k++ {
		for next, room := range n[list[k]] { // whichever way is found, the flow is the same
			if _, seen := came[next]; room > 0 && !seen {
				came[next] = list[k]
				list = append(list, next)
			}
		}
	}
	if came[to] == "" {
		return false
	}
	for at := to; at != from; at = came[at] {
		n[came[at]][at]--
		n[at][came[at]]++
	}
	return true
}
