package plan

import "slices"

// breaking is a normal that every plan breaks, by a plug that is in no other
// count, in one of some jacks.
type breaking struct {
	jacks []int
}

// findBreaks finds the normals that would bring gear to where it must not be, that
// nothing breaks which could stay, and that no cord of an entry can break: such a
// cord carries what it is for to both its ends, and ends in no dead end that does
// not lack that. No two have a jack in common.
func (f *floorer) findBreaks() {
	used := map[int]bool{}
	for i, m := range f.normals {
		a, b := f.jacks[m.a].node, f.jacks[m.b].node
		if a == b || !f.clashes(a, b) && !f.clashes(b, a) {
			continue
		}
		var jacks []int
		open := true
		for _, j := range []int{m.a, m.b} {
			if !m.breaks(j) {
				continue
			}
			jacks = append(jacks, j)
			if used[j] || f.held[j] != holdsNothing && !(f.held[j] == holdsDummy && f.dummyGoes(j)) || f.entered(j) {
				open = false
			}
		}
		if !open || len(jacks) == 0 {
			continue
		}
		for _, j := range jacks {
			used[j] = true
		}
		f.breaks = append(f.breaks, breaking{jacks})
		f.counted[i] = true
	}
}

// clashes says whether what always drives a node must not come to another.
func (f *floorer) clashes(n, m int) bool {
	return f.intrudes(n, m) || len(f.always(n)) > 0 && len(f.always(m)) > 0
}

// entered says whether the cord or lead of an entry could have a plug in a jack.
func (f *floorer) entered(j int) bool {
	n := f.jacks[j].node
	return slices.ContainsFunc(f.entries, func(e entry) bool {
		return f.mayBe(n, e.source) && (!f.deadEnd(j) || e.asks[n])
	})
}
