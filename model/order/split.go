package order

import (
	"bayhand/model/name"
	"bayhand/model/plan"
)

// split parts a move of a cord's end into two: the end comes out and hangs, and
// later goes in elsewhere. It handles no more plugs. ok is false for what cannot
// be parted.
func (u *unit) split() (hang, grow *unit, ok bool) {
	m := u.move
	if m.Do != plan.MoveEnd || len(m.Ends) != 2 || len(m.To) != 2 {
		return nil, nil, false
	}
	stay := []name.Point{m.Ends[0]}
	hang = &unit{move: plan.Move{Do: plan.MoveEnd, Ends: m.Ends, To: stay, Length: m.Length}, rank: u.rank}
	hang.moveEnd()
	hang.rank.phase = pulling
	hang.because = "frees " + m.Ends[1].String()
	grow = &unit{move: plan.Move{Do: plan.MoveEnd, Ends: stay, To: m.To, Length: m.Length}, rank: u.rank, because: u.because}
	grow.moveEnd()
	return hang, grow, true
}

// splitOne parts the first move that can be, and says whether there was one.
func splitOne(left []*unit) ([]*unit, bool) {
	for i, u := range left {
		hang, grow, ok := u.split()
		if !ok {
			continue
		}
		parted := append([]*unit{hang}, left[:i]...)
		parted = append(parted, grow)
		return append(parted, left[i+1:]...), true
	}
	return left, false
}
