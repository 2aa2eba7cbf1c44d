package network

import (
	"fmt"
	"strings"
)

// BranchError says that one branch cannot be computed with: resistance not
// above zero, NaN or infinite, EMF not finite, an end at no node, or both ends
// at the same node. Returned as a pointer.
type BranchError struct {
	Branch int    // index into Network.Branches
	Reason string // what is wrong and what would mend it
}

func (e *BranchError) Error() string {
	return fmt.Sprintf("network: branch %d: %s", e.Branch, e.Reason)
}

// NodeError says that the current injected at one node is NaN or infinite.
// Returned as a pointer.
type NodeError struct {
	Node   int
	Reason string // what is wrong and what would mend it
}

func (e *NodeError) Error() string {
	return fmt.Sprintf("network: node %d: %s", e.Node, e.Reason)
}

// FloatingError says that the currents injected into a connected part do not
// sum to zero, so that what goes in has no way out. Returned as a pointer.
type FloatingError struct {
	Nodes    []int   // all nodes of the part, ascending
	Injected float64 // A, sum over the part
}

func (e *FloatingError) Error() string {
	const shown = 8
	var list strings.Builder
	for i, v := range e.Nodes[:min(len(e.Nodes), shown)] {
		if i > 0 {
			list.WriteString(", ")
		}
		fmt.Fprint(&list, v)
	}
	if more := len(e.Nodes) - shown; more > 0 {
		fmt.Fprintf(&list, " and %d more", more)
	}
	return fmt.Sprintf("network: %.6g A put in at nodes joined to nothing else (%s) has no way out; join them to where it leaves, or take it out among them",
		e.Injected, list.String())
}
