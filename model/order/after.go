package order

import (
	"slices"

	"bayhand/model/plan"
)

// bound says whether two units must be done in the order found. Units that
// cannot meet are not: two people and a matrix can work at once.
func (a *arranger) bound(u, v *unit) bool {
	return a.zones.meet(u, v) || a.zones.clicksBy(u, v) || a.zones.clicksBy(v, u)
}

// dependencies say which units wait for which, by their places in the order, and
// which steps for which.
type dependencies struct {
	*writer
	// waits are the units that one waits for, all those before it that it is
	// bound to, and the one that brings its cord.
	waits [][]int
	// earlier are all units that must be done before one, directly or not.
	earlier []map[int]bool
	// before are all steps that must be done before a step.
	before map[string]map[string]bool
}

func newDependencies(w *writer) *dependencies {
	d := &dependencies{writer: w, before: map[string]map[string]bool{}}
	own := newStock(w.arranger)
	for i, u := range w.done {
		var waits []int
		earlier := map[int]bool{}
		add := func(k int) {
			if !earlier[k] {
				earlier[k] = true
				waits = append(waits, k)
				for j := range d.earlier[k] {
					earlier[j] = true
				}
			}
		}
		for k := i - 1; k >= 0; k-- {
			if !earlier[k] && w.bound(u, w.done[k]) {
				add(k)
			}
		}
		if k, ok := own.supplier(u); ok {
			add(k)
		}
		own.bring(u, i)
		slices.Sort(waits)
		d.waits, d.earlier = append(d.waits, waits), append(d.earlier, earlier)
	}
	return d
}

// stepsOf are the steps of units.
func (d *dependencies) stepsOf(units []int) []string {
	var ids []string
	for _, i := range units {
		ids = append(ids, d.ids[d.done[i]])
	}
	return ids
}

// common are the steps that must be done before each of the units that need
// something: whatever it is, nobody needs it sooner.
func (d *dependencies) common(needs func(*unit) bool) []string {
	var common []int
	first := true
	for i, u := range d.done {
		switch {
		case !needs(u):
		case first:
			first = false
			for k := range i {
				if d.earlier[i][k] {
					common = append(common, k)
				}
			}
		default:
			common = slices.DeleteFunc(common, func(k int) bool { return !d.earlier[i][k] })
		}
	}
	return d.stepsOf(common)
}

// reduced are steps to wait for without those that the others wait for anyway.
func (d *dependencies) reduced(after []string) []string {
	kept := []string{}
	for i, id := range after {
		implied := slices.ContainsFunc(after, func(other string) bool { return other != id && d.before[other][id] })
		if !implied && !slices.Contains(after[:i], id) {
			kept = append(kept, id)
		}
	}
	return kept
}

// did notes what a step waits for.
func (d *dependencies) did(s plan.Step) {
	before := map[string]bool{}
	for _, a := range s.After {
		before[a] = true
		for b := range d.before[a] {
			before[b] = true
		}
	}
	d.before[s.ID] = before
}
