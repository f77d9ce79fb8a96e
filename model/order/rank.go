package order

import (
	"cmp"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// rank orders actions that could come next.
type rank struct {
	urgent     bool // it ends what harms gear now
	phase      phase
	chain, hop int
	along      int // how many actions that carry the same source stand upstream
	point      name.Point
}

type phase uint8

const (
	pulling  phase = iota
	opening        // crosspoints
	breaking       // normals
	closing        // crosspoints
	making         // what is wanted
)

func (r rank) compare(o rank) int {
	if r.urgent != o.urgent {
		if r.urgent {
			return -1
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(r.phase, o.phase), cmp.Compare(r.chain, o.chain), cmp.Compare(r.hop, o.hop),
		cmp.Compare(r.along, o.along), r.point.Compare(o.point),
	)
}

// follows says whether an action stands downstream of another, or later in its
// chain.
func (a *action) follows(b *action) bool {
	a, b = a.whole(), b.whole()
	inChain := a.rank.phase == making && b.rank.phase == making && a.rank.chain == b.rank.chain
	return inChain && b.rank.compare(a.rank) < 0 || slices.Contains(a.upstream, b)
}

// ranker says of all actions when they would best come, and why they are needed.
type ranker struct {
	facts   *facts
	rules   *rules
	actions []*action
	// wanted are the numbers of the wants by their destinations.
	wanted map[name.Point][]int
	// targetPlugs are the jacks that hold a plug in the new patch.
	targetPlugs map[name.Point]bool
}

func newRanker(f *facts, r *rules, actions []*action) *ranker {
	k := &ranker{facts: f, rules: r, actions: actions, wanted: map[name.Point][]int{}, targetPlugs: map[name.Point]bool{}}
	for i, w := range f.session.Wants {
		k.wanted[w.Destination] = append(k.wanted[w.Destination], i)
	}
	for _, p := range f.target.Plugs() {
		k.targetPlugs[p] = true
	}
	return k
}

func (k *ranker) rank() {
	bySource := map[name.Point][]*action{}
	for _, a := range k.actions {
		a.rank.phase = phaseOf(a)
		if a.byHand() {
			a.rank.point = a.touched[0]
		}
		if a.rank.phase == pulling || a.rank.phase == opening {
			a.because = k.whyOut(a)
			continue
		}
		at, ok := k.carries(a)
		if !ok {
			if a.rank.phase == making {
				a.rank.phase = breaking
			}
			a.because = k.whyIn(a)
			continue
		}
		w := k.facts.session.Wants[at]
		a.rank.chain, a.rank.hop = w.Chain, w.Hop
		a.because = w.Source.String() + " -> " + w.Destination.String()
		a.wants = []string{a.because}
		bySource[w.Source] = append(bySource[w.Source], a)
	}
	for source, actions := range bySource {
		k.downstream(source, actions)
	}
	k.markUrgent()
}

func phaseOf(a *action) phase {
	switch {
	case a.closes():
		return closing
	case !a.byHand():
		return opening
	case len(a.enters) == 0:
		return pulling
	}
	return making
}

// carries finds the first want that an action carries in the new patch: without it
// the source is not heard there.
func (k *ranker) carries(a *action) (want int, ok bool) {
	s, wants := k.rules.new, k.facts.session.Wants
	var near []int
	for _, in := range s.reaches(a.stands()) {
		for _, i := range k.wanted[in] {
			if s.hears(in, wants[i].Source) {
				near = append(near, i)
			}
		}
	}
	slices.Sort(near)
	s.undo(a)
	defer s.do(a)
	for _, i := range near {
		if w := wants[i]; !s.hears(w.Destination, w.Source) {
			return i, true
		}
	}
	if len(near) > 0 && len(a.stands()) > 1 {
		return near[0], true // beside another path
	}
	return 0, false
}

// stands are the points at which an action is in the new patch.
func (a *action) stands() []name.Point {
	switch {
	case !a.byHand():
		var all []name.Point
		for _, c := range a.changes {
			all = append(all, c.Output)
		}
		return all
	case a.move.Do == plan.MoveEnd:
		return a.move.To
	case a.move.Do == plan.PlugLead:
		return a.move.Ends[1:]
	}
	return a.move.Ends
}

// downstream says which of the actions that carry a source stand upstream of each:
// without them nothing comes to it.
func (k *ranker) downstream(source name.Point, actions []*action) {
	if len(actions) < 2 {
		return
	}
	s := k.rules.new
	for _, a := range actions {
		s.undo(a)
		for _, b := range actions {
			points := b.stands()
			if !b.byHand() {
				points = []name.Point{b.changes[0].Input}
			}
			if a == b || slices.ContainsFunc(points, func(p name.Point) bool { return s.hears(p, source) }) {
				continue
			}
			b.upstream = append(b.upstream, a)
			b.rank.along++
		}
		s.do(a)
	}
}
