package planner

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// Twins are places that do each other's work: eight inputs of a matrix behind
// alike pairs, the lines of a multicore. To try them in every order is work for
// nothing, so only one order is looked at: the twins hear sources of falling
// number. A plan in any other order is as good, with its twins exchanged, as
// long as no cord of the stock runs short; where one does, the search starts
// again without twins.

// addTwins asks for one order of the twins, of those that there are one in which
// a draft that is known already is an answer.
func (e *encoding) addTwins(known graph.Patch) {
	now := e.stateOf(known)
	for _, class := range e.twinClasses() {
		slices.SortStableFunc(class, func(n, m int) int { return e.wantedAt(now, m) - e.wantedAt(now, n) })
		for i := 1; i < len(class); i++ {
			e.inOrder(class[i-1], class[i])
		}
	}
	for n := range e.Nodes {
		for _, class := range e.twinJacks(n) {
			slices.SortStableFunc(class, func(i, j int) int { return now.Plugged(j) - now.Plugged(i) })
			for i := 1; i < len(class); i++ {
				e.Add(e.plug[class[i]].Not(), e.plug[class[i-1]])
			}
		}
	}
}

// wantedAt is the source that comes to a node, if it is one of those asked for;
// nowhere otherwise.
func (e *encoding) wantedAt(now *graph.State, node int) int {
	s := now.ComesTo(node)
	if _, ok := slices.BinarySearch(e.wanted, s); ok {
		return s
	}
	return graph.None
}

// inOrder lets the node n hear no source of a lesser number than m does.
func (e *encoding) inOrder(n, m int) {
	above, under := clause.False, clause.False
	for i := len(e.wanted) - 1; i >= 0; i-- {
		s := e.wanted[i]
		above = e.either([]clause.Lit{above, e.hear(n, s)})
		under = e.either([]clause.Lit{under, e.hear(m, s)})
		e.Add(under.Not(), above)
	}
}

// twinClasses are sets of nodes that are twins.
func (e *encoding) twinClasses() [][]int {
	held := e.heldNodes()
	classes := map[string][]int{}
	var order []string
	for n := range e.Nodes {
		key := e.twinKey(n)
		if key == "" || held[n] {
			continue
		}
		if len(classes[key]) == 0 {
			order = append(order, key)
		}
		classes[key] = append(classes[key], n)
	}
	var found [][]int
	for _, key := range order {
		found = append(found, e.exchangeable(classes[key])...)
	}
	return found
}

// heldNodes are those that the present patch has something at.
func (e *encoding) heldNodes() map[int]bool {
	held := map[int]bool{}
	for _, j := range e.present.Plugs() {
		held[e.Jacks[j].Node] = true
	}
	for _, x := range e.present.Crosses {
		held[e.Crosses[x].From] = true
	}
	for _, m := range e.Normals {
		a, b := e.Jacks[m.A].Node, e.Jacks[m.B].Node
		if held[a] || held[b] {
			held[a], held[b] = true, true
		}
	}
	return held
}

// twinKey tells nodes apart that cannot be twins; it is empty for one that has
// none. A twin has jacks and inputs of matrices, and at most one normal, from
// the node of a source that nobody asks for.
func (e *encoding) twinKey(n int) string {
	at := &e.Nodes[n]
	if len(at.Jacks) == 0 || len(at.Sources)+len(at.Inputs)+len(at.Outputs)+len(at.Ports) > 0 || len(at.Normals) > 1 || at.Mult {
		return ""
	}
	var key strings.Builder
	fmt.Fprint(&key, len(at.Jacks), at.Mic)
	for _, j := range at.Jacks {
		fmt.Fprint(&key, " ", e.Jacks[j].Bay, e.Jacks[j].Kind, e.Jacks[j].Faulty)
	}
	for _, x := range at.Ins {
		if len(e.Ganged[x]) > 0 {
			return ""
		}
		fmt.Fprint(&key, " x", e.Crosses[x].Output)
	}
	for _, m := range at.Normals {
		partner, ok := e.partnerKey(n, e.Normals[m])
		if !ok {
			return ""
		}
		key.WriteString(partner)
	}
	return key.String()
}

