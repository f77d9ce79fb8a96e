package order

import (
	"slices"

	"bayhand/model/plan"
)

// dependencies say which steps wait for which. Steps that cannot meet do not
// wait for each other: two people and a matrix can work at once.
type dependencies struct {
	*writer
	stock  *stock
	before map[string][]string // all steps before a step
}

func newDependencies(w *writer) *dependencies {
	return &dependencies{writer: w, stock: newStock(w.arranger), before: map[string][]string{}}
}

// of are the steps that the unit at a place waits for, without those that the
// others wait for anyway.
func (d *dependencies) of(at int) []string {
	u := d.done[at]
	var after []string
	add := func(id string) {
		if id != "" && !slices.Contains(after, id) {
			after = append(after, id)
		}
	}
	for _, g := range d.room.Studio().Gear {
		if slices.Contains(u.quiets, g.Name) {
			add(d.muted[g.Name])
		}
	}
	for _, p := range u.unpowers {
		add(d.unpowered[p])
	}
	for _, v := range d.done[:at] {
		if d.zones.meet(u, v) || d.zones.clicksBy(u, v, d.rules.speakers) || d.zones.clicksBy(v, u, d.rules.speakers) {
			add(d.ids[v])
		}
	}
	add(d.stock.supplier(u))
	return d.reduced(after)
}

func (d *dependencies) reduced(after []string) []string {
	kept := []string{}
	for _, id := range after {
		implied := slices.ContainsFunc(after, func(other string) bool {
			return other != id && slices.Contains(d.before[other], id)
		})
		if !implied {
			kept = append(kept, id)
		}
	}
	return kept
}

// did notes that a unit has become a step.
func (d *dependencies) did(u *unit, s plan.Step) {
	before := slices.Clone(s.After)
	for _, a := range s.After {
		before = append(before, d.before[a]...)
	}
	slices.Sort(before)
	d.before[s.ID] = slices.Compact(before)
	d.stock.bring(u, s.ID)
}
