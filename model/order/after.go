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

// waiting are the units that each one waits for, by their places in the order:
// the last before it that it is bound to, and the one that brings its cord; and
// all units that must be done before one, directly or not.
func (a *arranger) waiting() (waits [][]int, earlier []map[int]bool) {
	own := newStock(a)
	for i, u := range a.done {
		var direct []int
		all := map[int]bool{}
		add := func(k int) {
			if all[k] {
				return
			}
			all[k] = true
			direct = append(direct, k)
			for j := range earlier[k] {
				all[j] = true
			}
		}
		for k := i - 1; k >= 0; k-- {
			if !all[k] && a.bound(u, a.done[k]) {
				add(k)
			}
		}
		if k, ok := own.supplier(u); ok {
			add(k)
		}
		own.bring(u, i)
		slices.Sort(direct)
		waits, earlier = append(waits, direct), append(earlier, all)
	}
	return waits, earlier
}

// dependencies say which steps wait for which.
type dependencies struct {
	*writer
	waits   [][]int
	earlier []map[int]bool
	// before are all steps that must be done before a step.
	before map[string]map[string]bool
}

func newDependencies(w *writer) *dependencies {
	waits, earlier := w.waiting()
	return &dependencies{writer: w, waits: waits, earlier: earlier, before: map[string]map[string]bool{}}
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
