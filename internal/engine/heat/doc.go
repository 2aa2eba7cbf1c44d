// Package heat is a thermal network of a battery compartment through time:
// nodes that store heat (each battery, the air, each wall, electronics), links
// between them, and ties to places whose temperature is given (outside air, a
// wall in the sun, the ground, a cabin).
//
// # The law
//
// C_i dT_i/dt = q_i + Σ_j G_ij (T_j − T_i) + Σ_b G_ib (T_b − T_i)
//
// with C in J/K, G in W/K, q in W, T in K. With C and G fixed it is solved
// exactly through its modes: the symmetric matrix C^-½ G C^-½ has real,
// positive eigenvalues, which are the network's time constants. Heat and given
// temperatures are held still within one step and the step itself is exact, so
// the step's length only decides how often a thermostat looks.
//
// # What it is not
//
// Film coefficients are fixed through a run: a wall's inner film does not know
// how warm the wall is. Air in one node is one temperature. A battery of one
// node is as warm inside as at its case; at a Biot number near 0.7, which a
// block of 170 mm has, that is rough, so a battery can be given a core and a
// case.
package heat

import (
	"errors"
	"fmt"
	"math"
)

// Link joins two nodes.
type Link struct {
	A, B int     // nodes
	G    float64 // W/K
}

// Tie joins a node to a place of a given temperature.
type Tie struct {
	Node, Place int
	G           float64 // W/K
}

// Net is a network. Capacities are J/K and above zero.
type Net struct {
	Capacity []float64
	Links    []Link
	Ties     []Tie
	Places   int // how many given temperatures there are
}

// check notes the first thing wrong with a network.
func (n *Net) check() error {
	if len(n.Capacity) == 0 {
		return errors.New("heat: a network needs a node")
	}
	for i, c := range n.Capacity {
		if !(c > 0) || math.IsInf(c, 1) {
			return fmt.Errorf("heat: the capacity of node %d is %g J/K; give more than 0", i, c)
		}
	}
	for _, l := range n.Links {
		switch {
		case !n.node(l.A) || !n.node(l.B) || l.A == l.B:
			return fmt.Errorf("heat: a link joins nodes %d and %d of %d; name two of them", l.A, l.B, len(n.Capacity))
		case !(l.G >= 0) || math.IsInf(l.G, 1):
			return fmt.Errorf("heat: the link of nodes %d and %d has %g W/K; give 0 or more", l.A, l.B, l.G)
		}
	}
	return n.checkTies(n.Ties)
}

func (n *Net) checkTies(ties []Tie) error {
	for _, t := range ties {
		switch {
		case !n.node(t.Node) || t.Place < 0 || t.Place >= n.Places:
			return fmt.Errorf("heat: a tie joins node %d of %d to place %d of %d", t.Node, len(n.Capacity), t.Place, n.Places)
		case !(t.G >= 0) || math.IsInf(t.G, 1):
			return fmt.Errorf("heat: the tie of node %d has %g W/K; give 0 or more", t.Node, t.G)
		}
	}
	return nil
}

func (n *Net) node(i int) bool { return i >= 0 && i < len(n.Capacity) }
