package order_test

import (
	"os"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// hands knows every plug and crosspoint of a plan by itself, in no order but
// what hands cannot do otherwise: it looks through all orders for one without
// harm. It is slow, and sure.
type hands struct {
	room   way
	limits *limits
	// actions are bits of a set.
	actions []action
	// bad are sets of actions from which no harmless order leads to the end.
	bad map[uint64]bool
	// left is how many sets may be looked at yet.
	left int
	// harm is what counts as such.
	harm forbidden
}

// forbidden is what an order may not have, the worst first: each forbids what is
// before it as well.
type forbidden int

const (
	clashing forbidden = iota
	breaking
	touching
)

// action is one plug, or one crosspoint, at one end of what it belongs to.
type action struct {
	// after are the actions that must be done before.
	after uint64
	// move is the number of the move, or -1; enters and leaves are jacks.
	move           int
	enters, leaves name.Point
	open, close    patch.Crosspoint
}

func newHands(w way, harm forbidden) *hands {
	target := patch.Patch(w.plan.Target)
	h := &hands{room: w, limits: newLimits(w.room, w.from, target, w.session, w.previous), bad: map[uint64]bool{}, left: 800, harm: harm}
	if os.Getenv("BAYHAND_ROOMS") != "" {
		h.left = 50000
	}
	if harm == clashing {
		h.limits.kept = nil
	}
	for i, m := range w.moves {
		h.move(i, m)
	}
	for _, c := range w.from.Crosspoints {
		if !slices.Contains(target.Crosspoints, c) {
			h.actions = append(h.actions, action{move: -1, open: c})
		}
	}
	for _, c := range target.Crosspoints {
		if slices.Contains(w.from.Crosspoints, c) {
			continue
		}
		a := action{move: -1, close: c}
		for i, b := range h.actions {
			if !b.open.Output.IsZero() && b.open.Output == c.Output {
				a.after |= 1 << i
			}
		}
		h.actions = append(h.actions, a)
	}
	return h
}

func (h *hands) move(i int, m plan.Move) {
	add := func(a action) {
		a.move = i
		h.actions = append(h.actions, a)
	}
	switch m.Do {
	case plan.Plug, plan.PlugDummy:
		for _, e := range m.Ends {
			add(action{enters: e})
		}
	case plan.Pull, plan.PullDummy:
		for _, e := range m.Ends {
			add(action{leaves: e})
		}
	case plan.PlugLead:
		add(action{enters: m.Ends[1]})
	case plan.PullLead:
		add(action{leaves: m.Ends[1]})
	case plan.MoveEnd:
		var after uint64
		if len(m.Ends) == 2 {
			after = 1 << len(h.actions)
			add(action{leaves: m.Ends[1]})
		}
		if len(m.To) == 2 {
			add(action{enters: m.To[1], after: after})
		}
	}
}

// patch is what is in after a set of actions.
func (h *hands) patch(done uint64) patch.Patch {
	p := patch.Patch{}
	gone := map[name.Point]bool{}
	for i, m := range h.room.moves {
		in := h.plugs(i, m, done)
		for _, e := range m.Ends {
			gone[e] = true
		}
		switch {
		case len(in) == 0:
		case m.Do == plan.PlugDummy || m.Do == plan.PullDummy:
			p.Dummies = append(p.Dummies, in...)
		case m.Do == plan.PlugLead || m.Do == plan.PullLead:
			p.Leads = append(p.Leads, patch.Lead{Port: m.Ends[0], Jack: m.Ends[1]})
		case len(in) == 1:
			p.Cords = append(p.Cords, patch.Cord{A: in[0]})
		default:
			p.Cords = append(p.Cords, patch.Cord{A: in[0], B: in[1]})
		}
	}
	target := patch.Patch(h.room.plan.Target)
	for _, c := range h.room.from.Cords {
		if slices.ContainsFunc(target.Cords, c.Same) {
			p.Cords = append(p.Cords, c)
		}
	}
	for _, l := range h.room.from.Leads {
		if slices.Contains(target.Leads, l) {
			p.Leads = append(p.Leads, l)
		}
	}
	for _, d := range h.room.from.Dummies {
		if slices.Contains(target.Dummies, d) {
			p.Dummies = append(p.Dummies, d)
		}
	}
	p.Crosspoints = slices.Clone(h.room.from.Crosspoints)
	for i, a := range h.actions {
		if done&(1<<i) == 0 {
			continue
		}
		if at := slices.Index(p.Crosspoints, a.open); at >= 0 {
			p.Crosspoints = slices.Delete(p.Crosspoints, at, at+1)
		}
		if !a.close.Output.IsZero() {
			p.Crosspoints = append(p.Crosspoints, a.close)
		}
	}
	return p
}

// plugs are the jacks that a move's cord, lead or dummy is in after a set of
// actions.
func (h *hands) plugs(i int, m plan.Move, done uint64) []name.Point {
	var in []name.Point
	switch m.Do {
	case plan.Pull, plan.PullDummy, plan.MoveEnd:
		in = slices.Clone(m.Ends)
	case plan.PullLead:
		in = slices.Clone(m.Ends[1:])
	}
	for k, a := range h.actions {
		if a.move != i || done&(1<<k) == 0 {
			continue
		}
		if at := slices.Index(in, a.leaves); at >= 0 {
			in = slices.Delete(in, at, at+1)
		}
		if !a.enters.IsZero() {
			in = append(in, a.enters)
		}
	}
	return in
}

// can says whether a harmless order leads from a set of actions to the end.
func (h *hands) can(done uint64) bool {
	if done == 1<<len(h.actions)-1 {
		return true
	}
	if h.bad[done] || h.left < 0 {
		return false
	}
	h.left--
	taken := h.patch(done).Plugs()
	for i, a := range h.actions {
		if done&(1<<i) != 0 || a.after&^done != 0 || slices.Contains(taken, a.enters) {
			continue
		}
		next := done | 1<<i
		if h.harmless(done, next, a) && h.can(next) {
			return true
		}
	}
	h.bad[done] = true
	return false
}

// harmless looks for joined outputs, loops and interruptions; sounds are what
// mutes are for.
func (h *hands) harmless(done, next uint64, a action) bool {
	r := newReplay(h.room.room, h.patch(next), h.limits)
	h.limits.judge(r, plan.Step{})
	if len(r.clashes)+len(r.breaks) > 0 {
		return false
	}
	if h.harm < touching {
		return true
	}
	for _, jack := range []name.Point{a.enters, a.leaves} {
		for _, set := range []uint64{done, next} {
			if _, on := h.limits.onKept(h.room.room.Hear(h.patch(set)), jack); on && !jack.IsZero() {
				return false
			}
		}
	}
	return true
}

// exists says whether there is a harmless order; decided is false where the
// orders are too many to say.
func (h *hands) exists() (found, decided bool) {
	if len(h.actions) > 60 {
		return false, false
	}
	found = h.can(0)
	return found, found || h.left >= 0
}
