package suspect

import (
	"fmt"
	"slices"
	"strings"
)

// Limits of what is looked for: mistakes in one explanation, and how much dearer
// than the cheapest one may be.
const (
	mostTogether = 3
	within       = 0.45
)

// group is the mistakes that change the same, the likeliest first.
type group struct {
	changes []difference
	members []Mistake
}

func (g group) cost() float64 { return g.members[0].Cost }

// groups are the mistakes whose every change was read.
func groups(all []suspicion, read map[int]Class) []group {
	index := map[string]int{}
	var found []group
	for _, s := range all {
		changes := shown(s.changes, read)
		if len(changes) == 0 || !wasRead(changes, read) {
			continue
		}
		key := keyOf(changes)
		at, known := index[key]
		if !known {
			at = len(found)
			index[key] = at
			found = append(found, group{changes: changes})
		}
		found[at].members = append(found[at].members, s.Mistake)
	}
	for _, g := range found {
		slices.SortStableFunc(g.members, byCost)
	}
	slices.SortStableFunc(found, func(a, b group) int { return byCost(a.members[0], b.members[0]) })
	return found
}

func byCost(a, b Mistake) int {
	switch {
	case a.Cost < b.Cost:
		return -1
	case a.Cost > b.Cost:
		return 1
	}
	return strings.Compare(string(a.Code), string(b.Code))
}

// shown are the changes of a mistake that a reading has to have, and those that it has: what
// comes through gear may be read as it should be, or as anything that is heard.
func shown(changes []difference, read map[int]Class) []difference {
	var made []difference
	for _, d := range changes {
		class, differs := read[d.at]
		switch {
		case d.class == ThroughGear && !differs:
			continue
		case d.class == ThroughGear && class != Absent:
			d.class = class
		}
		made = append(made, d)
	}
	return made
}

func wasRead(changes []difference, read map[int]Class) bool {
	for _, d := range changes {
		if class, differs := read[d.at]; !differs || !fits(d.class, class) {
			return false
		}
	}
	return true
}

func keyOf(changes []difference) string {
	var b strings.Builder
	for _, d := range changes {
		fmt.Fprintf(&b, "%d:%d ", d.at, d.class)
	}
	return b.String()
}

// explanation is groups that together change exactly what was read.
type explanation struct {
	groups []group
	cost   float64
}

// parts cuts what was read into parts that no mistake joins.
func parts(read map[int]Class, all []group) [][]int {
	part := map[int]int{}
	for at := range read {
		part[at] = at
	}
	for _, g := range all {
		for _, d := range g.changes {
			merge(part, part[g.changes[0].at], part[d.at])
		}
	}
	members := map[int][]int{}
	for at, p := range part {
		members[p] = append(members[p], at)
	}
	var found [][]int
	for _, m := range members {
		slices.Sort(m)
		found = append(found, m)
	}
	slices.SortFunc(found, func(a, b []int) int { return a[0] - b[0] })
	return found
}

func merge(part map[int]int, a, b int) {
	if a == b {
		return
	}
	for at, p := range part {
		if p == b {
			part[at] = a
		}
	}
}

// covers finds the sets of at most mostTogether groups that change each pair of
// a part exactly once, the cheapest first.
func covers(part []int, all []group) []explanation {
	var found []explanation
	best := 1e9
	var search func(open []int, chosen []group, cost float64)
	search = func(open []int, chosen []group, cost float64) {
		if cost > best+within {
			return
		}
		if len(open) == 0 {
			best = min(best, cost)
			found = append(found, explanation{slices.Clone(chosen), cost})
			return
		}
		if len(chosen) == mostTogether {
			return
		}
		for _, g := range all {
			if rest, ok := taken(open, g.changes); ok {
				search(rest, append(chosen, g), cost+g.cost())
			}
		}
	}
	search(part, nil, 0)
	slices.SortStableFunc(found, func(a, b explanation) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return len(a.groups) - len(b.groups)
	})
	return slices.DeleteFunc(found, func(e explanation) bool { return e.cost > best+within })
}

// taken takes a group's changes out of open pairs, if the first of those and all
// of its changes are among them.
func taken(open []int, changes []difference) ([]int, bool) {
	rest := slices.Clone(open)
	first := false
	for _, d := range changes {
		at, ok := slices.BinarySearch(rest, d.at)
		if !ok {
			return nil, false
		}
		first = first || d.at == open[0]
		rest = slices.Delete(rest, at, at+1)
	}
	return rest, first
}
