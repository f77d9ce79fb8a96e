package exact

import (
	"slices"

	"bayhand/model/disjoint"
	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// refuseRings looks at an answer for signals that come from nowhere: rings of
// metal, and of amplifiers, that feed themselves.
func (e *support) refuseRings() [][]clause.Lit {
	var clauses [][]clause.Lit
	for _, k := range e.unsupportedDrivers() {
		clauses = append(clauses, e.cut(k.driver, k.node)...)
	}
	for _, s := range e.wanted {
		clauses = append(clauses, e.unsupportedAmplifiers(s)...)
	}
	return clauses
}

// unsupported is a driver that is said to be on a node and is not.
type unsupported struct {
	driver, node int
}

// unsupportedDrivers are one for each driver that has any.
func (e *support) unsupportedDrivers() []unsupported {
	joined := disjoint.New(len(e.Nodes))
	claims := make([]int, len(e.Nodes))
	for n := range e.Nodes {
		claims[n] = graph.None
		if !e.window.varies(n) {
			continue
		}
		for i, k := range e.dom[n] {
			if e.Value(e.drive[n][i]) {
				claims[n] = k
			}
		}
		if claims[n] == graph.None {
			continue
		}
		for _, edge := range e.edges[n] {
			if e.Value(edge.lit) {
				joined.Join(n, edge.to)
			}
		}
	}
	var found []unsupported
	had := map[int]bool{}
	for n, k := range claims {
		if k != graph.None && !had[k] && !joined.Joined(n, e.DriverNode(k)) {
			had[k] = true
			found = append(found, unsupported{k, n})
		}
	}
	return found
}

// cut says of a node that a driver which does not come there would have to come
// over one of the edges that part it from the node. Of all such cuts it takes
// the one that the search came to earliest, so that it says the most.
func (e *support) cut(driver, node int) [][]clause.Lit {
	at := e.DriverNode(driver)
	// late is when the search came to an edge that is not there: a way that
	// avoids early edges leads as far as possible before it must use one.
	late := make([]int, len(e.Nodes))
	for n := range late {
		late[n] = graph.None
	}
	late[at] = always
	open := []int{at}
	done := make([]bool, len(e.Nodes))
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
	return e.border(driver, func(n int) bool { return late[n] > late[node] })
}

// border says of all nodes outside some that a driver comes to none of them but
// over an edge between the two.
func (e *support) border(driver int, inside func(n int) bool) [][]clause.Lit {
	entry := e.Var()
	edges := []clause.Lit{entry.Not()}
	clauses := make([][]clause.Lit, 0, len(e.joined)+1)
	pairs := make([]clause.Lit, 0, 2*len(e.joined)) // of which they are made
	for _, n := range e.joined {
		if !inside(n) {
			if l := e.driven(n, driver); l != clause.False {
				pairs = append(pairs, l.Not(), entry)
				clauses = append(clauses, pairs[len(pairs)-2:])
			}
			continue
		}
		if e.isLeaf[n] && n != e.DriverNode(driver) {
			continue
		}
		for _, edge := range e.edges[n] {
			if !inside(edge.to) && e.driven(edge.to, driver) != clause.False {
				edges = append(edges, edge.out)
			}
		}
	}
	slices.Sort(edges[1:])
	return append(clauses, slices.Compact(edges))
}

// always is later than all.
const always = 1 << 30

// lateness of an edge that is there is without end.
func (e *support) lateness(l clause.Lit) int {
	if e.Value(l) {
		return always
	}
	return e.Level(l)
}
