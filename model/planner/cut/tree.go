package cut

import (
	"math"
	"math/bits"

	"bayhand/model/graph"
)

// tree finds the cheapest tree of metal and crosspoints that brings a source to its
// destinations, under the prices of the market. It is a least directed Steiner tree,
// found exactly by dynamic programming over sets of destinations (Dreyfus and Wagner
// 1971, "The Steiner problem in graphs", Networks 1). Where ways go by way of some
// owner there are as many layers of nodes as sets of owners that a way has passed, and
// a place is a node in a layer.
type tree struct {
	market *market
	demand *demand
	via    map[string]int
	root   int
	layers int
	may    []bool // by node: whether the source may be there
	// cost and back are by set of destinations, then by place.
	cost [][]float64
	back [][]step
	turn turn
	// cords are by jack those that could bring a signal there, as far as was asked.
	cords [][]cord
	// work counts the places and jacks looked at.
	work int64
}

// turn is the place whose turn it is in a set of destinations, with what the tree from there
// costs and which places had theirs.
type turn struct {
	set, place int
	cost       float64
	done       []bool
}

// step is how a place comes to a set of destinations: by a hop to another place, with
// the resources that the hop uses, or by two sets that meet here.
type step struct {
	to   int
	use  [3]int32
	meet int // one of the two sets; 0 for a hop
}

func newTree(m *market) *tree { return &tree{market: m, cords: make([][]cord, len(m.Jacks))} }

// cheapest is what the tree of a demand costs at least, and the resources of one that
// costs no more. It takes time 3^d n + 2^d (n^2 + j^2) for d destinations, n places and j
// jacks.
func (t *tree) cheapest(d *demand) (float64, []int) {
	t.begin(d)
	most := d.ways.cost(t.market.prices) * (1 + margin)
	full := 1<<len(d.ends) - 1
	for set := 1; set <= full; set++ {
		t.meet(set)
		t.spread(set, most, set == full)
	}
	cost := t.costOf(full)
	if math.IsInf(cost, 1) {
		return cost, nil
	}
	return cost, t.uses(full, t.root*t.layers, nil)
}

// costOf is what the tree to some of the destinations of the demand that was asked for last
// costs at least, by set of destinations.
func (t *tree) costOf(set int) float64 {
	if set == 0 {
		return 0
	}
	return t.cost[set][t.root*t.layers]
}

func (t *tree) begin(d *demand) {
	m := t.market
	t.demand, t.root = d, m.Node[m.Sources[d.source]]
	t.via = map[string]int{}
	for _, o := range d.via {
		t.via[o] = 1 << len(t.via)
	}
	t.layers = 1 << len(t.via)
	t.may = make([]bool, len(m.Nodes))
	for n := range t.may {
		t.may[n] = m.bears(n, d.source)
	}
	places := len(m.Nodes) * t.layers
	sets := 1 << len(d.ends)
	for len(t.cost) < sets {
		t.cost, t.back = append(t.cost, nil), append(t.back, nil)
	}
	for set := 1; set < sets; set++ {
		if len(t.cost[set]) < places {
			t.cost[set], t.back[set] = make([]float64, places), make([]step, places)
		}
		t.cost[set], t.back[set] = t.cost[set][:places], t.back[set][:places]
		for p := range t.cost[set] {
			t.cost[set][p] = math.Inf(1)
		}
	}
	t.turn.done = make([]bool, places)
}

// meet begins a set of destinations: with its one destination, or at the places where
// the trees to two parts of it meet.
func (t *tree) meet(set int) {
	if bits.OnesCount(uint(set)) == 1 {
		e := t.demand.ends[bits.TrailingZeros(uint(set))]
		for layer := range t.layers {
			if t.may[e.node] && (!e.via || layer == t.layers-1) {
				t.cost[set][e.node*t.layers+layer] = t.market.prices[t.market.node(e.node)]
				t.back[set][e.node*t.layers+layer] = step{to: graph.None}
			}
		}
		return
	}
	for part := (set - 1) & set; part > set/2; part = (part - 1) & set {
		for p := range t.cost[set] {
			if !t.forks(p/t.layers, part, set&^part) {
				continue
			}
			one := t.market.prices[p/t.layers]
			if c := t.cost[part][p] + t.cost[set&^part][p] - one; c < t.cost[set][p] {
				t.cost[set][p], t.back[set][p] = c, step{meet: part}
			}
		}
	}
}

// forks says whether the trees to two parts of a set could both begin at a node: it needs a
// joint for each, and one to come in by. The source comes in by none, and a destination
// there needs none to go out by.
func (t *tree) forks(n, part, other int) bool {
	joints := 2
	if n != t.root {
		joints++
	}
	for i, e := range t.demand.ends {
		if e.node == n && (part == 1<<i || other == 1<<i) {
			joints--
			break
		}
	}
	return t.market.joints[n] >= joints
}

// spread lets the tree to a set of destinations begin further upstream (Dijkstra
// 1959), while it costs no more than ways that are known to all destinations. The last set is
// done when it comes to the source.
func (t *tree) spread(set int, most float64, last bool) {
	clear(t.turn.done)
	cost := t.cost[set]
	for {
		at, least := graph.None, math.Inf(1)
		for p, c := range cost {
			if c < least && !t.turn.done[p] {
				at, least = p, c
			}
		}
		if at == graph.None || least > most || last && at == t.root*t.layers {
			return
		}
		t.turn.done[at] = true
		t.turn.set, t.turn.place, t.turn.cost = set, at, least
		t.work += int64(len(cost) + len(t.market.Nodes[at/t.layers].Jacks)*len(t.market.Jacks))
		t.hopsInto(at)
	}
}

// follow goes on upstream from the place whose turn it is, by a hop that costs so much
// without its nodes, where that is cheaper than what is known.
func (t *tree) follow(from int, price float64, use [3]int32) {
	known := &t.cost[t.turn.set][from]
	if c := t.turn.cost + price + t.market.prices[from/t.layers]; c < *known-1e-12 {
		*known, t.back[t.turn.set][from] = c, step{to: t.turn.place, use: use}
	}
}

// uses are the resources of the tree from a place to a set of destinations, the nodes
// among them.
func (t *tree) uses(set, place int, all []int) []int {
	b := t.back[set][place]
	if b.meet != 0 {
		all = t.uses(b.meet, place, all)
		return t.uses(set&^b.meet, place, all)
	}
	all = append(all, t.market.node(place/t.layers))
	if b.to == graph.None {
		return all
	}
	for _, r := range b.use {
		if r >= 0 {
			all = append(all, int(r))
		}
	}
	return t.uses(set, b.to, all)
}
