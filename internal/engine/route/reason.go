package route

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// NoRouteError says that there is no route between two ends, and why.
type NoRouteError struct {
	From, To Point
	// End is "from" or "to" where one end is at fault, else empty.
	End string
	// Why is a clause without capital or full stop; lengths in it are in mm.
	Why string
}

func (e *NoRouteError) Error() string {
	at := ""
	if e.End != "" {
		at = "at " + e.End + ": "
	}
	return fmt.Sprintf("no route from (%g, %g, %g) m to (%g, %g, %g) m: %s%s",
		e.From.X, e.From.Y, e.From.Z, e.To.X, e.To.Y, e.To.Z, at, e.Why)
}

// reason is what a NoRouteError says; without text there is none.
type reason struct{ end, text string }

// mm prints metres as millimetres, to a tenth.
func mm(m float64) string {
	return strconv.FormatFloat(math.Round(m*1e4)/10, 'f', -1, 64) + " mm"
}

// hopeless says why a task need not be tried at all.
func (r *Router) hopeless(t task) reason {
	if t.from.same(t.to) {
		return reason{"", "both ends are at the same place"}
	}
	for _, e := range t.ends() {
		for i, b := range r.cores {
			if b.holdsInside(e.at) {
				return reason{e.name, fmt.Sprintf("end stands inside case '%s'", r.scene.Boxes[i].ID)}
			}
		}
		if len(r.rooms) > 0 && len(r.roomsAt(e.at)) == 0 {
			return reason{e.name, "end stands outside every compartment"}
		}
	}
	if len(r.rooms) > 0 {
		return r.parted(t)
	}
	return reason{}
}

type namedEnd struct {
	name  string
	at    spot
	rises bool
}

func (t task) ends() [2]namedEnd {
	return [2]namedEnd{{"from", t.from, t.fromRises}, {"to", t.to, t.toRises}}
}

// roomsAt lists the rooms, by index, that a point is in or on the walls of.
func (r *Router) roomsAt(s spot) []int {
	var list []int
	for i, room := range r.outer {
		if room.holds(s) {
			list = append(list, i)
		}
	}
	return list
}

// parted says if no chain of passages joins the rooms of the ends.
func (r *Router) parted(t task) reason {
	reached := make([]bool, len(r.rooms))
	queue := r.roomsAt(t.from)
	for _, i := range queue {
		reached[i] = true
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		for _, u := range r.tunnels {
			if !u.fits || u.low != i && u.high != i {
				continue
			}
			if j := u.low + u.high - i; !reached[j] {
				reached[j] = true
				queue = append(queue, j)
			}
		}
	}
	targets := r.roomsAt(t.to)
	for _, i := range targets {
		if reached[i] {
			return reason{}
		}
	}
	return reason{"", fmt.Sprintf("no passage joins compartment '%s' to '%s' that a %s cable fits",
		r.scene.Rooms[r.roomsAt(t.from)[0]].ID, r.scene.Rooms[targets[0]].ID, mm(r.rules.Diameter))}
}

// explain says why the search failed, as far as a single thing can be named.
func (r *Router) explain(t task) reason {
	for _, e := range t.ends() {
		if !e.rises {
			continue
		}
		for _, look := range []func(spot) string{r.lid, r.besideCase, r.besideWall} {
			if text := look(e.at); text != "" {
				return reason{e.name, text}
			}
		}
	}
	for _, text := range []string{r.badRun(t.run), r.obstructed(t)} {
		if text != "" {
			return reason{"", text}
		}
	}
	return reason{"", fmt.Sprintf("cases and walls leave no way through for a %s cable, even without clearance", mm(r.rules.Diameter))}
}

// barest is the field without clearance.
func (r *Router) barest() *field { return r.fields[len(r.fields)-1] }

// lid says if something above a post leaves no height for the rise.
func (r *Router) lid(at spot) string {
	lowest, what := math.Inf(1), ""
	for i, b := range r.solids {
		if above := b.lo[2]; above.q >= at[2].q && above.m < lowest && b.over(at) {
			lowest, what = above.m, "'"+r.scene.Boxes[i].ID+"'"
		}
	}
	for _, i := range r.roomsAt(at) {
		top := r.rooms[i].hi[2]
		// On a floor with another room below the cable has only the upper one.
		if top.q > at[2].q+slip.q && top.m < lowest {
			lowest, what = top.m, "top of compartment '"+r.scene.Rooms[i].ID+"'"
		}
	}
	needs, has := r.rules.Rise+r.radius.m, lowest-at[2].m
	if has >= needs-near {
		return ""
	}
	return fmt.Sprintf("post stands under a lid (%s): needs %s above it, has %s", what, mm(needs), mm(has))
}

// over reports whether the block, seen from above, holds s inside.
func (b block) over(s spot) bool {
	return b.lo[0].q < s[0].q && s[0].q < b.hi[0].q && b.lo[1].q < s[1].q && s[1].q < b.hi[1].q
}

// besideCase says if a case beside a post is in the way of the rise.
func (r *Router) besideCase(at spot) string {
	for i, b := range r.barest().grown {
		solid := r.solids[i]
		if !b.over(at) || r.cores[i].hi[2].q <= at[2].q || b.lo[2].q >= at[2].plus(r.rise).q {
			continue
		}
		gap := 0.0
		for a := range 2 {
			gap = max(gap, solid.lo[a].m-at[a].m, at[a].m-solid.hi[a].m)
		}
		return fmt.Sprintf("post stands %s beside case '%s', which reaches higher: a %s cable that rises there needs %s",
			mm(gap), r.scene.Boxes[i].ID, mm(r.rules.Diameter), mm(r.radius.m))
	}
	return ""
}

// besideWall says if a wall beside a post is in the way of the rise.
func (r *Router) besideWall(at spot) string {
	text := ""
	for _, i := range r.roomsAt(at) {
		gap := math.Inf(1)
		for a := range 2 {
			gap = min(gap, at[a].m-r.rooms[i].lo[a].m, r.rooms[i].hi[a].m-at[a].m)
		}
		if gap >= r.radius.m-near {
			return ""
		}
		text = fmt.Sprintf("post stands %s from a wall of compartment '%s': a %s cable that rises there needs %s",
			mm(gap), r.scene.Rooms[i].ID, mm(r.rules.Diameter), mm(r.radius.m))
	}
	return text
}

// obstructed says, for ends in different rooms, if a case stands before one of
// the holes.
func (r *Router) obstructed(t task) string {
	if len(r.rooms) == 0 || slices.Equal(r.roomsAt(t.from), r.roomsAt(t.to)) {
		return ""
	}
	for _, g := range r.barest().gates {
		through := spanned(g.mouth, g.exit)
		for i, b := range r.barest().grown {
			if b.cutBy(through.lo, through.hi, g.dir/2) {
				return fmt.Sprintf("case '%s' stands before passage '%s' and leaves no way through for a %s cable",
					r.scene.Boxes[i].ID, g.id, mm(r.rules.Diameter))
			}
		}
	}
	return ""
}

// badRun says if a given run itself goes where no cable can.
func (r *Router) badRun(run []spot) string {
	for i := 1; i < len(run); i++ {
		hit, ok := r.barest().holdsLeg(run[i-1], run[i])
		switch {
		case ok:
		case hit >= 0:
			return fmt.Sprintf("given run goes through case '%s', or nearer than half the cable, between its points %d and %d",
				r.scene.Boxes[hit].ID, i, i+1)
		default:
			return fmt.Sprintf("given run leaves the compartments, other than by a passage, between its points %d and %d", i, i+1)
		}
	}
	return ""
}
