// Package bound finds a number of plugs that every plan handles at least, without any
// search: by regions of the room that a source has to come into, cords that no plan
// has, and normals that every plan breaks. It is held against what is proved of
// rooms so small that every patch can be tried.
package bound

import (
	"maps"
	"slices"

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
//     they are not enough (floor_entry.go);
//   - gone: cords that can be in no plan, each two (floor_gone.go);
//   - breaks: normals that have to be broken and that no cord of an entry breaks,
//     each one (floor_break.go);
//   - needless: dummies that no plan has, and dummies that stand where an entry
//     must be, each one;
//   - less what is saved where a cord that is gone becomes that of an entry, or
//     hangs to break a normal (two), or breaks a normal with its other end (one),
//     as often as could be at best. A cord that is in no count adds two, and saves
//     no more than that.
//
// It takes a walk over the room, where a matrix is one place, for each source
// that is asked for and each destination that lacks it.
func Of(t *problem.Problem) int {
	f := newFloor(t)
	least := 0
	for _, s := range f.asked() {
		least += f.enter(s)
	}
	f.findBreaks()
	for _, g := range f.gone {
		least += plugsOf(f.problem.Present.Cords[g])
	}
	return max(0, least+len(f.breaks)+f.needlessDummies()-f.saved())
}

func plugsOf(ends [2]int) int {
	if ends[1] == graph.None {
		return 1
	}
	return 2
}

// floorer counts the floor of a task.
type floorer struct {
	*graph.Graph
	problem *problem.Problem
	ways
	// wants are the nodes that ask for each source.
	wants map[int][]int
	// sourcesFor are those that a node asks for.
	sourcesFor map[int][]int
	// gone are cords of the present patch, by number, that no plan has; isGone says
	// so of each.
	gone   []int
	isGone []bool
	// held is what is in a jack now, cords that are gone left out.
	held []holding
	// entries are the regions that a source comes into by a new cord or lead, by
	// source those that there are.
	entries  []entry
	entering map[int][]int
	// breaks are normals that every plan breaks, counted says so of each normal.
	breaks  []breaking
	counted []bool
	// used are the jacks of the breaks, detours how many of these are due to a
	// source (breaking.by).
	used    map[int]bool
	detours map[int]int
	// robbed are inputs that a socket at the front can take over, as points.
	overridable map[int]bool
	// pulled are dummies that stand where an entry must be.
	pulled int
}

// holding is what is in a jack.
type holding uint8

const (
	holdsNothing holding = iota
	holdsCord
	holdsLead
	holdsDummy
)

func newFloor(t *problem.Problem) *floorer {
	f := &floorer{Graph: t.Graph, problem: t, wants: map[int][]int{}, sourcesFor: map[int][]int{}, isGone: make([]bool, len(t.Present.Cords)), held: make([]holding, len(t.Jacks)), entering: map[int][]int{}, counted: make([]bool, len(t.Normals)), overridable: map[int]bool{}, detours: map[int]int{}}
	for _, w := range t.Session.Wants {
		s := t.SourceOf[w.Source]
		n := t.Node[t.Number[w.Destination]]
		f.wants[s], f.sourcesFor[n] = append(f.wants[s], n), append(f.sourcesFor[n], s)
	}
	for _, g := range t.Studio.Gear {
		for _, s := range g.Steals {
			if at, ok := t.Number[s.Rear]; ok {
				f.overridable[at] = true
			}
		}
	}
	for i, c := range t.Present.Cords {
		if f.isGone[i] = f.inNoPlan(c); f.isGone[i] {
			f.gone = append(f.gone, i)
			continue
		}
		for _, j := range c {
			if j != graph.None {
				f.held[j] = holdsCord
			}
		}
	}
	for _, l := range t.Present.Leads {
		f.held[l[1]] = holdsLead
	}
	for _, j := range t.Present.Dummies {
		f.held[j] = holdsDummy
	}
	f.addWays()
	return f
}

func (f *floorer) asked() []int { return slices.Sorted(maps.Keys(f.wants)) }

// needlessDummies are those that no plan has, and those that are in the way.
func (f *floorer) needlessDummies() int {
	count := f.pulled
	for _, j := range f.problem.Present.Dummies {
		if dummyGoes(f.problem, j) {
			count++
		}
	}
	return count
}

// dummyGoes says whether a dummy that is in guards nothing, so that no plan has it.
func dummyGoes(t *problem.Problem, j int) bool {
	return !t.Options.LeaveCords && !(t.Usable(j) && t.Guards(j))
}
