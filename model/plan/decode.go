package plan

import (
	"slices"

	"bayhand/model/plan/clause"
)

// decode reads the answer found last as a draft.
func (e *encoding) decode() draft {
	var d draft
	for _, c := range e.cords {
		if e.Value(c.lit) {
			d.cords = append(d.cords, c.ends)
		}
	}
	for _, l := range e.leads {
		if e.Value(l.lit) {
			d.leads = append(d.leads, [2]int{l.port, l.jack})
		}
	}
	for j := range e.jacks {
		if e.loose[j] != clause.False && e.Value(e.loose[j]) {
			d.cords = append(d.cords, [2]int{j, nowhere})
		}
		if e.dummy[j] != clause.False && e.Value(e.dummy[j]) {
			d.dummies = append(d.dummies, j)
		}
	}
	for x, l := range e.closed {
		if l != clause.False && e.Value(l) {
			d.crosses = append(d.crosses, x)
		}
	}
	d.sort()
	return d
}

// remember makes the search try the things of a draft first.
func (e *encoding) remember(d draft) {
	has := func(l clause.Lit, in bool) {
		if l != clause.False && in {
			e.Prefer(l)
		}
	}
	for _, c := range e.cords {
		has(c.lit, slices.Contains(d.cords, c.ends))
	}
	for _, l := range e.leads {
		has(l.lit, slices.Contains(d.leads, [2]int{l.port, l.jack}))
	}
	for j := range e.jacks {
		has(e.loose[j], slices.Contains(d.cords, [2]int{j, nowhere}))
		has(e.dummy[j], slices.Contains(d.dummies, j))
	}
	for _, x := range d.crosses {
		has(e.closed[x], true)
	}
}
