// Package wiring searches every way to wire a bank of parallel strings and
// returns the exact front over copper and imbalance.
//
// # The question
//
// n strings (single batteries, or batteries in series) stand in parallel. Each
// of the two rails is a spanning tree of cables over its take-off and its
// posts, rooted at the take-off; a wiring is one tree for each rail. Cayley's
// formula gives (n+1)^(n-1) trees where the take-off is a node of its own,
// n^(n-2) where it is a given post and n^(n-1) where it may be any post. Wanted
// are the wirings that no other one beats: the least imbalance (largest share
// minus one) for each length of copper.
//
// # Solving one wiring
//
// Let E, r, C be the EMFs, resistances and capacities of the m strings that
// are on, J the current at the take-off, and A the path matrix of a tree: A_ij
// is the resistance common to the paths from the root to i and to j. With
// M = diag(r) + A(positive) + A(negative), which is symmetric, has no negative
// entry and is positive definite, Kirchhoff's laws give
//
//	Σ_j M_ij I_j = E_i - V   for every i,   Σ I = J.
//
// Shares are x_i = (I_i/C_i)/(ΣI/ΣC). With weights w_i = m·C_i/ΣC (so Σw = m)
// this is I_i = J·w_i·x_i/m, Σ w_i x_i = m, and, writing Ē = Σ w_i E_i/m and
// c_i = m(E_i - Ē)/J, for some number v (ohm):
//
//	Σ_j M_ij w_j x_j = v + c_i.                                       (1)
//
// A stretch that the paths of all these strings have in common adds the same ρ
// to every entry of A. Since Σ w_j x_j = m, it adds ρ·m to the left of (1) for
// every i and only moves v. So it is left out of M from here on: it bears on
// the take-off voltage, not on the shares, and without it the bound is sharper.
//
// # The bound
//
// Let t = M·w be the weighted row sums, t̄ = Σ w_i t_i/m their weighted mean,
// t_max their largest, and let a wiring have imbalance ε or less: x_i = 1 + e_i
// with e_i ≤ ε and Σ w_i e_i = 0. (ε is never negative, as the weighted mean of
// the shares is one.)
//
// First, no entry of M and no weight is negative, so (1) is at most
// t_i + ε·t_i: v + c_i ≤ (1+ε)·t_i for every i. Second, weigh (1) with w_i and
// sum over i. Since Σ w_i c_i = 0 and M is symmetric,
//
//	m·v = Σ w_i t_i + Σ w_i e_i t_i = m·t̄ + Σ w_i e_i (t_i - t_max),
//
// the last step because Σ w_i e_i = 0. In the last sum t_i - t_max is never
// positive and e_i is at most ε, so the sum is at least ε·m·(t̄ - t_max), and
// v ≥ t̄ - ε·(t_max - t̄). Together, for every string i that is on,
//
//	(1+ε)·t_i ≥ t̄ - ε·(t_max - t̄) + c_i.                              (2)
//
// Rearranged: (1+ε)(t_i - t̄) + ε·t_max ≥ c_i. A wiring that breaks (2) for one
// i has an imbalance above ε. The sign of J does not enter the proof: on
// charge c_i turns its sign with J. Two strings of equal EMF meet (2) with
// equality.
//
// # The search
//
// Row sums of the two rails add, so (2) asks where the vector of one rail lies
// relative to that of the other: a range search. Every tree of both rails is
// listed once with its row sums and its copper, and each rail's trees are
// sorted into a binary tree of boxes. A box knows the largest and the least
// value of every coordinate, the largest row sum and the least copper. Boxes of
// the two rails are taken in pairs, from the whole downwards, and a pair is
// left out when (2) fails for the sum of its upper corners at the ε that is
// already reached with no more copper. A second test takes the lower corners:
// with z_i = (1+ε)(t_i - t̄) - c_i, bound (2) says z_i ≥ -ε·t_max, and Σ w_i z_i
// is 0, so Σ w_i·max(z_i of the lower corners, -ε·t_max) must not be above 0.
// Pairs of trees that are left are solved exactly. The cut is known in full
// only at the end; since it only ever leaves out what provably is worse than
// something found, the answer does not depend on the order of the work. See
// Search for what equal means.
//
// Resistances are in ohm, lengths in metres, currents in amperes, voltages in
// volts, capacities in any one unit. The package reads no file, no clock and no
// random numbers.
package wiring
