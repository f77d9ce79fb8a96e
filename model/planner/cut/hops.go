package cut

import (
	"slices"

	"bayhand/model/graph"
)

// hopsInto calls f with each place from which a signal comes to another in one hop, what
// the hop costs without its nodes, and what it uses.
func (t *tree) hopsInto(place int, f func(from int, price float64, use [3]int32)) {
	m, n, layer := t.market, place/t.layers, place%t.layers
	hop := func(from int, owners [2]string, price float64, use [3]int32) {
		if !t.may[from] || m.deadEnd[from] || slices.Contains(t.demand.avoid, owners[0]) || slices.Contains(t.demand.avoid, owners[1]) {
			return
		}
		passed := t.via[owners[0]] | t.via[owners[1]]
		if layer&passed != passed {
			return
		}
		for fresh := passed; ; fresh = (fresh - 1) & passed { // what was not passed before
			f(from*t.layers+layer&^fresh, price, use)
			if fresh == 0 {
				return
			}
		}
	}
	at := &m.Nodes[n]
	for _, o := range at.Outputs {
		if out := &m.Outputs[o]; !out.Relay && (len(at.Always) == 0 || len(at.Always) == 1 && at.Always[0] == out.Driver) {
			for _, x := range out.Crosses {
				if !m.Incomplete(x) {
					hop(m.Crosses[x].From, [2]string{out.Matrix}, 0, nothing)
				}
			}
		}
	}
	if len(at.Always) > 0 {
		return // by metal, a driver would meet another
	}
	t.hopsByNormal(n, hop)
	t.hopsByRelay(n, hop)
	t.hopsByCord(n, hop)
	t.hopsByLead(n, hop)
}

// nothing is used.
var nothing = [3]int32{graph.None, graph.None, graph.None}

type hopping func(from int, owners [2]string, price float64, use [3]int32)

// hopsByNormal: a normal holds where no plug breaks it, so that it uses the jack of the
// plug.
func (t *tree) hopsByNormal(n int, hop hopping) {
	m := t.market
	for _, i := range m.Nodes[n].Normals {
		one, use, price := m.Normals[i], nothing, 0.0
		for k, j := range []int{one.A, one.B} {
			if one.Breaks(j) && len(m.Jacks[j].Normals) == 1 {
				use[k], price = int32(m.jack(j)), price+m.prices[m.jack(j)]
			}
		}
		hop(m.Across(i, n), [2]string{m.Owner(one.A), m.Owner(one.B)}, price, use)
	}
}

func (t *tree) hopsByRelay(n int, hop hopping) {
	m := t.market
	for _, o := range m.Nodes[n].Outputs {
		if out := &m.Outputs[o]; out.Relay {
			for _, x := range out.Crosses {
				if !m.Incomplete(x) {
					hop(m.Crosses[x].From, [2]string{out.Matrix}, m.prices[m.output(o)], [3]int32{int32(m.output(o)), graph.None, graph.None})
				}
			}
		}
	}
	for _, x := range m.Nodes[n].Ins {
		o := m.Crosses[x].Output
		if out := &m.Outputs[o]; out.Relay && !m.Incomplete(x) {
			hop(out.Node, [2]string{out.Matrix}, m.prices[m.output(o)], [3]int32{int32(m.output(o)), graph.None, graph.None})
		}
	}
}

func (t *tree) hopsByCord(n int, hop hopping) {
	m := t.market
	ways := len(t.via)+len(t.demand.avoid) > 0
	for _, j := range m.Nodes[n].Jacks {
		if !m.problem.Usable(j) {
			continue
		}
		class := m.class[j*len(m.Jacks) : (j+1)*len(m.Jacks)]
		for i, c := range class {
			if from := m.Jacks[i].Node; c == graph.None || m.deadEnd[from] || !t.may[from] || !m.problem.Usable(i) {
				continue
			}
			var owners [2]string
			if ways {
				owners = [2]string{m.Owner(i), m.Owner(j)}
			}
			use := [3]int32{int32(m.jack(i)), int32(m.jack(j)), graph.None}
			if k := m.classes[c].cheapest; k != graph.None {
				use[2] = int32(m.kind(k))
			}
			hop(m.Jacks[i].Node, owners, m.prices[m.jack(i)]+m.prices[m.jack(j)]+m.classes[c].price, use)
		}
	}
}

func (t *tree) hopsByLead(n int, hop hopping) {
	m := t.market
	if len(m.Ports) == 0 {
		return
	}
	lead := func(port, j, from int) {
		if from != n && m.problem.Usable(j) && m.problem.Stock.LeadGoes(port, j) {
			hop(from, [2]string{m.Owner(j)}, m.prices[m.jack(j)], [3]int32{int32(m.jack(j)), graph.None, graph.None})
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
