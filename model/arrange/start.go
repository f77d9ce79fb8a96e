package arrange

import (
	"cmp"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// problem is the assignment of a room: an eighth of the columns is left blank
// where that leaves enough.
func (r *room) problem(q *Request, limit int) *problem {
	d := r.demand(q)
	need := max(d.outputs, d.inputs)
	columns := len(r.slots)
	if !slices.Contains(q.Waived, Spares) {
		columns = max(need, columns-(columns+7)/8)
	}
	// More columns than all ports alone take are only more work.
	columns = min(columns, d.outputs+d.inputs)
	return &problem{
		demand: d, columns: columns, limit: limit, tie: r.tie(d),
		passes:  r.through(func(g studio.Gear) []studio.Pass { return g.Passes }),
		canPass: r.through(func(g studio.Gear) []studio.Pass { return g.CanPass }),
	}
}

// tie prefers, of columns that cost the same, what a careful person would do:
// ports of one number over each other, of gear that sessions join, or of the same
// gear; then anything over anything before a blank.
func (r *room) tie(d *demand) func(o, i int) int64 {
	joined := map[[2]int]bool{}
	for _, wants := range d.wants {
		for o, inputs := range wants {
			for _, i := range inputs {
				if i < d.inputs {
					joined[[2]int{r.outputs[o].gear, r.inputs[i].gear}] = true
				}
			}
		}
	}
	return func(o, i int) int64 {
		if o == none && i == none {
			return 0
		}
		if o == none || i == none {
			return 12
		}
		out, in := r.outputs[o], r.inputs[i]
		far := int64(min(3, max(out.point.Number-in.point.Number, in.point.Number-out.point.Number)))
		switch {
		case joined[[2]int{out.gear, in.gear}]:
			return far
		case out.gear == in.gear:
			return 1 + far
		}
		return 6 + far
	}
}

// starts are layouts to begin with: the columns of the assignment, and those of the
// assignment of lefts with rights, in the order of their outputs and in that of
// their inputs; and each row in the order of the file.
func (r *room) starts(p *problem, m matched, price price) []*columns {
	matchings := [][]pairing{r.byPairs(p)}
	if matchings[0] == nil || price.apart == 0 {
		matchings = append(matchings, m.columns)
	}
	var all []*columns
	for _, pairs := range matchings {
		for _, order := range r.orders(pairs) {
			c := r.laid(p, m, order, price)
			c.openCycles()
			all = append(all, c)
		}
	}
	if c := r.laid(p, m, r.filed(), price); c.score() < forbidden && !c.cyclic() {
		all = append(all, c)
	}
	return all
}

// orders are columns in the order of their outputs, and in that of their inputs,
// kind by kind; none where there are no columns.
func (r *room) orders(pairs []pairing) [][]pairing {
	if pairs == nil {
		return nil
	}
	byOutput, byInput := clone(pairs), clone(pairs)
	slices.SortStableFunc(byOutput, func(a, b pairing) int {
		return cmp.Or(cmp.Compare(r.rank(a), r.rank(b)), cmp.Compare(uint(a.output), uint(b.output)), cmp.Compare(uint(a.input), uint(b.input)))
	})
	slices.SortStableFunc(byInput, func(a, b pairing) int {
		return cmp.Or(cmp.Compare(r.rank(a), r.rank(b)), cmp.Compare(uint(a.input), uint(b.input)), cmp.Compare(uint(a.output), uint(b.output)))
	})
	return [][]pairing{byOutput, byInput}
}

// rank orders kinds of line from left to right: microphones first.
func (r *room) rank(c pairing) studio.LineKind {
	kind := studio.LineUnknown
	if c.output != none {
		kind = r.outputs[c.output].kind
	}
	if c.input != none {
		kind = r.inputs[c.input].kind
	}
	switch kind {
	case studio.MicLevel:
		return 0
	case studio.InstrumentLevel:
		return 1
	}
	return 1 + kind
}

// filed are outputs over inputs as the file names them, kind by kind; inserts
// stand together.
func (r *room) filed() []pairing {
	var all []pairing
	byKind := map[studio.LineKind][2][]int{}
	kinds := []studio.LineKind{}
	add := func(kind studio.LineKind, row, n int) {
		if _, has := byKind[kind]; !has {
			kinds = append(kinds, kind)
		}
		rows := byKind[kind]
		rows[row] = append(rows[row], n)
		byKind[kind] = rows
	}
	for o, p := range r.outputs {
		if !slices.ContainsFunc(r.inserts, func(c pairing) bool { return c.output == o }) {
			add(p.kind, 0, o)
		}
	}
	for i, p := range r.inputs {
		if !slices.ContainsFunc(r.inserts, func(c pairing) bool { return c.input == i }) {
			add(p.kind, 1, i)
		}
	}
	for _, kind := range kinds {
		rows := byKind[kind]
		for n := range max(len(rows[0]), len(rows[1])) {
			all = append(all, pairing{at(rows[0], n), at(rows[1], n)})
		}
	}
	all = append(all, r.inserts...)
	slices.SortStableFunc(all, func(a, b pairing) int { return cmp.Compare(r.rank(a), r.rank(b)) })
	return all
}

func at(row []int, n int) int {
	if n < len(row) {
		return row[n]
	}
	return none
}

// present is the room as it is wired, with what is not wired yet in blanks; nil
// where nothing is wired, a port stands on a jack of the wrong row, or there is no
// room.
func (r *room) present(p *problem, m matched, price price) *columns {
	wired := func(one port) bool { return r.slotOf(one.jack) >= 0 }
	if !slices.ContainsFunc(r.outputs, wired) && !slices.ContainsFunc(r.inputs, wired) {
		return nil
	}
	c := r.laid(p, m, nil, price)
	put := func(row []int, ports []port, jack func(studio.Bay, int) name.Point) bool {
		for n, one := range ports {
			at := r.slotOf(one.jack)
			switch {
			case at < 0:
			case jack(r.studio.Bays[r.slots[at].bay], r.slots[at].number) != one.jack || row[at] != none:
				return false
			default:
				row[at] = n
			}
		}
		for n, one := range ports {
			if r.slotOf(one.jack) >= 0 {
				continue
			}
			at := slices.Index(row, none)
			if at < 0 {
				return false
			}
			row[at] = n
		}
		return true
	}
	if !put(c.top, r.outputs, studio.Bay.TopJack) || !put(c.bottom, r.inputs, studio.Bay.BottomJack) {
		return nil
	}
	c.place(0, len(c.top))
	c.openCycles()
	if c.score() >= forbidden {
		return nil
	}
	return c
}

// laid puts columns on the bays from the left, with a blank where the kind of line
// changes, as far as there are enough; the others are at the end.
func (r *room) laid(p *problem, m matched, all []pairing, price price) *columns {
	barred := map[pairing]bool{}
	for n, pair := range m.columns {
		if mode, _ := p.column(pair.output, pair.input).best(true); isNormal(mode) && !isNormal(m.modes[n]) {
			barred[pair] = true
		}
	}
	c := newColumns(r, newPricing(r, p, price, barred, map[pairing]bool{}))
	spare, at := len(r.slots)-len(all), 0
	for n, pair := range all {
		if n > 0 && spare > 0 && r.rank(all[n-1]) != r.rank(pair) {
			at, spare = at+1, spare-1
		}
		c.put(at, pair)
		at++
	}
	return c
}
