package arrange

import "bayhand/model/studio"

// sums are what columns, and the seams between them, cost by the numbers of their
// ports, so that a look at an exchange takes a few steps. They hold as long as nothing
// but the order of the ports changes.
type sums struct {
	wide int // inputs, and the blank
	// cells are what an output over an input costs, and normals whether it has a normal;
	// a blank comes before all ports.
	cells       []int64
	normals     []bool
	top, bottom rowSums
}

// rowSums are the lines of wiring of a row.
type rowSums struct {
	// before is the port that each one follows in a line of wiring, begins what it costs
	// where it follows no other.
	before []int
	begins []int64
}

// alone is said of a port that follows no other.
const alone = -2

// summed are the sums of a layout, made when they are asked for.
func (c *columns) summed() *sums {
	if c.sums == nil {
		c.sums = c.sumUp()
	}
	return c.sums
}

// sumUp takes time linear in the outputs times the inputs.
func (c *columns) sumUp() *sums {
	d := c.demand
	s := &sums{wide: d.inputs + 1}
	s.cells, s.normals = make([]int64, (d.outputs+1)*s.wide), make([]bool, (d.outputs+1)*s.wide)
	for o := none; o < d.outputs; o++ {
		for i := none; i < d.inputs; i++ {
			c.sumOne(s, pairing{o, i})
		}
	}
	s.top, s.bottom = c.rowSums(c.room.outputs), c.rowSums(c.room.inputs)
	return s
}

// sumOne is told of an output over an input whose mode may be another one now. The sums
// have to be those of this layout alone.
func (c *columns) sumOne(s *sums, p pairing) {
	at := s.at(p.output, p.input)
	s.cells[at] = c.cost(p.output, p.input)*c.price.plug + c.unit(p.output, p.input)
	s.normals[at] = p.output != none && p.input != none && isNormal(c.pairMode(p.output, p.input))
}

func (s *sums) at(o, i int) int { return (o+1)*s.wide + i + 1 }

func (c *columns) rowSums(ports []port) rowSums {
	s := rowSums{make([]int, len(ports)), make([]int64, len(ports))}
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
func (s *rowSums) seam(left, right int) int64 {
	if right < 0 || s.before[right] == left {
		return 0
	}
	return s.begins[right]
}

// pairMode is what an output over an input does, where each pair is set by itself.
func (c *columns) pairMode(o, i int) studio.Mode {
	at := pairing{o, i}
	if len(c.evened) > 0 && c.evened[at] {
		return studio.HalfNormal
	}
	mode, _ := c.column(o, i).best(len(c.barred) == 0 || !c.barred[at])
	return mode
}

// unit is what an output costs that stands over what is not its own input, with no
// normal.
func (c *columns) unit(o, i int) int64 {
	if c.price.unit > 0 && o != none && c.astray(o, i) {
		return c.price.unit
	}
	return 0
}
