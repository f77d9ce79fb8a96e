package bound

import (
	"slices"

	"bayhand/model/graph"
)

// alone are the normals that every plan breaks where no cord with a signal that is asked for
// could: each costs a plug beside all ways.
type alone struct {
	*facts
	savings       savings
	jacks, others []int // of these breaks, and of those that a cord on a way could make
	count         int
}

func newAlone(f *facts, w *walker) *alone {
	in := &entries{Graph: f.problem.Graph, facts: f, walker: w, bySource: map[int][]int{}, taken: map[int]map[int]bool{}}
	b := &breaks{Graph: f.problem.Graph, facts: f, walker: w, entries: in, counted: make([]bool, len(f.problem.Normals)), used: map[int]bool{}, detours: map[int]int{}}
	b.find()
	a := &alone{facts: f, savings: savings{f.problem.Graph, f, in, b, map[int][]int{}}}
	sources := f.asked()
	b.list = slices.DeleteFunc(b.list, func(one breaking) bool {
		brought := slices.ContainsFunc(one.jacks, func(j int) bool {
			return slices.ContainsFunc(sources, func(s int) bool { return f.brings(s, j) })
		})
		if brought {
			a.others = append(a.others, one.jacks...)
		} else {
			a.jacks = append(a.jacks, one.jacks...)
		}
		return brought
	})
	a.count = len(b.list)
	return a
}

// mends says whether a cord has a plug where it makes one of the breaks if it is left hanging.
func (a *alone) mends(c [2]int) bool {
	return c[1] != graph.None && (slices.Contains(a.jacks, c[0]) || slices.Contains(a.jacks, c[1]))
}

// hangs says whether an old cord could be left hanging for a normal that is in no count. With
// its other end in a break that stands alone it is in no plan: it would carry nothing there.
func (a *alone) hangs(i int) bool {
	c := a.problem.Present.Cords[i]
	if c[1] == graph.None {
		return false
	}
	return a.savings.hangs(i) || slices.Contains(a.others, c[0]) || slices.Contains(a.others, c[1])
}
