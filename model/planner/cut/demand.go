package cut

import (
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// demand is a source with wants, or a normal that has to be broken.
type demand struct {
	source int
	wants  []int
	// via are owners by one of whose parts the ways of some wants go; all ways avoid
	// some owners.
	via, avoid []string
	ends       []end
	normal     int
	jacks      []int // a plug in which breaks the normal
	ways       *ways
}

// end is a node where the source must be heard, and whether it comes there by way of
// the owners that are asked for.
type end struct {
	node int
	via  bool
}

// manyEnds is how many destinations of one source are reckoned with at most: the work
// grows threefold with each.
const manyEnds = 5

func (m *market) readDemands() {
	bySource := map[int][]int{}
	var sources []int
	for i, w := range m.problem.Session.Wants {
		s := m.problem.SourceOf[w.Source]
		if bySource[s] == nil {
			sources = append(sources, s)
		}
		bySource[s] = append(bySource[s], i)
	}
	for _, s := range sources {
		m.demands = append(m.demands, m.sourceDemand(s, bySource[s]))
	}
	m.readBreaks()
}

// sourceDemand is what the wants of one source take. Where they ask for ways that
// differ, those of the first that asks for one are reckoned with alone.
func (m *market) sourceDemand(s int, wants []int) demand {
	d := demand{source: s, normal: graph.None, ways: &ways{}}
	asks := func(w session.Want) bool { return len(w.Via)+len(w.Avoid) > 0 }
	all := m.problem.Session.Wants
	if at := slices.IndexFunc(wants, func(w int) bool { return asks(all[w]) }); at >= 0 {
		first := all[wants[at]]
		same := func(w int) bool {
			return slices.Equal(all[w].Via, first.Via) && slices.Equal(all[w].Avoid, first.Avoid)
		}
		free := func(w int) bool { return len(first.Avoid) == 0 && !asks(all[w]) }
		wants = slices.DeleteFunc(slices.Clone(wants), func(w int) bool { return !same(w) && !free(w) })
		d.via, d.avoid = first.Via, first.Avoid
	}
	for _, w := range wants[:min(len(wants), manyEnds)] {
		d.wants = append(d.wants, w)
		d.ends = append(d.ends, end{m.Node[m.Number[all[w].Destination]], len(all[w].Via) > 0})
	}
	return d
}

// without is a demand without one of its wants.
func (d demand) without(i int) demand {
	d.wants, d.ends = slices.Delete(slices.Clone(d.wants), i, i+1), slices.Delete(slices.Clone(d.ends), i, i+1)
	d.ways = &ways{found: slices.Clone(d.ways.found)} // to fewer destinations, they cost no more
	return d
}

// bears says whether a source may come to a node: no other output drives it, and no
// input there must not hear it. An input that a socket takes over may.
func (m *market) bears(n, source int) bool {
	at := &m.Nodes[n]
	for _, s := range at.Sources {
		if s != source {
			return false
		}
	}
	for _, in := range at.Inputs {
		overridden := len(m.Overrides[in]) > 0 && (m.soft || len(m.problem.Asks[in].Wants) == 0)
		if !overridden && !m.problem.AcceptsItself(in, source, m.soft) {
			return false
		}
	}
	return true
}

// readBreaks finds the normals that have to be broken by a plug that carries nothing.
// Of those that one plug could break together, one counts.
func (m *market) readBreaks() {
	taken := map[int]bool{}
	for i, n := range m.Normals {
		if !m.mustBreak(n) {
			continue
		}
		d := demand{source: graph.None, normal: i, ways: &ways{}}
		bare := true
		for _, j := range []int{n.A, n.B} {
			if n.Breaks(j) && m.problem.Usable(j) {
				d.jacks = append(d.jacks, j)
				bare = bare && !taken[j] && m.carriesNothing(j)
			}
		}
		if !bare {
			continue
		}
		for _, j := range d.jacks {
			taken[j] = true
		}
		m.demands = append(m.demands, d)
	}
}

// mustBreak says whether a normal would bring a source to where it must not be.
func (m *market) mustBreak(n graph.Normal) bool {
	a, b := m.Jacks[n.A].Node, m.Jacks[n.B].Node
	brings := func(from, to int) bool {
		return slices.ContainsFunc(m.Nodes[from].Sources, func(s int) bool { return !m.bears(to, s) })
	}
	return a != b && (brings(a, b) || brings(b, a))
}

// carriesNothing says whether no cord or lead in a jack could carry what is asked for,
// or take over an input.
func (m *market) carriesNothing(j int) bool {
	n := m.Jacks[j].Node
	for _, s := range m.problem.Wanted {
		if always := m.Always(n); (len(always) == 0 || slices.Contains(always, s) || always[0] >= len(m.Sources)) && m.bears(n, s) {
			return false
		}
	}
	for port, at := range m.Ports {
		if len(m.Overridden[at]) > 0 && m.problem.Stock.LeadGoes(port, j) {
			return false
		}
	}
	return true
}

// cheapest is the least that a demand costs, infinite where it cannot be fulfilled,
// and the resources that it uses so.
func (m *market) cheapest(d *demand) (float64, []int) {
	if d.normal == graph.None {
		return m.tree.cheapest(d)
	}
	best, use := math.Inf(1), []int(nil)
	try := func(j, r int, price float64) {
		if cost := m.prices[m.jack(j)] + price; cost < best {
			best, use = cost, []int{m.jack(j)}
			if r != graph.None {
				use = append(use, r)
			}
		}
	}
	for _, j := range d.jacks {
		if m.counts[m.dummies()] > 0 {
			try(j, m.dummies(), m.prices[m.dummies()])
		}
		if c := m.hangClass[j]; c != graph.None && !m.Jacks[j].Socket && (!m.Nodes[m.Jacks[j].Node].Mic || problem.HangsNow(m.problem, j)) {
			r := graph.None
			if k := m.classes[c].cheapest; k != graph.None {
				r = m.kind(k)
			}
			try(j, r, m.classes[c].price)
		}
	}
	return best, use
}
