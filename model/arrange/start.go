package arrange

import (
	"cmp"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// drafting makes layouts to begin with, of an assignment and the columns that solve it.
type drafting struct {
	*room
	costs  *problem
	solved matched
	price  price
}

// starts are layouts to begin with: the columns of the assignment, and those of the
// assignment of lefts with rights, in the order of their outputs and in that of
// their inputs; and each row in the order of the file.
func (r drafting) starts() []*columns {
	matchings := [][]pairing{r.byPairs()}
	if matchings[0] == nil || r.price.apart == 0 {
		matchings = append(matchings, r.solved.columns)
	}
	var all []*columns
	for _, pairs := range matchings {
		for _, order := range r.orders(pairs) {
			c := r.laid(order)
			walls{c}.keepWithin()
			c.openCycles()
			all = append(all, c)
		}
	}
	filed := r.filed()
	if len(filed) > len(r.slots) {
		return all // kinds that may share columns have to
	}
	c := r.laid(filed)
	walls{c}.keepWithin()
	if c.score() < forbidden && !c.cyclic() {
		all = append(all, c)
	}
	return all
}

// orders are columns in the order of their outputs, and in that of their inputs,
// kind by kind; none where there are no columns.
func (r drafting) orders(pairs []pairing) [][]pairing {
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
func (r drafting) rank(c pairing) studio.LineKind {
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
func (r drafting) filed() []pairing {
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
func (r drafting) present() *columns {
	wired := func(one port) bool { return r.slotOf(one.jack) >= 0 }
	if !slices.ContainsFunc(r.outputs, wired) && !slices.ContainsFunc(r.inputs, wired) {
		return nil
	}
	c := r.laid(nil)
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
	walls{c}.keepWithin()
	c.openCycles()
	if c.score() >= forbidden {
		return nil
	}
	return c
}

// laid puts columns on the bays from the left, with a blank where the kind of line
// changes, as far as there are enough; the others are at the end.
func (r drafting) laid(all []pairing) *columns {
	barred := map[pairing]bool{}
	for n, pair := range r.solved.columns {
		if mode, _ := r.costs.column(pair.output, pair.input).best(true); isNormal(mode) && !isNormal(r.solved.modes[n]) {
			barred[pair] = true
		}
	}
	c := newColumns(r.room, newPricing(r.room, r.costs, r.price, barred, map[pairing]bool{}))
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