// partnerKey describes the other end of a normal.
func (e *encoding) partnerKey(n int, m graph.Normal) (string, bool) {
	near, far := m.A, m.B
	if e.Jacks[far].Node == n {
		near, far = far, near
	}
	at := &e.Nodes[e.Jacks[far].Node]
	alone := len(at.Sources) == 1 && len(at.Inputs)+len(at.Outputs)+len(at.Ports)+len(at.Ins) == 0 && len(at.Normals) == 1 && len(at.Jacks) == 1
	if !alone || e.useful(at.Sources[0]) || e.fed[at.Sources[0]] || e.Jacks[far].Faulty {
		return "", false
	}
	return fmt.Sprint(" / ", e.Jacks[far].Bay, m.Breaks(near), m.Breaks(far), at.Mic, slices.Index(e.Nodes[n].Jacks, near)), true
}

// exchangeable parts nodes into those between which every cord that one could
// have could be had by the other.
func (e *encoding) exchangeable(nodes []int) [][]int {
	var classes [][]int
	for _, n := range nodes {
		at := slices.IndexFunc(classes, func(c []int) bool { return e.sameCords(c[0], n) })
		if at < 0 {
			classes = append(classes, []int{n})
			continue
		}
		classes[at] = append(classes[at], n)
	}
	return slices.DeleteFunc(classes, func(c []int) bool { return len(c) < 2 })
}

// sameCords says whether two nodes, and the nodes that their normals lead to,
// could have the same cords to everything else.
func (e *encoding) sameCords(n, m int) bool {
	mine, theirs := e.bundle(n), e.bundle(m)
	if len(mine) != len(theirs) {
		return false
	}
	skip := slices.Concat(mine, theirs)
	for i := range mine {
		if !slices.Equal(e.portsAt(mine[i]), e.portsAt(theirs[i])) || !e.sameReach(mine[i], theirs[i], skip) {
			return false
		}
	}
	return true
}

// sameReach says whether a cord from any jack, but for some, new or in now, could
// go to both jacks or to neither.
func (e *encoding) sameReach(i, j int, skip []int) bool {
	if !slices.Equal(e.corders(i, skip), e.corders(j, skip)) {
		return false
	}
	for old, ends := range e.present.Cords {
		for _, k := range ends {
			if k != graph.None && !slices.Contains(skip, k) && e.oldReaches(old, i, k) != e.oldReaches(old, j, k) {
				return false
			}
		}
	}
	return true
}

// corders are the jacks that a cord could go to from one, but for some.
func (e *encoding) corders(j int, skip []int) []int {
	jacks := make([]int, 0, len(e.cordsAt[j]))
	for _, c := range e.cordsAt[j] {
		if k := e.across(c, j); !slices.Contains(skip, k) {
			jacks = append(jacks, k)
		}
	}
	return jacks
}

// bundle are the jacks of a node and of the other end of its normal.
func (e *encoding) bundle(n int) []int {
	jacks := slices.Clone(e.Nodes[n].Jacks)
	for _, m := range e.Nodes[n].Normals {
		v := e.Normals[m]
		for _, j := range []int{v.A, v.B} {
			if e.Jacks[j].Node != n {
				jacks = append(jacks, j)
			}
		}
	}
	return jacks
}

// twinJacks are the jacks of one node that stand for each other: without
// normals, empty now, and with the same cords.
func (e *encoding) twinJacks(n int) [][]int {
	var classes [][]int
	plugged := e.present.Plugs()
	for _, j := range e.Nodes[n].Jacks {
		if len(e.Jacks[j].Normals) > 0 || e.Jacks[j].Faulty || slices.Contains(plugged, j) {
			continue
		}
		at := slices.IndexFunc(classes, func(c []int) bool { return e.sameJack(c[0], j) })
		if at < 0 {
			classes = append(classes, []int{j})
			continue
		}
		classes[at] = append(classes[at], j)
	}
	return classes
}

// portsAt are the ports from which a lead could come to a jack.
func (e *encoding) portsAt(j int) []int {
	var ports []int
	for _, l := range e.leadsAt[j] {
		ports = append(ports, e.leads[l].port)
	}
	return ports
}

func (e *encoding) sameJack(i, j int) bool {
	if !slices.Equal(e.portsAt(i), e.portsAt(j)) {
		return false
	}
	return e.sameReach(i, j, []int{i, j}) && e.Jacks[i].Kind == e.Jacks[j].Kind && e.Jacks[i].Bay == e.Jacks[j].Bay
}
