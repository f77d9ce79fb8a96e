package arrange

import (
	"fmt"
	"slices"
)

// A draft is a layout that a person changes by hand, to see what that costs.

// Row is what of the columns changes places.
type Row int

// The rows: whole columns, or what is wired to the upper or the lower jacks alone.
const (
	RowUnknown Row = iota
	BothRows
	TopRow
	BottomRow
)

// Sum is what a layout costs, as the sum over columns has it: plugs of all sessions by
// their weights, lines of wiring, and ports that change the jack that they have.
type Sum struct{ Plugs, Lines, Moves int }

// Sum is computed in time linear in the columns.
func (l *Layout) Sum() Sum {
	return Sum{int(l.columns.plugs()), l.columns.lines(), len(l.Moves())}
}

// Mults are those that the layout needs beside what the room has.
func (l *Layout) Mults() Mults { return l.mults }

// Left are the ports that found no room, with why.
func (l *Layout) Left() []Unplaced { return l.unplaced() }

// Present is the room as it is wired, with a normal wherever one pays. It fails where
// nothing is wired to the bays, or where a column is what no proposal would be.
func Present(q Request) (*Layout, error) {
	r := newRoom(&q)
	left := append(r.straight(&q), r.fit(&q)...)
	p := r.problem(&q, 1)
	p.tabulate()
	c := drafting{r, p, matched{}, q.price()}.present()
	if c == nil || len(left) > 0 {
		return nil, fmt.Errorf("%w as it is: nothing is wired to the bays yet, or a column is what no rule of the trade allows", ErrCannot)
	}
	l := &Layout{columns: c, asked: r.worth(&q), multColumns: map[int]bool{}}
	l.findMults(&q)
	return l, nil
}

// Exchanged is the layout in which two runs of so many columns, counted from 0 as
// Columns has them, have changed places. The layout itself stays as it is. It fails
// where a run ends outside, where they overlap, where what may not share a column would, or
// where a cable would go through a wall.
func (l *Layout) Exchanged(q Request, a, b, size int, row Row) (*Layout, error) {
	a, b = min(a, b), max(a, b)
	// No sums: numbers out of an address may be so large that a sum turns negative.
	if n := len(l.columns.top); size < 1 || size > n || a < 0 || b > n-size || b-a < size {
		return nil, fmt.Errorf("%w: two runs of %d columns do not change places there", ErrCannot, size)
	}
	c := l.columns.copied()
	c.pricing = c.pricing.unevened()
	c.swap(map[Row]part{RowUnknown: both, BothRows: both, TopRow: tops, BottomRow: bottoms}[row], a, b, size)
	for n := range c.top {
		if c.pricing.least(c.top[n], c.bottom[n]) >= forbidden {
			return nil, fmt.Errorf("%w: in column %d lines would meet that may not share one, such as of different kinds, or half of an insert", ErrCannot, c.room.slots[n].number)
		}
	}
	if n, p := (walls{c}).newlyCrossed(l.columns); n != none {
		at := c.room.slots[n]
		return nil, fmt.Errorf("%w: the cable of %s to pair %d of %s would go through a wall between rooms", ErrCannot, p.point, at.number, c.room.studio.Bays[at.bay].Name)
	}
	c.openCycles()
	return l.remade(&q, c), nil
}

// remade is the same layout with other columns: left and right of a pair are alike in them
// unless that rule is let go, and the mults are those that they need.
func (l *Layout) remade(q *Request, c *columns) *Layout {
	if !slices.Contains(q.Waived, SidesAlike) {
		c = c.evened()
	}
	made := &Layout{columns: c, least: l.least, left: l.left, asked: l.asked, multColumns: map[int]bool{}}
	made.findMults(q)
	return made
}
