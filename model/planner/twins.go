package planner

import (
	"fmt"
	"slices"
	"strings"

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
func (e *encoding) addTwins(known draft) {
	now := e.nets(known)
	for _, class := range e.twinClasses() {
		slices.SortStableFunc(class, func(n, m int) int { return now.wantedAt(e.wanted, m) - now.wantedAt(e.wanted, n) })
		for i := 1; i < len(class); i++ {
			e.inOrder(class[i-1], class[i])
		}
	}
	for n := range e.nodes {
		for _, class := range e.twinJacks(n) {
			slices.SortStableFunc(class, func(i, j int) int { return asNumber(now.plugged[j]) - asNumber(now.plugged[i]) })
			for i := 1; i < len(class); i++ {
				e.Add(e.plug[class[i]].Not(), e.plug[class[i-1]])
			}
		}
	}
}

func asNumber(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// wantedAt is the source that comes to a node, if it is one of those asked for;
// nowhere otherwise.
func (n *nets) wantedAt(wanted []int, node int) int {
	s := n.comes(node)
	if _, ok := slices.BinarySearch(wanted, s); ok {
		return s
	}
	return nowhere
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
	for n := range e.nodes {
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
	for _, j := range e.present.plugs() {
		held[e.jacks[j].node] = true
	}
	for _, x := range e.present.crosses {
		held[e.crosses[x].from] = true
	}
	for _, m := range e.normals {
		a, b := e.jacks[m.a].node, e.jacks[m.b].node
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
	at := &e.nodes[n]
	if len(at.jacks) == 0 || len(at.sources)+len(at.inputs)+len(at.outputs)+len(at.ports) > 0 || len(at.normals) > 1 || at.mult {
		return ""
	}
	var key strings.Builder
	fmt.Fprint(&key, len(at.jacks), at.mic)
	for _, j := range at.jacks {
		fmt.Fprint(&key, " ", e.jacks[j].bay, e.jacks[j].kind, e.jacks[j].faulty)
	}
	for _, x := range at.ins {
		if len(e.fellows[x]) > 0 {
			return ""
		}
		fmt.Fprint(&key, " x", e.crosses[x].output)
	}
	for _, m := range at.normals {
		partner, ok := e.partnerKey(n, e.normals[m])
		if !ok {
			return ""
		}
		key.WriteString(partner)
	}
	return key.String()
}

// partnerKey describes the other end of a normal.
func (e *encoding) partnerKey(n int, m normal) (string, bool) {
	near, far := m.a, m.b
	if e.jacks[far].node == n {
		near, far = far, near
	}
	at := &e.nodes[e.jacks[far].node]
	alone := len(at.sources) == 1 && len(at.inputs)+len(at.outputs)+len(at.ports)+len(at.ins) == 0 && len(at.normals) == 1 && len(at.jacks) == 1
	if !alone || e.useful(at.sources[0]) || e.fed[at.sources[0]] || e.jacks[far].faulty {
		return "", false
	}
	return fmt.Sprint(" / ", e.jacks[far].bay, m.breaks(near), m.breaks(far), at.mic, slices.Index(e.nodes[n].jacks, near)), true
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
	for old, ends := range e.present.cords {
		for _, k := range ends {
			if k != nowhere && !slices.Contains(skip, k) && e.oldReaches(old, i, k) != e.oldReaches(old, j, k) {
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
	jacks := slices.Clone(e.nodes[n].jacks)
	for _, m := range e.nodes[n].normals {
		v := e.normals[m]
		for _, j := range []int{v.a, v.b} {
			if e.jacks[j].node != n {
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
	plugged := e.present.plugs()
	for _, j := range e.nodes[n].jacks {
		if len(e.jacks[j].normals) > 0 || e.jacks[j].faulty || slices.Contains(plugged, j) {
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
	return e.sameReach(i, j, []int{i, j}) && e.jacks[i].kind == e.jacks[j].kind && e.jacks[i].bay == e.jacks[j].bay
}
