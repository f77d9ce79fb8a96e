package cut

import (
	"slices"

	"bayhand/model/graph"
)

// hopsInto follows each hop by which a signal comes to a place from another.
func (t *tree) hopsInto(place int) {
	m, n := t.market, place/t.layers
	at := &m.Nodes[n]
	for _, o := range at.Outputs {
		if out := &m.Outputs[o]; !out.Relay && (len(at.Always) == 0 || len(at.Always) == 1 && at.Always[0] == out.Driver) {
			for _, x := range out.Crosses {
				if !m.Incomplete(x) {
					t.hop(m.Crosses[x].From, [2]string{out.Matrix}, 0, nothing)
				}
			}
		}
	}
	if len(at.Always) > 0 {
		return // by metal, a driver would meet another
	}
	t.hopsByNormal(n)
	t.hopsByRelay(n)
	t.hopsByCord(n)
	t.hopsByLead(n)
}

// hop follows a hop from a node to the place whose turn it is, with what it costs without
// its nodes, by parts of two owners.
func (t *tree) hop(from int, owners [2]string, price float64, use [3]int32) {
	if !t.may[from] || t.market.deadEnd[from] {
		return
	}
	if !t.waysAsked() {
		t.follow(from, price, use)
		return
	}
	if slices.Contains(t.demand.avoid, owners[0]) || slices.Contains(t.demand.avoid, owners[1]) {
		return
	}
	layer, passed := t.turn.place%t.layers, t.via[owners[0]]|t.via[owners[1]]
	if layer&passed != passed {
		return
	}
	for fresh := passed; ; fresh = (fresh - 1) & passed { // what was not passed before
		t.follow(from*t.layers+layer&^fresh, price, use)
		if fresh == 0 {
			return
		}
	}
}

// waysAsked says whether the demand asks for ways, by way of owners or around them.
func (t *tree) waysAsked() bool { return len(t.via)+len(t.demand.avoid) > 0 }

// nothing is used.
var nothing = [3]int32{graph.None, graph.None, graph.None}

// hopsByNormal: a normal holds where no plug breaks it, so that it uses the jack of the
// plug.
func (t *tree) hopsByNormal(n int) {
	m := t.market
	for _, i := range m.Nodes[n].Normals {
		one, use, price := m.Normals[i], nothing, 0.0
		for k, j := range []int{one.A, one.B} {
			if one.Breaks(j) && len(m.Jacks[j].Normals) == 1 {
				use[k], price = int32(m.jack(j)), price+m.prices[m.jack(j)]
			}
		}
		t.hop(m.Across(i, n), [2]string{m.Owner(one.A), m.Owner(one.B)}, price, use)
	}
}

func (t *tree) hopsByRelay(n int) {
	m := t.market
	for _, o := range m.Nodes[n].Outputs {
		if out := &m.Outputs[o]; out.Relay {
			for _, x := range out.Crosses {
				if !m.Incomplete(x) {
					t.hop(m.Crosses[x].From, [2]string{out.Matrix}, m.prices[m.output(o)], [3]int32{int32(m.output(o)), graph.None, graph.None})
				}
			}
		}
	}
	for _, x := range m.Nodes[n].Ins {
		o := m.Crosses[x].Output
		if out := &m.Outputs[o]; out.Relay && !m.Incomplete(x) {
			t.hop(out.Node, [2]string{out.Matrix}, m.prices[m.output(o)], [3]int32{int32(m.output(o)), graph.None, graph.None})
		}
	}
}

func (t *tree) hopsByCord(n int) {
	m, ways := t.market, t.waysAsked()
	for _, j := range m.Nodes[n].Jacks {
		for _, c := range t.cordsInto(j) {
			i := int(c.jack)
			kinds := &m.classes[c.class]
			if !ways && t.turn.cost+m.prices[m.jack(i)]+m.prices[m.jack(j)]+kinds.price+m.prices[c.node] >= t.cost[t.turn.set][c.node] {
				continue
			}
			use := [3]int32{int32(m.jack(i)), int32(m.jack(j)), graph.None}
			if kinds.cheapest != graph.None {
				use[2] = int32(m.kind(kinds.cheapest))
			}
			var owners [2]string
			if ways {
				owners = [2]string{m.Owner(i), m.Owner(j)}
			}
			t.hop(c.node, owners, m.prices[m.jack(i)]+m.prices[m.jack(j)]+kinds.price, use)
		}
	}
}

// cord is one from a jack at a node, of a class.
type cord struct {
	node  int
	jack  int32
	class int32
}

// cordsInto are the cords that could bring a signal to a jack, from jacks at which one goes
// on.
func (t *tree) cordsInto(j int) []cord {
	m := t.market
	if t.cords[j] == nil && m.problem.Usable(j) {
		t.cords[j] = []cord{}
		for i, c := range m.class[j*len(m.Jacks) : (j+1)*len(m.Jacks)] {
			if n := m.Jacks[i].Node; c != graph.None && !m.plugIn[n] && !m.deadEnd[n] && m.problem.Usable(i) {
				t.cords[j] = append(t.cords[j], cord{n, int32(i), c})
			}
		}
	}
	return t.cords[j]
}

func (t *tree) hopsByLead(n int) {
	m := t.market
	if len(m.Ports) == 0 {
		return
	}
	lead := func(port, j, from int) {
		if from != n && !m.plugIn[from] && m.problem.Usable(j) && m.problem.Stock.LeadGoes(port, j) {
			t.hop(from, [2]string{m.Owner(j)}, m.prices[m.jack(j)], [3]int32{int32(m.jack(j)), graph.None, graph.None})
		}
	}
	for _, j := range m.Nodes[n].Jacks {
		for port, at := range m.Ports {
			lead(port, j, m.Node[at])
		}
	}
	for _, port := range m.Nodes[n].Ports {
		for j := range m.Jacks {
			lead(port, j, m.Jacks[j].Node)
		}
	}
}
