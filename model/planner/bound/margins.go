package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Margins say by how much more than a bound those plans handle at least that have one thing or
// another: at the prices of the bound, what the cheapest ways of a source cost that pass there,
// less what its cheapest of all cost (reduced costs, as in Crowder, Johnson and Padberg 1983,
// "Solving large-scale zero-one linear programming problems"; of trees as in Polzin and
// Vahdati Daneshmand 2001, both from memory).
type Margins struct {
	problem  *problem.Problem
	prices   *prices
	networks *networks
	bound    int // at the prices, in units
	most     int // how many more than the bound the plans handle at most, in units
	bySource []*detours
	ascent   *ascent
}

// newMargins are those of plans that handle so many units more than the bound at most. They are worked out
// when they are asked for first.
func newMargins(a *ascent, bound, most int) *Margins {
	a.leasts.set(func(i int) int { return a.prices.of[i] })
	return &Margins{problem: a.problem, prices: a.prices, networks: &a.networks, bound: bound, most: most, ascent: a}
}

// detours are those of each source; nil for one that is not asked for.
func (m *Margins) detours() []*detours {
	if m.bySource == nil {
		m.bySource = make([]*detours, len(m.problem.Sources))
		for _, s := range m.ascent.asked() {
			m.bySource[s] = m.ascent.detoursOf(s, m.most)
		}
	}
	return m.bySource
}

// Within is what plans may have that handle no more than so many plugs, which are no more than those
// of the plan that the bound was raised for. A plan that has anything else handles more, or is
// no better than one that has not.
func (m *Margins) Within(plugs int) *problem.Narrowed {
	return m.within(plugs*unit-m.bound, func(int, problem.PricedCord) {})
}

// Near is what plans may have that cost less than one new cord more than the bound.
func (m *Margins) Near() *problem.Near {
	near := &problem.Near{Priced: make([][]problem.PricedCord, len(m.problem.Sources))}
	near.Narrowed = m.within(2*unit-1, func(source int, c problem.PricedCord) { near.Priced[source] = append(near.Priced[source], c) })
	for _, cords := range near.Priced {
		slices.SortStableFunc(cords, func(a, b problem.PricedCord) int { return a.Over - b.Over })
	}
	return near
}

// within is what plans may have that handle no more than so many units more than the bound; it tells of
// each source by which cords it may come to where it is asked for.
func (m *Margins) within(most int, tell func(source int, c problem.PricedCord)) *problem.Narrowed {
	in := &problem.Narrowed{Cords: map[[2]int][]int{}, Passes: make([][]bool, len(m.problem.Sources))}
	for s, d := range m.detours() {
		in.Passes[s] = make([]bool, len(m.problem.Nodes))
		if d == nil {
			continue
		}
		for n := range in.Passes[s] {
			in.Passes[s][n] = d.anywhere || d.at(n, n, 0) <= most
		}
		m.addOnWay(in, s, most, tell)
	}
	m.addAside(in, most)
	return in
}

// About is what plans may have that handle no more than so many plugs, or than some more, no more
// than those of a plan, as long as that is hardly more; and than how many.
func (m *Margins) About(plugs, ofPlan int) (in *problem.Narrowed, most int) {
	in, most = m.Within(plugs), plugs
	limit := len(in.Cords) + len(in.Cords)/4
	for most < ofPlan {
		more := m.Within(most + 1)
		if len(more.Cords) > limit {
			break
		}
		in, most = more, most+1
	}
	return in, most
}

// addOnWay adds the cords by which a source may come to a destination that asks for it.
func (m *Margins) addOnWay(in *problem.Narrowed, source, most int, tell func(int, problem.PricedCord)) {
	var jacks []int
	for j := range m.problem.Jacks {
		if m.problem.Usable(j) && in.Passes[source][m.problem.Jacks[j].Node] {
			jacks = append(jacks, j)
		}
	}
	for at, j := range jacks {
		for _, i := range jacks[:at] {
			if !m.problem.Stock.Any(i, j) {
				continue
			}
			if over := min(m.onWay(source, i, j), m.onWay(source, j, i)); over <= most {
				ends := [2]int{i, j}
				in.Cords[ends] = append(in.Cords[ends], source)
				tell(source, problem.PricedCord{Ends: ends, Over: over})
			}
		}
	}
}

// onWay is what ways cost at least, more than the cheapest, on which a source goes from one jack
// to another by a new cord.
func (m *Margins) onWay(source, from, to int) int {
	p, d, t := m.problem, m.detours()[source], m.prices.things
	if d.anywhere {
		return 0
	}
	n := p.Jacks[to].Node
	if len(p.Always(n)) > 0 || m.networks.noSource(from) {
		return far
	}
	price := 2*unit + m.networks.guards.cost(n, source) + m.prices.of[n] + m.prices.of[t.jack(from)] + m.prices.of[t.jack(to)]
	need := p.Stock.Need(from, to)
	if k := m.networks.kind(need); k != graph.None {
		price += m.prices.longer[k]
	}
	made := 0
	for _, j := range []int{from, to} {
		for _, g := range m.networks.madeOf(j, need) {
			made = min(made, m.prices.of[t.old(g)])
		}
	}
	return d.at(p.Jacks[from].Node, n, price+made)
}

// addAside adds the cords that may be in though no source comes by them to where it is asked for,
// only for a normal that one of their plugs breaks. Such a cord is two plugs beside all ways; where
// it is made of an old one by the move of an end, less what the ways would save by that one.
func (m *Margins) addAside(in *problem.Narrowed, most int) {
	p := m.problem
	for i, c := range p.Present.Cords {
		if m.pricedOld(i) > most {
			continue
		}
		for _, a := range c {
			for b := range p.Jacks {
				if a != graph.None && a != b && (m.guards(b) || m.guards(a) && m.isMic(a)) && p.Usable(a) && p.Usable(b) && p.Stock.OldReaches(i, a, b) {
					in.Cords[graph.Ordered([2]int{a, b})] = nil
				}
			}
		}
	}
	if 2*unit > most {
		return
	}
	for j := range p.Jacks {
		for i := range j {
			if m.needsCord(i, j) && p.Stock.Any(i, j) {
				in.Cords[[2]int{i, j}] = nil
			}
		}
	}
}

// pricedOld is what a cord beside all ways costs that is made of an old one.
func (m *Margins) pricedOld(cord int) int {
	if at := slices.Index(m.networks.olds.cords, cord); at >= 0 {
		return 2*unit + m.prices.of[m.prices.things.old(at)]
	}
	return 2 * unit
}

// needsCord says whether a new cord may be needed for what its plugs break: mostly it could hang from
// the one jack, and a dummy be in the other.
func (m *Margins) needsCord(i, j int) bool {
	if m.problem.Dummies < 0 {
		return false
	}
	a, b := m.guards(i), m.guards(j)
	if m.problem.Options.Prefer != plan.PreferFewest {
		return a || b // a plain plan has no cord that hangs
	}
	return a && b || a && m.isMic(i) || b && m.isMic(j)
}

func (m *Margins) guards(j int) bool { return m.problem.Usable(j) && m.problem.Guards(j) }

func (m *Margins) isMic(j int) bool { return m.problem.Nodes[m.problem.Jacks[j].Node].Mic }
