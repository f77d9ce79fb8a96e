package plan

import (
	"slices"

	"bayhand/model/plan/clause"
)

// refuseRing looks at an answer for a node that is said to have a driver which
// does not come there: a ring of metal that feeds itself. The clause that it
// returns says that the driver would have to come over one of the edges that
// part it from the node. Of all such cuts it takes the one that the search came
// to earliest, so that it says the most.
func (e *encoding) refuseRing() []clause.Lit {
	for _, k := range e.phantoms() {
		if lits := e.cut(k.driver, k.node); lits != nil {
			return lits
		}
	}
	return nil
}

// phantom is a driver that is said to be on a node and is not.
type phantom struct {
	driver, node int
}

// phantoms are one for each driver that has any.
func (e *encoding) phantoms() []phantom {
	joined := newForest(len(e.nodes))
	claims := make([]int, len(e.nodes))
	for n := range e.nodes {
		claims[n] = nowhere
		for i, k := range e.dom[n] {
			if e.Value(e.drive[n][i]) {
				claims[n] = k
			}
		}
		if claims[n] == nowhere {
			continue
		}
		for _, edge := range e.edges[n] {
			if e.Value(edge.lit) {
				joined.join(n, edge.to)
			}
		}
	}
	var found []phantom
	had := map[int]bool{}
	for n, k := range claims {
		if k != nowhere && !had[k] && joined.root(n) != joined.root(e.driverNode(k)) {
			had[k] = true
			found = append(found, phantom{k, n})
		}
	}
	return found
}

// cut finds edges that part a node from a driver, all of them false, the last
// of them as early in the search as can be.
func (e *encoding) cut(driver, node int) []clause.Lit {
	at := e.driverNode(driver)
	// late is when the search came to an edge that is not there: a way that
	// avoids early edges leads as far as possible before it must use one.
	late := make([]int, len(e.nodes))
	for n := range late {
		late[n] = nowhere
	}
	late[at] = 1 << 30
	open := []int{at}
	done := make([]bool, len(e.nodes))
	for len(open) > 0 {
		best := 0
		for i, n := range open {
			if late[n] > late[open[best]] {
				best = i
			}
		}
		n := open[best]
		open = slices.Delete(open, best, best+1)
		if done[n] {
			continue
		}
		done[n] = true
		if n == node {
			break
		}
		for _, edge := range e.edges[n] {
			if done[edge.to] || e.driven(edge.to, driver) == clause.False || e.isLeaf[n] && n != at {
				continue
			}
			if to := min(late[n], e.lateness(edge.lit)); to > late[edge.to] {
				late[edge.to] = to
				open = append(open, edge.to)
			}
		}
	}
	limit := late[node]
	lits := []clause.Lit{e.driven(node, driver).Not()}
	for n := range e.nodes {
		if late[n] <= limit || e.isLeaf[n] && n != at {
			continue
		}
		for _, edge := range e.edges[n] {
			if late[edge.to] <= limit && e.driven(edge.to, driver) != clause.False {
				lits = append(lits, edge.lit)
			}
		}
	}
	slices.Sort(lits[1:])
	return slices.Compact(lits)
}

// lateness of an edge that is there is without end.
func (e *encoding) lateness(l clause.Lit) int {
	if e.Value(l) {
		return 1 << 30
	}
	return e.Level(l)
}
