package arrange

import (
	"container/heap"
	"slices"

	"bayhand/model/studio"
)

// problem is which outputs stand over which inputs in so many columns, and what
// gear passes from input to output.
type problem struct {
	demand  *demand
	columns int
	// passes[i] are the outputs that an input always goes through to; canPass those
	// that a desk or a switch could let through.
	passes, canPass [][]int
	// tie breaks equal costs: small numbers, less than 1 << (tieBits - 1) in all.
	tie func(o, i int) int64
	// limit bounds how many assignments are made.
	limit int
	table [][]column
	// cheapest[o][i] is the cost of the best mode of a column, priced[o][i] the same
	// as the assignment counts it, with the tie.
	cheapest, priced [][]int64
}

// tieBits are the bits of a cost below the plugs.
const tieBits = 20

// matched is which output stands over which input: column by column, in no order.
type matched struct {
	columns []pairing
	// modes of the columns.
	modes []studio.Mode
	// halves is the cost of all columns, in half plugs; least a proved lower bound
	// on it.
	halves, least int64
	// impossible is true where inserts alone make a cycle, or where what may not
	// share a column has to.
	impossible bool
}

type pairing struct{ output, input int }

// node is a set of normals that are not made, with its assignment, whose cost is
// a lower bound for all nodes below it.
type node struct {
	barred []pairing
	found  *assignment
	bound  int64
}

type frontier []*node

