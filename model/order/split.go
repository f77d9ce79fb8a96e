package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// half says of a unit that it is one plug of a move that has two.
type half struct {
	// of is the move as the plan has it, whole as both halves make it again.
	of, whole *unit
	// first is the half that comes before this one; nil for the first itself.
	first *unit
	// rival is the first half of the other way round: a cord may be plugged and
	// pulled from either end.
	rival *unit
}

// split is a move in its halves, a cord that is plugged or pulled both ways
// round; ok is false for what has a single plug. It handles no more plugs.
func (u *unit) split() (halves []*unit, ok bool) {
	first, second := u.cut(u)
	if first == nil {
		return nil, false
	}
	if u.move.Do == plan.MoveEnd {
		return []*unit{first, second}, true
	}
	turned := &unit{move: u.move, length: u.length, rank: u.rank, wants: u.wants, because: u.because, level: u.level}
	turned.move.Ends = slices.Clone(u.move.Ends)
	slices.Reverse(turned.move.Ends)
	turned.act()
	last, other := turned.cut(u)
	first.half.rival, last.half.rival = last, first
	return []*unit{first, second, last, other}, true
}

// cut makes the halves of a unit as it stands; nil for what has none.
func (u *unit) cut(of *unit) (first, second *unit) {
	m := u.move
	if len(m.Ends) != 2 || m.Do == plan.MoveEnd && len(m.To) != 2 {
		return nil, nil
	}
	half := func(do plan.Do, ends, to []name.Point) *unit {
		h := &unit{move: plan.Move{Do: do, Ends: ends, To: to, Length: m.Length}, length: u.length, rank: u.rank, wants: u.wants, because: u.because, level: u.level}
		h.half = &half{of: of, whole: u, first: first}
		h.act()
		return h
	}
	switch m.Do {
	case plan.MoveEnd:
		first = half(plan.MoveEnd, m.Ends, m.Ends[:1])
		first.because = "frees " + m.Ends[1].String()
		second = half(plan.MoveEnd, m.Ends[:1], m.To)
	case plan.Pull:
		first = half(plan.MoveEnd, []name.Point{m.Ends[1], m.Ends[0]}, m.Ends[1:])
		second = half(plan.Pull, m.Ends[1:], nil)
	case plan.Plug:
		first = half(plan.Plug, m.Ends[:1], nil)
		second = half(plan.MoveEnd, m.Ends[:1], m.Ends)
	case plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
	}
	return first, second
}

// mend makes one unit again of halves that follow each other.
func mend(units []*unit) []*unit {
	var whole []*unit
	for _, u := range units {
		if last := len(whole) - 1; u.half != nil && last >= 0 && whole[last] == u.half.first {
			whole[last] = u.half.whole
			continue
		}
		whole = append(whole, u)
	}
	return whole
}
