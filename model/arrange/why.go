package arrange

import (
	"fmt"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Column is one column of the proposal, in a person's words.
type Column struct {
	Bay     string     `json:"bay"`
	Pair    int        `json:"pair"`
	Top     name.Point `json:"top,omitzero"`
	Bottom  name.Point `json:"bottom,omitzero"`
	Mode    string     `json:"mode"`
	Because string     `json:"because"`
}

// Columns are all columns that were arranged, blanks among them.
func (l *Layout) Columns() []Column {
	c := l.columns
	all := []Column{}
	for n, at := range c.room.slots {
		col := Column{Bay: c.room.studio.Bays[at.bay].Name, Pair: at.number, Mode: c.mode(n).String(), Because: c.because(n)}
		if o := c.top[n]; o != none {
			col.Top = c.room.outputs[o].point
		}
		if i := c.bottom[n]; i != none {
			col.Bottom = c.room.inputs[i].point
		}
		all = append(all, col)
	}
	return all
}

// because says why a column is as it is, and what another mode would cost.
func (c *columns) because(n int) string {
	o, i := c.top[n], c.bottom[n]
	switch {
	case o == none && i == none:
		return "blank, to spare"
	case o != none && i != none && c.demand.halved(o, i):
		return "an insert: its send over its return"
	case c.mode(n) == studio.Parallel:
		return "parallel: it is split in most sessions, and two front jacks save a mult"
	case c.barred[pairing{o, i}]:
		return "isolated: a normal here would let a signal go round"
	case o == none || i == none:
		return c.used(o, i)
	}
	if asked, tapped := c.asked(o, i); asked > 0 {
		return c.whyNormal(o, i, asked, tapped)
	}
	if c.room.outputs[o].point.Owner == c.room.inputs[i].point.Owner {
		return "isolated: both belong to " + c.room.outputs[o].point.Owner + ", and no session asks for one from the other"
	}
	return "isolated: no session asks for it"
}

// asked is in how many sessions an input wants an output, and in how many of them
// another one wants it too.
func (c *columns) asked(o, i int) (asked, tapped int) {
	d := c.demand
	for s := range d.weights {
		if d.asks(s, o, i) {
			asked++
			if len(d.wants[s][o]) > 1 {
				tapped++
			}
		}
	}
	return asked, tapped
}

func (c *columns) whyNormal(o, i, asked, tapped int) string {
	mode, cost := c.column(o, i).best(true)
	parts := []string{fmt.Sprintf("%s: asked for in %d of %s", mode, asked, counted(len(c.demand.weights), "session"))}
	if tapped > 0 {
		parts = append(parts, fmt.Sprintf("tapped in %d", tapped))
	}
	other := studio.FullNormal
	if mode == studio.FullNormal {
		other = studio.HalfNormal
	}
	if more := c.column(o, i)[other] - cost; more > 0 && more < forbidden {
		parts = append(parts, fmt.Sprintf("%s would cost %s more", other, counted(int(more), "plug")))
	}
	return strings.Join(parts, "; ")
}

// used says in how many sessions a port alone in its column is used.
func (c *columns) used(o, i int) string {
	d, used := c.demand, 0
	for s := range d.weights {
		in := false
		if o != none {
			in = len(d.wants[s][o]) > 0
		}
		for out := 0; i != none && out < d.outputs; out++ {
			in = in || d.asks(s, out, i)
		}
		if in {
			used++
		}
	}
	if used == 0 {
		return "alone: no session uses it"
	}
	return fmt.Sprintf("alone: used in %d of %s, from many places", used, counted(len(d.weights), "session"))
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
