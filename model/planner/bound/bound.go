// Package bound finds a number of plugs that every plan handles at least: without any
// search, by regions of the room that a source has to come into, cords that no plan
// has, and normals that every plan breaks (Of); and by the cheapest ways of each source
// at prices of what sources share (Raise). It is held against what is proved of
// rooms so small that every patch can be tried.
package bound

import (
	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// Of is a number of plugs that every plan handles at least, found without any
// search. Where a cord of which one end moves counts as a new one, a plan costs
// two for each new cord, two for each old cord that is gone, less two for each of
// these that became one of those; and one for each dummy or lead that goes in or
// out, each plug of a cord that hangs likewise. So it costs at least what follows
// of what is sure:
//
//   - entries: regions of the room that a source has to come into by a new cord or
//     lead, or by a normal that a dummy breaks now, and cords more than these where
//     they are not enough;
//   - either: a destination that has its source only if a cord that is in goes, without
//     which another lacks its own: one of both has an entry (eithers);
//   - gone: cords that can be in no plan, each two;
//   - breaks: normals that have to be broken and that no cord of an entry breaks,
//     each one;
//   - needless: dummies that no plan has, and dummies that stand where an entry
//     must be, each one;
//   - less what is saved where a cord that is gone becomes that of an entry, or
//     hangs to break a normal (two), or breaks a normal with its other end (one),
//     as often as could be at best. A cord that is in no count adds two, and saves
//     no more than that.
//
// It takes a walk over the room, where a matrix is one place, for each source
// that is asked for and each destination that lacks it.
func Of(p *problem.Problem) int {
	f := newFacts(p, false)
	in := &entries{Graph: p.Graph, facts: f, walker: newWalker(f), bySource: map[int][]int{}, taken: map[int]map[int]bool{}}
	least := f.needlessDummies()
	for _, s := range f.asked() {
		least += in.enter(s)
	}
	for _, g := range f.gone {
		least += plugsOf(p.Present.Cords[g])
	}
	simple := in.rest()
	(&eithers{in, map[int]bool{}}).find()
	return max(0, least+in.pulled+max(simple, 2*in.groups+in.rest()))
}

// rest is how many normals are to be broken, less what cords of the present patch save
// that become what is counted.
func (f *entries) rest() int {
	b := &breaks{Graph: f.Graph, facts: f.facts, walker: f.walker, entries: f, counted: make([]bool, len(f.Normals)), used: map[int]bool{}, detours: map[int]int{}}
	b.find()
	s := savings{f.Graph, f.facts, f, b, map[int][]int{}}
	return len(b.list) - s.most()
}

func plugsOf(ends [2]int) int {
	if ends[1] == graph.None {
		return 1
	}
	return 2
}