func (f frontier) Len() int           { return len(f) }
func (f frontier) Less(i, j int) bool { return f[i].bound < f[j].bound }
func (f frontier) Swap(i, j int)      { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(x any)        { *f = append(*f, x.(*node)) }
func (f *frontier) Pop() any {
	last := len(*f) - 1
	n := (*f)[last]
	*f = (*f)[:last]
	return n
}

// match finds the cheapest matching without a cycle of normals and passes. It
// branches, the best bound first, on which normal of a cycle is not made; each
// node costs one augmenting path. With the limit reached the best so far and its
// bound are given.
func (p *problem) match() matched {
	p.tabulate()
	root := &node{found: newAssignment(p.rows())}
	root.bound = root.found.total()
	open := frontier{root}
	var best *node
	bestPlugs := int64(forbidden) << tieBits
	seen := map[string]bool{}
	for made := 1; open.Len() > 0; {
		n := heap.Pop(&open).(*node)
		if n.bound >= bestPlugs {
			break
		}
		cycle, soft := p.cycle(n)
		if cost := n.bound + soft; len(cycle) == 0 || soft > 0 {
			if cost < bestPlugs {
				best, bestPlugs = n, cost
			}
			if soft == 0 {
				break
			}
		}
		if made >= p.limit {
			return p.settled(best, n, bestPlugs)
		}
		for _, normal := range cycle {
			if child := p.without(n, normal, seen); child != nil {
				heap.Push(&open, child)
				made++
			}
		}
	}
	if best == nil || bestPlugs >= forbidden<<tieBits {
		return matched{impossible: true}
	}
	return p.result(best, bestPlugs, bestPlugs)
}

// tabulate computes each column once. The last row and column are blanks.
func (p *problem) tabulate() {
	d := p.demand
	p.table, p.cheapest, p.priced = make([][]column, d.outputs+1), make([][]int64, d.outputs+1), make([][]int64, d.outputs+1)
	for o := range p.table {
		p.table[o], p.cheapest[o], p.priced[o] = make([]column, d.inputs+1), make([]int64, d.inputs+1), make([]int64, d.inputs+1)
		for i := range p.table[o] {
			top, bottom := orNone(o, d.outputs), orNone(i, d.inputs)
			p.table[o][i] = d.column(top, bottom)
			_, p.cheapest[o][i] = p.table[o][i].best(true)
			p.priced[o][i] = p.tieBroken(top, bottom, p.cheapest[o][i])
		}
	}
}

// tieBroken is what the assignment counts for a column of a cost.
func (p *problem) tieBroken(o, i int, cost int64) int64 {
	if cost >= forbidden {
		return forbidden << tieBits
	}
	return cost<<tieBits + p.tie(o, i)
}

// least is the cost of the best mode of a column.
func (p *problem) least(o, i int) int64 {
	if o == none {
		o = p.demand.outputs
	}
	if i == none {
		i = p.demand.inputs
	}
	return p.cheapest[o][i]
}

// orNone is a number below the count, else a blank.
func orNone(n, count int) int {
	if n < count {
		return n
	}
	return none
}

// column is what was tabulated.
func (p *problem) column(o, i int) column {
	if o == none {
		o = p.demand.outputs
	}
	if i == none {
		i = p.demand.inputs
	}
	return p.table[o][i]
}

// rows are the costs of an assignment: rows are outputs, then blanks, and columns
// inputs, then blanks.
func (p *problem) rows() [][]int64 {
	d := p.demand
	rows := make([][]int64, p.columns)
	for r := range rows {
		if r > d.outputs {
			rows[r] = rows[d.outputs]
			continue
		}
		rows[r] = make([]int64, p.columns)
		for c := range rows[r] {
			rows[r][c] = p.priced[r][min(c, d.inputs)]
		}
	}
	return rows
}

// isolatedIn is the row of an output with one more input to which it gets no normal.
func (p *problem) isolatedIn(row []int64, at pairing) []int64 {
	dearer := clone(row)
	_, cost := p.table[at.output][at.input].best(false)
	dearer[at.input] = p.tieBroken(at.output, at.input, cost)
	return dearer
}

// without is the node in which one more normal is not made; nil where that set
// was there already.
func (p *problem) without(n *node, normal pairing, seen map[string]bool) *node {
	barred := append(clone(n.barred), normal)
	slices.SortFunc(barred, func(a, b pairing) int {
		if a.output != b.output {
			return a.output - b.output
		}
		return a.input - b.input
	})
	key := ""
	for _, b := range barred {
		key += string(rune(b.output)) + string(rune(b.input))
	}
	if seen[key] {
		return nil
	}
	seen[key] = true
	child := &node{barred: barred, found: n.found.grown(normal.output, p.isolatedIn(n.found.rows[normal.output], normal))}
	child.bound = child.found.total()
	return child
}

// normals are the columns of a node that have a normal: of each output the input
// below it, else none.
func (p *problem) normals(n *node) []int {
	d := p.demand
	below := make([]int, d.outputs)
	for o := range below {
		below[o] = none
		i := orNone(n.found.columnOf[o], d.inputs)
		if i == none || slices.Contains(n.barred, pairing{o, i}) {
			continue
		}
		mode, _ := p.column(o, i).best(true)
		if isNormal(mode) {
			below[o] = i
		}
	}
	return below
}

// cycle is the normals of a cycle in a node; none where there is none. One that
// only a desk or a switch could close is given with what it costs: half a plug a
// session.
func (p *problem) cycle(n *node) (normals []pairing, soft int64) {
	below := p.normals(n)
	if c := cycleIn(below, p.passes, nil); c != nil {
		return c, 0
	}
	c := cycleIn(below, p.passes, p.canPass)
	if c == nil {
		return nil, 0
	}
	for _, w := range p.demand.weights {
		soft += w << tieBits / 2
	}
	return c, soft
}

// cycleIn is a cycle of normals and passes, as its normals; nil where there is
// none. It takes time linear in normals and passes.
func cycleIn(below []int, passes, more [][]int) []pairing {
	state := make([]uint8, len(below)) // 1 on the way, 2 done
	var way, cycle []pairing
	var visit func(o int) bool
	visit = func(o int) bool {
		i := below[o]
		if i == none || state[o] == 2 {
			return false
		}
		if state[o] == 1 {
			at := slices.IndexFunc(way, func(p pairing) bool { return p.output == o })
			cycle = clone(way[at:])
			return true
		}
		state[o] = 1
		way = append(way, pairing{o, i})
		through := passes[i]
		if more != nil {
			through = slices.Concat(through, more[i])
		}
		for _, next := range through {
			if visit(next) {
				return true
			}
		}
		way = way[:len(way)-1]
		state[o] = 2
		return false
	}
	for o := range below {
		if visit(o) {
			return cycle
		}
	}
	return nil
}

// settled is the answer where the limit was reached: the best that was found, or
// the node at hand with every normal of its cycles taken out.
func (p *problem) settled(best, at *node, cost int64) matched {
	least := at.bound
	if best == nil {
		best = at
		for {
			cycle, soft := p.cycle(best)
			if cost = best.bound + soft; len(cycle) == 0 || soft > 0 {
				break
			}
			barred := append(clone(best.barred), cycle[0])
			best = &node{barred: barred, found: best.found.grown(cycle[0].output, p.isolatedIn(best.found.rows[cycle[0].output], cycle[0]))}
			best.bound = best.found.total()
		}
	}
	if best.bound >= forbidden<<tieBits {
		return matched{impossible: true}
	}
	return p.result(best, cost, least)
}

// result reads the columns of a node: each with an output, an input or both.
func (p *problem) result(n *node, cost, least int64) matched {
	d := p.demand
	m := matched{halves: cost >> (tieBits - 1), least: least >> (tieBits - 1)}
	for r, c := range n.found.columnOf {
		o, i := orNone(r, d.outputs), orNone(c, d.inputs)
		if o == none && i == none {
			continue
		}
		mode, _ := p.column(o, i).best(!slices.Contains(n.barred, pairing{o, i}))
		m.columns, m.modes = append(m.columns, pairing{o, i}), append(m.modes, mode)
	}
	return m
}
