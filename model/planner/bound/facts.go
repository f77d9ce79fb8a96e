package bound

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// facts are what is known of all plans of a problem: what could be where, and what of
// the present patch is in none.
type facts struct {
	problem *problem.Problem
	// wants are the nodes that ask for each source, sourcesFor the sources that a node
	// asks for.
	wants, sourcesFor map[int][]int
	// gone are cords of the present patch, by number, that no plan has; isGone says
	// so of each.
	gone   []int
	isGone []bool
	// held is what is in a jack now, cords that are gone left out.
	held []holding
	// sourceless says of a jack that no signal comes to it that a plug could take elsewhere.
	sourceless []bool
	// cordsAlone says that nothing costs anything but new cords.
	cordsAlone bool
	// toBreak is what a plug costs that only breaks, in units.
	toBreak int
	// pricesHeld says that prices are held to a plan that is known, as in large rooms. Only then cords are looked for
	// that a destination is served without: what plans may have in smaller rooms would be no more to the point.
	pricesHeld bool
	// left is how many wants may be left out, and all silences with them; where none may, all is given.
	left int
}

// holding is what is in a jack.
type holding uint8

const (
	holdsNothing holding = iota
	holdsCord
	holdsLead
	holdsDummy
)

func newFacts(p *problem.Problem, held bool) *facts {
	f := &facts{
		pricesHeld: held,
		problem:    p, toBreak: unit, wants: map[int][]int{}, sourcesFor: map[int][]int{},
		isGone: make([]bool, len(p.Present.Cords)), held: make([]holding, len(p.Jacks)),
	}
	for j := range p.Jacks {
		f.sourceless = append(f.sourceless, p.EndsAt(j) && (!p.Options.LeaveCords || len(p.Nodes[p.Jacks[j].Node].Jacks) == 1))
	}
	for _, w := range p.Session.Wants {
		s := p.SourceOf[w.Source]
		n := p.Node[p.Number[w.Destination]]
		f.wants[s], f.sourcesFor[n] = append(f.wants[s], n), append(f.sourcesFor[n], s)
	}
	for i, c := range p.Present.Cords {
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
	for _, l := range p.Present.Leads {
		f.held[l[1]] = holdsLead
	}
	for _, j := range p.Present.Dummies {
		f.held[j] = holdsDummy
	}
	return f
}

// needlessDummies counts those that are in and that no plan has.
func (f *facts) needlessDummies() int {
	count := 0
	for _, j := range f.problem.Present.Dummies {
		if f.dummyGoes(j) {
			count++
		}
	}
	return count
}

// dummyGoes says whether a dummy that is in guards nothing, so that no plan has it.
func (f *facts) dummyGoes(j int) bool {
	return !f.problem.Options.LeaveCords && !(f.problem.Usable(j) && f.problem.Guards(j))
}

func (f *facts) asked() []int { return slices.Sorted(maps.Keys(f.wants)) }

// clashes says whether what always drives a node must not come to another.
func (f *facts) clashes(n, m int) bool {
	return f.intrudes(n, m) || len(f.problem.Always(n)) > 0 && len(f.problem.Always(m)) > 0
}

// inNoPlan says whether a cord of the present patch can be in no plan as it is: it
// would join two outputs, or bring gear to where it must not be heard; or, where
// what is needed for nothing is not left in, it breaks nothing that matters and
// carries nothing that is asked for, or that to a dead end which does not ask.
func (f *facts) inNoPlan(c [2]int) bool {
	if c[1] == graph.None {
		return !f.problem.Options.LeaveCords && !(f.problem.Usable(c[0]) && f.problem.Guards(c[0]))
	}
	n, m := f.problem.Jacks[c[0]].Node, f.problem.Jacks[c[1]].Node
	switch {
	case n == m:
		return !f.problem.Options.LeaveCords
	case len(f.problem.Always(n)) > 0 && len(f.problem.Always(m)) > 0:
		return true
	}
	return f.intrudes(n, m) || f.intrudes(m, n) || !f.problem.Options.LeaveCords && !f.couldCarry(c)
}

// intrudes says whether gear that drives a node would be heard at another where it
// must not.
func (f *facts) intrudes(n, m int) bool {
	for _, s := range f.problem.Nodes[n].Sources {
		if !f.bears(m, s) {
			return true
		}
	}
	return false
}

func (f *facts) couldCarry(c [2]int) bool {
	if !f.problem.Usable(c[0]) || !f.problem.Usable(c[1]) {
		return false
	}
	i, j := c[0], c[1]
	if f.isSpared(i, j) {
		return false
	}
	a, b := f.problem.Always(f.problem.Jacks[i].Node), f.problem.Always(f.problem.Jacks[j].Node)
	switch {
	case len(a) > 0:
		return f.problem.Useful(a[0]) && f.couldServe(j, a[0])
	case len(b) > 0:
		return f.problem.Useful(b[0]) && f.couldServe(i, b[0])
	}
	return !(f.deadEnd(i) && f.deadEnd(j)) && f.couldEnd(i) && f.couldEnd(j)
}

// isSpared says whether a cord would carry to one of its jacks what is there without it, and be of no use at the other.
func (f *facts) isSpared(i, j int) bool {
	return f.served(i) && !f.problem.Guards(j) || f.served(j) && !f.problem.Guards(i)
}

// couldServe says whether a driver that comes to a jack could be of use there.
func (f *facts) couldServe(j, driver int) bool {
	s, isSource := f.problem.SourceAt(driver)
	return f.couldEnd(j) && (!f.deadEnd(j) || !isSource || slices.Contains(f.wants[s], f.problem.Jacks[j].Node))
}

// couldEnd says whether what comes to a jack could be of use there at all: not in a dead
// end that asks for nothing.
func (f *facts) couldEnd(j int) bool {
	return !f.deadEnd(j) || len(f.sourcesFor[f.problem.Jacks[j].Node]) > 0
}

// deadEnd says whether a signal that a plug brings to a jack goes no further, and
// none comes there that the plug could take elsewhere.
func (f *facts) deadEnd(j int) bool {
	return f.noSource(j) && !f.problem.Amplified(f.problem.Jacks[j].Node)
}

// noSource says whether no signal that a plug could take elsewhere comes to a jack.
func (f *facts) noSource(j int) bool { return f.sourceless[j] }

// passesOn says whether an input at a node passes on what it hears.
func (f *facts) passesOn(n int) bool {
	return slices.ContainsFunc(f.problem.Nodes[n].Inputs, func(in int) bool { return f.problem.Listens[in] })
}

// feeds says whether a node could have what is asked for at a jack of which the
// plug is the only way.
func (f *facts) feeds(j, from int) bool {
	return !f.noSource(j) || !slices.ContainsFunc(f.sourcesFor[f.problem.Jacks[j].Node], func(s int) bool { return !f.mayBe(from, s) })
}

// mayBe says whether a source may be at a place: where no other gear drives, and
// nothing listens that must not hear it.
func (f *facts) mayBe(place, source int) bool {
	return place >= len(f.problem.Nodes) || !f.drivenByOther(place, source) && f.bears(place, source)
}

// bears says whether no input at a node is the worse for a source. One that a
// socket at the front could have taken over, by a lead or by what is wired there,
// hears nothing then. Where wants may be left out, it is any of which nothing is asked then.
func (f *facts) bears(n, source int) bool {
	return !slices.ContainsFunc(f.problem.Nodes[n].Inputs, func(in int) bool {
		takenOver := len(f.problem.Overrides[in]) > 0 && (f.left > 0 || len(f.problem.Asks[in].Wants) == 0)
		return !takenOver && !f.problem.Accepts(in, source, f.left > 0)
	})
}

func (f *facts) drivenByOther(n, source int) bool {
	for _, s := range f.problem.Nodes[n].Sources {
		if s != source {
			return true
		}
	}
	return false
}
