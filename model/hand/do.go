package hand

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// Do is a patch after moves that hands make one after the other, such as the steps of
// a plan. A move that cannot be made in the patch that it meets is refused: what it
// takes out is not in, or where it puts a plug there is one. Whether a place takes
// such a plug at all is a question to Plug and Move, which know the studio. Moves that
// no hand makes at the bay leave the patch as it is.
func Do(p patch.Patch, moves ...plan.Move) (patch.Patch, error) {
	p = p.Clone()
	for _, m := range moves {
		if err := possible(p, m); err != nil {
			return p, err
		}
		apply(&p, m)
	}
	return p, nil
}

// possible refuses a move that cannot be made in a patch.
func possible(p patch.Patch, m plan.Move) error {
	if err := whole(m); err != nil {
		return err
	}
	switch m.Do {
	case plan.Plug, plan.PlugDummy, plan.PlugLead:
		return free(p, m.Ends...)
	case plan.Pull, plan.PullDummy, plan.PullLead:
		return isIn(p, m)
	case plan.MoveEnd:
		if err := isIn(p, m); err != nil {
			return err
		}
		return free(Apply(p, plan.Move{Do: plan.Pull, Ends: m.Ends}), m.To...)
	case plan.Switch, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
	}
	return nil
}

// isIn refuses a move that takes out what is not in.
func isIn(p patch.Patch, m plan.Move) error {
	switch m.Do {
	case plan.Pull, plan.MoveEnd:
		if slices.ContainsFunc(p.Cords, func(c patch.Cord) bool { return c.Same(cord(m.Ends, c)) }) {
			return nil
		}
	case plan.PullDummy:
		if slices.Contains(p.Dummies, m.Ends[0]) {
			return nil
		}
	case plan.PullLead:
		if slices.Contains(p.Leads, patch.Lead{Port: m.Ends[0], Jack: m.Ends[1]}) {
			return nil
		}
	case plan.Switch, plan.Plug, plan.PlugDummy, plan.PlugLead, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
		return nil
	}
	kind := map[plan.Do]string{plan.Pull: "cord", plan.MoveEnd: "cord", plan.PullDummy: "dummy", plan.PullLead: "gear cable"}[m.Do]
	text := m.Ends[0].String()
	if len(m.Ends) > 1 {
		text += " - " + m.Ends[1].String()
	}
	return refuse(ErrTaken, "no %s %s is in", kind, text)
}

// ends are how many ends a move has at least and at most.
var ends = map[plan.Do][2]int{
	plan.Plug: {1, 2}, plan.Pull: {1, 2}, plan.MoveEnd: {1, 2},
	plan.PlugDummy: {1, 1}, plan.PullDummy: {1, 1},
	plan.PlugLead: {2, 2}, plan.PullLead: {2, 2},
}

// whole refuses a move whose ends do not fit what it does.
func whole(m plan.Move) error {
	bounds, moves := ends[m.Do]
	switch {
	case !moves:
		return nil
	case len(m.Ends) < bounds[0] || len(m.Ends) > bounds[1]:
		return refuse(ErrNever, "step %s (%s) has %d ends", m.ID, m.Do, len(m.Ends))
	case m.Do == plan.MoveEnd && (len(m.To) < 1 || len(m.To) > 2):
		return refuse(ErrNever, "step %s (%s) goes to %d jacks", m.ID, m.Do, len(m.To))
	case m.Do == plan.Plug && same(m.Ends), m.Do == plan.MoveEnd && same(m.To):
		return refuse(ErrTaken, "a cord cannot have both its ends in one jack")
	}
	return nil
}

func same(ends []name.Point) bool { return len(ends) == 2 && ends[0] == ends[1] }
