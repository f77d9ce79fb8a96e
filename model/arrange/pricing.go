package arrange

import (
	"maps"
	"math"

	"bayhand/model/studio"
)

// pricing is what ports cost over and beside each other, whatever order the columns
// stand in: it is worked out once, so that a look at an exchange takes a few steps.
// Layouts share it as long as nothing but their order differs.
type pricing struct {
	*problem
	room  *room
	price price
	// barred are columns that get no normal, since it would close a cycle. Evened are
	// those with a half-normal only because their other side, left or right, has one.
	barred, evened map[pairing]bool
	wide           int // inputs, and the blank
	// cells are the costs of an output over an input, the blank first; a cost that does not
	// fit is dear. Normalled says whether there is a normal between them. Cells are of 32
	// bits since in large rooms a search takes the time of fetching them from memory.
	cells       []int32
	normalled   []bool
	top, bottom rowPrices
	flow        flow
	// weight is that of all sessions together.
	weight int64
}

// price is what the objective counts, in tenths of a plug of all sessions: a plug,
// a line of wiring, left and right of a pair apart, kinds of line side by side, and an
// output of a unit over what is not its own input, with no normal.
type price struct{ plug, line, apart, kinds, unit int64 }

// rowPrices are the lines of wiring of a row.
type rowPrices struct {
	// before is the port that each one follows in a line of wiring, begins what it costs
	// where another one, or none, stands there.
	before []int
	begins []int64
}

// alone is said of a port that follows none.
const alone = -2

// newPricing takes time linear in the outputs times the inputs. The maps are the
// pricing's own from then on.
func newPricing(r *room, p *problem, price price, barred, evened map[pairing]bool) *pricing {
	c := &pricing{problem: p, room: r, price: price, barred: barred, evened: evened, weight: p.demand.weight()}
	c.sumUp()
	if r.zoned {
		c.flow = newFlow(p.demand)
	}
	return c
}

// repriced is the same pricing with other prices.
func (c *pricing) repriced(price price) *pricing {
	return newPricing(c.room, c.problem, price, maps.Clone(c.barred), maps.Clone(c.evened))
}

// unevened is the same pricing in which no column has a half-normal that nobody asks for.
func (c *pricing) unevened() *pricing {
	return newPricing(c.room, c.problem, c.price, maps.Clone(c.barred), map[pairing]bool{})
}

func (c *pricing) sumUp() {
	d := c.demand
	c.wide = d.inputs + 1
	c.cells, c.normalled = make([]int32, (d.outputs+1)*c.wide), make([]bool, (d.outputs+1)*c.wide)
	for o := none; o < d.outputs; o++ {
		for i := none; i < d.inputs; i++ {
			c.sumOne(pairing{o, i})
		}
	}
	c.top, c.bottom = c.rowPrices(c.room.outputs), c.rowPrices(c.room.inputs)
}

// sumOne is told of an output over an input whose mode may be another one now.
func (c *pricing) sumOne(p pairing) {
	at := c.at(p.output, p.input)
	c.cells[at] = int32(min(c.sum(p), dear))
	c.normalled[at] = p.output != none && p.input != none && isNormal(c.mode(p))
}

// dear is said of cells that cost as much or more.
const dear = math.MaxInt32

// sum is what an output over an input costs in the objective.
func (c *pricing) sum(p pairing) int64 { return c.cost(p)*c.price.plug + c.unit(p.output, p.input) }

// cell is the same, without a sum but for what is dear.
func (c *pricing) cell(o, i int) int64 {
	if v := c.cells[c.at(o, i)]; v < dear {
		return int64(v)
	}
	return c.sum(pairing{o, i})
}

func (c *pricing) at(o, i int) int { return (o+1)*c.wide + i + 1 }

// bar takes the normal of a column out.
func (c *pricing) bar(p pairing) {
	c.barred[p] = true
	c.sumOne(p)
}

// even gives a column a half-normal that nobody asks for, or takes that back.
func (c *pricing) even(p pairing, on bool) {
	if on {
		c.evened[p] = true
	} else {
		delete(c.evened, p)
	}
	c.sumOne(p)
}

// cost is that of a column in the best mode that it may have, in plugs.
func (c *pricing) cost(p pairing) int64 {
	switch {
	case c.evened[p]:
		return c.column(p.output, p.input)[studio.HalfNormal]
	case c.barred[p]:
		_, cost := c.column(p.output, p.input).best(false)
		return cost
	}
	return c.least(p.output, p.input)
}

// mode is what an output over an input does, where each pair is set by itself.
func (c *pricing) mode(p pairing) studio.Mode {
	if c.evened[p] {
		return studio.HalfNormal
	}
	mode, _ := c.column(p.output, p.input).best(!c.barred[p])
	return mode
}

// costIn is what a column costs in a mode: what stands over or under a blank has
// nothing to be normalled to.
func (c *pricing) costIn(p pairing, m studio.Mode) int64 {
	switch {
	case isNormal(m) && c.barred[p]:
		return forbidden
	case isNormal(m) && (p.output == none || p.input == none):
		m = studio.Isolated
	}
	return c.column(p.output, p.input)[m]
}

// unit is what an output costs that stands over what is not its own input, with no
// normal.
func (c *pricing) unit(o, i int) int64 {
	if c.price.unit > 0 && o != none && c.astray(o, i) {
		return c.price.unit
	}
	return 0
}

// astray says whether an output of a unit stands over what is not its own input, with
// no normal between them.
func (c *pricing) astray(o, i int) bool {
	own := c.room.outputs[o].own
	return own != none && own != i && c.column(o, i)[studio.Isolated] <= c.least(o, i)
}

func (c *pricing) rowPrices(ports []port) rowPrices {
	s := rowPrices{make([]int, len(ports)), make([]int64, len(ports))}
	for n, p := range ports {
		s.before[n], s.begins[n] = alone, c.price.line
		if p.follows {
			s.before[n] = n - 1
		}
		if p.right {
			s.begins[n] += c.price.apart
		}
	}
	return s
}

// seam is what stands between two jacks of a row side by side: the line that begins
// at the right one, and what it costs to part left and right of a pair.
func (s *rowPrices) seam(left, right int) int64 {
	if right < 0 || s.before[right] == left {
		return 0
	}
	return s.begins[right]
}
