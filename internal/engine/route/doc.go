// Package route finds where a heavy cable runs between two ends in a
// compartment and how long it is: rise, run, drop, bends, passages,
// clearances. It is pure geometry: all lengths are metres, x points right,
// y away and z up. It knows no batteries, only solid boxes, rooms, holes in
// the walls between rooms, and points.
//
// # What a route is
//
// A route is made of axis-parallel legs, as a fitter lays heavy cable. Its
// centre line keeps Rules.Clearance plus half of Rules.Diameter away from
// every case and wall. Among all such routes the one with the least
//
//	sum of legs + 5 mm for each bend
//
// is taken; of those that are equal, the one whose cable is shorter once the
// bends are rounded; of those that are still equal, one picked by a fixed
// order. The ends are first put into a fixed order too, so the route from a to
// b is that from b to a read backwards, to the last bit.
//
// Distances to a case are taken axis by axis: the zone round a case is the
// case grown into a larger box with sharp edges, not one with rounded edges.
// Past an edge this keeps a little more room than asked for, never less.
//
// Three things may stand nearer than the clearance: a post's rise above the
// cases it stands on or over; an end that is no post and itself stands in the
// zone of a case or wall (a stud on its own body), on its shortest way out of
// that zone; and the cable where it goes through a hole in a wall.
//
// # How it is found
//
// A shortest axis-parallel way among boxes lies on the grid spanned by the
// coordinates of the grown boxes' faces, the walls and the two ends: a set of
// legs that lies on none of these can be pushed sideways, at no cost one way
// or the other, until it does. (One case is left over: a way that comes up
// under a post's own rise must step aside to get above it, and by how little is
// up to nothing; it steps to the next coordinate of the grid.) The search is A* over (grid node, direction of
// arrival), with the Manhattan distance and the fewest bends still needed, by
// way of the holes in the walls where there are rooms, as the bound.
//
// Coordinates are rounded once to 0.01 nm and costs are whole numbers, so ties
// are exact and do not depend on where the origin lies or on the order in
// which sums are formed. The lengths given back are summed from the unrounded
// coordinates.
//
// Reference: P. E. Hart, N. J. Nilsson, B. Raphael, "A Formal Basis for the
// Heuristic Determination of Minimum Cost Paths", IEEE Transactions on Systems
// Science and Cybernetics 4 (1968) 100-107; M. Hanan, "On Steiner's Problem
// with Rectilinear Distance", SIAM Journal on Applied Mathematics 14 (1966)
// 255-265, for the grid (both from memory).
package route
