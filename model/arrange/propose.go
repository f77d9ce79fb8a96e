package arrange

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
)

// ErrCannot is what cannot be arranged at all.
var ErrCannot = errors.New("this cannot be arranged")

// Layout is what lands where.
type Layout struct {
	columns *columns
	// least is a proved bound on the plugs of all sessions as the sum over columns has
	// them, in half plugs.
	least int64
	// left are ports for which there was no room.
	left []port
	// asked is how often sessions ask for the gear of each, by weight.
	asked map[string]int
	// mults are those that are missing, on columns of multColumns.
	mults       Mults
	multColumns map[int]bool
}

// Lay finds the layout with the best objective, as the sum over columns has it.
// It fails where there is nothing to arrange.
func Lay(q Request) (*Layout, error) {
	all, err := candidates(q)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// candidates are layouts that are worth a look, the best objective first: those
// of several starts and, in a room that is wired, the room as it is with better
// modes and what few moves make of it.
func candidates(q Request) ([]*Layout, error) {
	if q.Effort == 0 {
		q.Effort = DefaultEffort
	}
	r := newRoom(&q)
	if len(r.slots) == 0 {
		return nil, fmt.Errorf("%w: no column of a bay is free; each has a tie, a mult, a matrix, or something that is fixed", ErrCannot)
	}
	if len(r.outputs)+len(r.inputs) == 0 {
		return nil, fmt.Errorf("%w: no gear comes to the bays", ErrCannot)
	}
	asked := r.worth(&q)
	left := append(r.straight(&q), r.fit(&q)...)
	p := r.problem(&q, 1000*q.Effort)
	q.tell("matching outputs with inputs", 0, 1)
	m := p.match()
	if m.impossible && p.columns < r.mostColumns(p.demand) {
		p.columns = r.mostColumns(p.demand) // the spare ones are needed
		m = p.match()
	}
	if m.impossible {
		return nil, r.tooFew(&q)
	}
	var all []*Layout
	for _, c := range (search{&q, drafting{r, p, m, q.price()}}).tried() {
		if !slices.Contains(q.Waived, SidesAlike) {
			c = c.evened()
		}
		l := &Layout{columns: c, least: m.least, left: left, asked: asked, multColumns: map[int]bool{}}
		l.findMults(&q)
		all = append(all, l)
	}
	if len(all) == 0 && r.walled && q.Moves < 0 {
		return nil, fmt.Errorf("%w without a cable through a wall between rooms; add a bay in the room that has too few columns", ErrCannot)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%w with %d ports moved: no column may be as it is; allow more", ErrCannot, q.Moves)
	}
	return all, nil
}

// search looks for better layouts, from several that it begins with.
type search struct {
	*Request
	drafting drafting
}

// tried are the layouts of all starts, the best objective first.
func (q search) tried() []*columns {
	var all []*columns
	present := q.drafting.present()
	if present != nil {
		all = append(all, present.copied())
		all = append(all, q.nearPresent(present)...)
	}
	if q.Moves < 0 || present == nil {
		all = append(all, q.improved(q.drafting.starts())...)
	}
	all = slices.DeleteFunc(all, func(c *columns) bool { return walls{c}.crossed() })
	all = slices.DeleteFunc(all, func(c *columns) bool { return q.Moves >= 0 && present != nil && c.moves() > q.Moves })
	slices.SortStableFunc(all, func(a, b *columns) int { return cmp.Or(cmp.Compare(a.score(), b.score()), a.moves()-b.moves()) })
	return all
}

// mostImproved is how many starts are improved to the end.
const mostImproved = 2

// annealed is how many exchanges of an annealing are looked at for each column, in parts
// of the effort.
const annealed = 1200

// aside is the work for layouts that are made to compare with.
func (q *Request) aside() int {
	if q.Effort == 0 {
		return DefaultEffort / 5
	}
	return max(1, q.Effort/5)
}

// improved are the starts with longer lines, and the best of them with all
// exchanges that better them.
func (q search) improved(starts []*columns) []*columns {
	limit := q.Effort * 1_000_000 / mostImproved
	for n, c := range starts {
		q.tell("making lines of wiring longer", n, len(starts))
		exchanges{c, anyMoves}.join(limit)
	}
	slices.SortStableFunc(starts, func(a, b *columns) int { return cmp.Compare(a.score(), b.score()) })
	for n, c := range starts {
		if n < mostImproved {
			q.tell("putting columns in order", n, mostImproved)
			(&annealing{c: c, lots: 1}).run(q.Effort * annealed * len(c.top))
			exchanges{c, anyMoves}.improve(limit)
		}
		bringNear(c, q.Request)
	}
	return starts
}

// nearPresent are what few moves make of the room as it is: each port that
// changes its jack has a price, from high to low. With a bound on the moves the
// price is found by bisection, and exchanges within the bound are tried as well.
func (q search) nearPresent(present *columns) []*columns {
	at := func(price int64) *columns {
		c := present.copied()
		c.move = price
		limit, e := q.Effort*1_000_000/8, exchanges{c, anyMoves}
		e.improve(limit - e.join(limit))
		c.move = 0
		return c
	}
	weight := q.weight()
	if q.Moves < 0 {
		return []*columns{at(10 * weight), at(3 * weight), at(weight), at(0)}
	}
	bounded := exchanges{present.copied(), q.Moves}
	limit := q.Effort * 1_000_000 / 4
	bounded.improve(limit - bounded.join(limit))
	all := []*columns{bounded.columns}
	low, high := int64(0), 40*weight
	for low < high {
		q.tell("looking for few moves", int(low), int(high))
		middle := (low + high) / 2
		c := at(middle)
		if c.moves() <= q.Moves {
			all, high = append(all, c), middle
			continue
		}
		low = middle + 1
	}
	return all
}

// weight is that of all sessions together.
func (q *Request) weight() int64 {
	all := int64(0)
	for _, s := range q.Sessions {
		all += int64(max(1, s.Weight))
	}
	return all
}

// price is what the objective counts, in tenths of a plug.
func (q *Request) price() price {
	all := q.weight()
	p := price{plug: 10, line: all * int64(q.Tidy), apart: 1000 * all, kinds: 1000 * all}
	if !slices.Contains(q.Waived, UnitsTogether) {
		p.unit = p.line*3/5 + 1 // two columns of one are dearer than a line that they save
	}
	if slices.Contains(q.Waived, SidesTogether) {
		p.apart = 0
	}
	if slices.Contains(q.Waived, KindsApart) {
		p.kinds = 0
	}
	return p
}

func (q *Request) tell(doing string, done, of int) {
	if q.Progress != nil {
		q.Progress(doing, done, of)
	}
}

// wantsByCord are the wants of all sessions that a column's normal does not give, as
// pairs of an output and an input, with their weights.
func wantsByCord(c *columns, sessions []Weighted) map[pairing]int64 {
	outputs, inputs := numbers(c.room.outputs), numbers(c.room.inputs)
	below := c.below()
	all := map[pairing]int64{}
	for _, s := range sessions {
		for _, w := range s.Session.Wants {
			o, has := outputs[w.Source]
			i, ok := inputs[w.Destination]
			if has && ok && below[o] != i {
				all[pairing{o, i}] += int64(max(1, s.Weight))
			}
		}
	}
	return all
}
