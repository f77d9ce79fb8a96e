package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// half says of an action that it is one plug of a move that has two.
type half struct {
	// of is the move as the plan has it, both as the two halves make it again.
	of, both *action
	// first is the half that comes before this one; nil for the first itself.
	first *action
	// rival is the first half of the other way round: a cord may be plugged and
	// pulled from either end.
	rival *action
}

// whole is the action that a half is of, or the action itself.
func (a *action) whole() *action {
	if a.half != nil {
		return a.half.of
	}
	return a
}

// split is a move in its halves, a cord that is plugged or pulled both ways
// round; ok is false for what has a single plug. It handles no more plugs.
func (a *action) split() (halves []*action, ok bool) {
	first, second := a.cut(a)
	if first == nil {
		return nil, false
	}
	if a.move.Do == plan.MoveEnd {
		return []*action{first, second}, true
	}
	turned := a.like(a.move)
	turned.move.Ends = slices.Clone(a.move.Ends)
	slices.Reverse(turned.move.Ends)
	turned.addEvents()
	last, other := turned.cut(a)
	first.half.rival, last.half.rival = last, first
	return []*action{first, second, last, other}, true
}

// like is an action that does another move for the same reason, without events.
func (a *action) like(m plan.Move) *action {
	return &action{move: m, kind: a.kind, rank: a.rank, wants: a.wants, because: a.because, relaxed: a.relaxed}
}

// cut makes the halves of an action as it stands; nil for what has none.
func (a *action) cut(of *action) (first, second *action) {
	m := a.move
	if len(m.Ends) != 2 || m.Do == plan.MoveEnd && len(m.To) != 2 {
		return nil, nil
	}
	cutHalf := func(do plan.Do, ends, to []name.Point) *action {
		h := a.like(plan.Move{Do: do, Ends: ends, To: to, Length: m.Length, Poles: m.Poles})
		h.half = &half{of: of, both: a, first: first}
		h.addEvents()
		return h
	}
	switch m.Do {
	case plan.MoveEnd:
		first = cutHalf(plan.MoveEnd, m.Ends, m.Ends[:1])
		first.because = phrase.Put("frees {jack}", "jack", m.Ends[1].String())
		second = cutHalf(plan.MoveEnd, m.Ends[:1], m.To)
	case plan.Pull:
		first = cutHalf(plan.MoveEnd, []name.Point{m.Ends[1], m.Ends[0]}, m.Ends[1:])
		second = cutHalf(plan.Pull, m.Ends[1:], nil)
	case plan.Plug:
		first = cutHalf(plan.Plug, m.Ends[:1], nil)
		second = cutHalf(plan.MoveEnd, m.Ends[:1], m.Ends)
	case plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
	}
	return first, second
}

// splitRelaxed are actions, in halves where they may be done so.
func splitRelaxed(actions []*action) []*action {
	var all []*action
	for _, a := range actions {
		halves, ok := []*action(nil), false
		if a.relaxed.splits() {
			halves, ok = a.split()
		}
		if !ok {
			halves = []*action{a}
		}
		all = append(all, halves...)
	}
	return all
}

// rejoin makes one action again of halves that follow each other.
func rejoin(order []*action) []*action {
	var whole []*action
	for _, a := range order {
		if last := len(whole) - 1; a.half != nil && last >= 0 && whole[last] == a.half.first {
			whole[last] = a.half.both
			continue
		}
		whole = append(whole, a)
	}
	return whole
}

// wholes are the actions that some are, or are halves of.
func wholes(actions []*action) []*action {
	var all []*action
	for _, a := range actions {
		if a = a.whole(); !slices.Contains(all, a) {
			all = append(all, a)
		}
	}
	return all
}
