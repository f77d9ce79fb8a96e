package problem

import (
	"maps"

	"bayhand/model/graph"
)

// Narrowed is what plans may have that handle no more than so many plugs. What is in now may
// stay, and may be gone; plugs that only break, and leads, may be anywhere.
type Narrowed struct {
	// Cords are the new cords, by their jacks in order, each with the sources that it may carry in
	// order; nil for all.
	Cords map[[2]int][]int
	// Passes says of each source, and each node, whether the source may pass it on the way to a
	// destination that asks for it.
	Passes [][]bool
}

// Near is what plans may have that are near a bound. Priced are, by source, the new cords by which it may
// come to where it is asked for, those first that are in the best plans.
type Near struct {
	*Narrowed
	Priced [][]PricedCord
}

// PricedCord is a cord by its jacks in order, and by how much more than a bound plans handle at least that
// have it, in parts of a plug.
type PricedCord struct {
	Ends [2]int
	Over int
}

// With is what plans may have, and what a patch has of cords; nil for everything.
func (n *Narrowed) With(d graph.Patch) *Narrowed {
	if n == nil {
		return nil
	}
	with := &Narrowed{maps.Clone(n.Cords), n.Passes}
	for _, c := range d.Cords {
		if c[1] != graph.None {
			with.Cords[c] = nil
		}
	}
	return with
}

// MayHaveCord says whether a cord between two jacks in order may be new in a plan.
func (n *Narrowed) MayHaveCord(i, j int) bool {
	if n == nil {
		return true
	}
	_, may := n.Cords[[2]int{i, j}]
	return may
}

// MayPass says whether a source may come to a node on its way.
func (n *Narrowed) MayPass(node, source int) bool { return n == nil || n.Passes[source][node] }
