package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// sequencer looks for an order of actions that does no harm, or as little as there
// can be.
type sequencer struct {
	facts   *facts
	rules   *rules
	zones   *zones
	actions []*action
	// clicks are the gear that a plug at a jack clicks from in whatever order;
	// mutable those that may be muted.
	clicks  map[name.Point][]string
	mutable map[string]bool
}

func newSequencer(f *facts, r *rules, actions []*action) *sequencer {
	q := &sequencer{facts: f, rules: r, actions: actions, clicks: map[name.Point][]string{}, mutable: map[string]bool{}}
	slices.SortStableFunc(actions, func(a, b *action) int { return a.rank.compare(b.rank) })
	q.pullNextLast()
	q.zones = newZones(f, actions)
	r.watch(q.zones, actions)
	q.findClicks()
	return q
}

// sequence is the order found, with the effect of each action. What must be muted
// for it is muted before anything is done, so the order is looked for once more
// without regard to when that is.
func (q *sequencer) sequence() []*action {
	order, done := q.relax()
	for _, g := range q.effects(order) {
		q.rules.silent[g] = true
	}
	if done {
		s := newSearch(q, splitRelaxed(q.actions), q.mutable, tries(len(q.actions)))
		_, ok := s.explore(s.count())
		q.rules.now.undoAll(s.order)
		if ok {
			order = rejoin(s.order)
		}
	}
	q.effects(order)
	return order
}

// effects finds those of actions in an order, and what must be muted for all.
func (q *sequencer) effects(order []*action) []string {
	var all effect
	for _, a := range order {
		a.effect = q.rules.do(a)
		all.mute(a.effect.mutes...)
	}
	q.rules.now.undoAll(order)
	return all.mutes
}

// pullNextLast pulls last what is plugged next: it is in the hand already.
func (q *sequencer) pullNextLast() {
	next := slices.IndexFunc(q.actions, func(a *action) bool { return a.move.Do == plan.Plug || a.move.Do == plan.PlugDummy })
	pull := slices.IndexFunc(q.actions, func(a *action) bool { return !a.rank.urgent })
	pulls := slices.IndexFunc(q.actions, func(a *action) bool { return !a.rank.urgent && a.rank.phase != pulling })
	if next < 0 || pulls < 0 {
		return
	}
	slices.SortStableFunc(q.actions[pull:pulls], func(a, b *action) int {
		switch used := a.supplies(q.actions[next]); {
		case used == b.supplies(q.actions[next]):
			return 0
		case used:
			return 1
		}
		return -1
	})
}

// findClicks finds what a plug at each jack clicks from in whatever order: what it
// leads to with nothing in but what stays in throughout. That must be muted.
func (q *sequencer) findClicks() {
	if len(q.facts.audible) == 0 {
		return
	}
	for _, a := range q.actions {
		for _, jack := range a.touched {
			if _, known := q.clicks[jack]; known {
				continue
			}
			q.clicks[jack] = q.rules.clicksAt(q.zones.fixed, jack)
			for _, g := range q.clicks[jack] {
				q.mutable[g] = true
			}
		}
	}
}
