package bound

import (
	"slices"

	"bayhand/model/graph"
)

// forsakes is what the ways of a source cost more because it has a cord that it could leave by, where
// the cheapest do not go by it: that it is pulled, or that they go by it to the nearest end.
func (a *ascent) forsakes(n *network) int {
	if n.leaves == graph.None || slices.Contains(n.trunk.all, n.leaves) {
		return 0
	}
	root := a.problem.Node[a.problem.Sources[n.source]]
	pulled, leaves := a.prices.of[root], &n.arcs[n.leaves]
	least := a.priceOfAll(n, n.trunk.all)
	a.onward = a.now.from(a.onward, n, int(leaves.to), least+pulled)
	by := far
	for _, e := range n.ends {
		by = min(by, a.prices.ofArc(leaves)+a.onward[e])
	}
	if by < least+pulled {
		return max(0, by-least)
	}
	a.used[root]++
	return pulled
}
