// Package cut proves that a session cannot be given, by counting: some of what is
// asked takes more of something than there is. Five wants that each take a tie, and
// four ties, are such a proof; a cut through the room is.
//
// A resource is what at most so much of can be in use in any patch: metal that no
// patch can part carries one driver, a jack takes one plug, an output of a relay
// matrix one crosspoint, and so many cords of each kind and dummies are owned. A
// demand is what the session asks and no two of which share a resource: a source,
// which comes to all its destinations by a tree of metal and crosspoints, or a normal
// that has to be broken by a plug of its own. A price is what one of a resource costs. Where the
// cheapest ways to fulfil the demands cost more together than all that there is of
// the resources is worth, no patch gives the session: this is Farkas' lemma for the
// linear relaxation whose columns are the ways of each demand. Prices are found by
// raising that of what is used most (Garg and Könemann 2007, "Faster and simpler
// algorithms for multicommodity flow and other fractional packing problems", SIAM
// Journal on Computing 37), then rounded to 0 and 1, which makes a cut of them.
//
// Not every session that cannot be given has such a proof: whole proofs are the
// business of package exact.
package cut

import (
	"math"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// Proof is why a session cannot be given.
type Proof struct {
	// Demands are those that take too much together, each with the least that it costs;
	// infinite for one that cannot be fulfilled at all.
	Demands []Demand
	// Prices are those of the resources that are scarce.
	Prices []Price
	// Need is what the demands cost together at least, Have what all of the scarce
	// resources are worth; Need is more.
	Need, Have float64
	// LeftOut is how many wants and silences have to be left out at least, so that these
	// prices prove nothing of the rest.
	LeftOut int
}

// Demand is something that the session asks.
type Demand struct {
	// Source is the number of a source, with the numbers of its wants; None for a
	// break.
	Source int
	Wants  []int
	// Normal has to be broken, for something that must not be heard; None for a source.
	Normal int
	Cost   float64
}

// NoWay says whether it cannot be fulfilled at all.
func (d Demand) NoWay() bool { return math.IsInf(d.Cost, 1) }

// Price is what one of a resource costs.
type Price struct {
	Kind   Kind
	Number int // of the node, jack, kind of the stock or output; 0 for dummies
	Count  int
	Price  float64
}

// Kind says what a resource is.
type Kind uint8

// The kinds of resources.
const (
	OfNode Kind = iota + 1
	OfJack
	OfStock
	OfDummies
	OfOutput
)

// most is how many nodes, with the layers of ways, a room may have: beyond, each
// question takes too long.
const most = 2500

// Find looks for a proof; nil where there is none, or it was not found with so much
// work, in places and jacks looked at. The prices of a proof of the same room for another session
// are tried first; nil for none.
func Find(p *problem.Problem, like *Proof, work int64) *Proof {
	if p.Options.LeaveCords || len(p.Nodes) > most {
		return nil
	}
	m := newMarket(p)
	if len(m.demands) == 0 {
		return nil
	}
	for i := range m.demands {
		if cost, _ := m.cheapest(&m.demands[i]); math.IsInf(cost, 1) {
			return m.alone(m.demands[i])
		}
	}
	if !provesLike(m, like) && !m.bid(work) {
		return nil
	}
	proof := m.least()
	proof.LeftOut = leftOut(m)
	return proof
}

// provesLike takes the prices of another proof, and says whether they prove something here.
func provesLike(m *market, like *Proof) bool {
	if like == nil {
		return false
	}
	for _, p := range like.Prices {
		m.prices[resourceOf(m, p)] = p.Price
	}
	if m.proves(m.demands) {
		return true
	}
	clear(m.prices)
	m.reprice()
	return false
}

// alone is the proof that one demand cannot be fulfilled at all, by the fewest of its
// wants.
func (m *market) alone(d demand) *Proof {
	for i := 0; len(d.wants) > 1 && i < len(d.wants); {
		less := d.without(i)
		if cost, _ := m.cheapest(&less); math.IsInf(cost, 1) {
			d = less
			continue
		}
		i++
	}
	return &Proof{Demands: []Demand{d.told(math.Inf(1))}, Need: math.Inf(1), LeftOut: 1}
}

// told is a demand for others.
func (d demand) told(cost float64) Demand {
	return Demand{Source: d.source, Wants: d.wants, Normal: d.normal, Cost: cost}
}

// market is the resources of a room with their prices, and the demands.
type market struct {
	*graph.Graph
	problem *problem.Problem
	demands []demand
	// prices and counts are by resource: nodes, jacks, kinds of the stock, the dummies,
	// outputs.
	prices, counts []float64
	// class is which kinds of the stock go between two jacks, or hang from one, as a
	// number of classes.
	class     []int32
	hangClass []int32
	classes   []kinds
	// deadEnd says of each node whether no signal goes through it.
	deadEnd []bool
	// plugIn says of each whether it comes in there by the only plug.
	plugIn []bool
	// joints is how many things a node could be joined to others by at once, at most.
	joints []int
	// soft lets each want and silence be left out.
	soft bool
	tree *tree
}

// kinds are kinds of the stock that do for a cord, with the cheapest of them; None
// where the stock has no end. None at all do where there is neither.
type kinds struct {
	of       []int
	cheapest int
	price    float64
}

func (m *market) node(n int) int   { return n }
func (m *market) jack(j int) int   { return len(m.Nodes) + j }
func (m *market) kind(k int) int   { return len(m.Nodes) + len(m.Jacks) + k }
func (m *market) dummies() int     { return m.kind(len(m.problem.Stock.Kinds)) }
func (m *market) output(o int) int { return m.dummies() + 1 + o }

// told is a resource for others.
func (m *market) told(r int) Price {
	p := Price{Count: int(m.counts[r]), Price: m.prices[r]}
	switch {
	case r < m.jack(0):
		p.Kind, p.Number = OfNode, r
	case r < m.kind(0):
		p.Kind, p.Number = OfJack, r-m.jack(0)
	case r < m.dummies():
		p.Kind, p.Number = OfStock, r-m.kind(0)
	case r < m.output(0):
		p.Kind = OfDummies
	default:
		p.Kind, p.Number = OfOutput, r-m.output(0)
	}
	return p
}

// resourceOf is what a price is of.
func resourceOf(m *market, p Price) int {
	switch p.Kind {
	case OfNode:
		return m.node(p.Number)
	case OfJack:
		return m.jack(p.Number)
	case OfStock:
		return m.kind(p.Number)
	case OfDummies:
		return m.dummies()
	case OfOutput:
		return m.output(p.Number)
	}
	return graph.None
}

func newMarket(p *problem.Problem) *market {
	m := &market{Graph: p.Graph, problem: p}
	total := m.output(len(p.Outputs))
	m.prices, m.counts = make([]float64, total), make([]float64, total)
	for r := range m.counts {
		m.counts[r] = 1
	}
	for k, count := range p.Stock.Counts {
		m.counts[m.kind(k)] = float64(count)
	}
	m.counts[m.dummies()] = math.Inf(1)
	if owned := p.Dummies; owned >= 0 {
		m.counts[m.dummies()] = float64(owned)
	}
	m.sortCords()
	m.deadEnd, m.plugIn, m.joints = make([]bool, len(m.Nodes)), make([]bool, len(m.Nodes)), make([]int, len(m.Nodes))
	for n := range m.Nodes {
		at := &m.Nodes[n]
		m.plugIn[n] = m.inByPlug(n)
		m.deadEnd[n] = m.plugIn[n] && len(at.Ins) == 0
		m.joints[n] = len(at.Normals) + len(at.Ports) + len(at.Ins) + len(at.Outputs) // an output has one crosspoint
		for _, j := range at.Jacks {
			if p.Usable(j) {
				m.joints[n]++
			}
		}
	}
	m.readDemands()
	m.tree = newTree(m)
	return m
}

// sortCords finds which kinds of the stock go between each two jacks.
func (m *market) sortCords() {
	s := &m.problem.Stock
	known := map[uint64]int32{}
	classOf := func(goes func(kind int) bool) int32 {
		var set uint64
		var of []int
		for k := range s.Kinds {
			if s.Counts[k] > 0 && goes(k) {
				set |= 1 << (k % 64)
				of = append(of, k)
			}
		}
		if set == 0 {
			return graph.None
		}
		if _, ok := known[set]; !ok || len(s.Kinds) > 64 {
			known[set] = int32(len(m.classes))
			m.classes = append(m.classes, kinds{of: of, cheapest: of[0]})
		}
		return known[set]
	}
	n := len(m.Jacks)
	m.class, m.hangClass = make([]int32, n*n), make([]int32, n)
	if s.Unlimited {
		m.classes = []kinds{{cheapest: graph.None}}
	}
	for i := range n {
		if !s.Unlimited {
			m.hangClass[i] = classOf(func(k int) bool { return s.Goes(k, [2]int{i, graph.None}) })
		}
		m.class[i*n+i] = graph.None
		for j := range i {
			c := int32(graph.None)
			switch {
			case m.Jacks[i].Node == m.Jacks[j].Node || !s.Any(j, i):
			case s.Unlimited:
				c = 0
			default:
				c = classOf(func(k int) bool { return s.Goes(k, [2]int{j, i}) })
			}
			m.class[i*n+j], m.class[j*n+i] = c, c
		}
	}
}

// inByPlug says whether a signal comes to a node by a plug in its one jack alone, or by a
// normal that this plug breaks: then no cord carries it on from there, only a crosspoint of
// amplifiers.
func (m *market) inByPlug(n int) bool {
	at := &m.Nodes[n]
	if len(at.Always)+len(at.Ports)+len(at.Outputs) > 0 || m.Relays(n) {
		return false
	}
	jack := graph.None
	for _, j := range at.Jacks {
		if m.problem.Usable(j) {
			if jack != graph.None {
				return false
			}
			jack = j
		}
	}
	switch len(at.Normals) {
	case 0:
		return true
	case 1:
		return jack == graph.None || m.Normals[at.Normals[0]].Breaks(jack)
	}
	return false
}

// reprice finds the cheapest kind of each class.
func (m *market) reprice() {
	for c := range m.classes {
		one := &m.classes[c]
		for _, k := range one.of {
			if m.prices[m.kind(k)] < m.prices[m.kind(one.cheapest)] {
				one.cheapest = k
			}
		}
		if one.cheapest != graph.None {
			one.price = m.prices[m.kind(one.cheapest)]
		}
	}
}
