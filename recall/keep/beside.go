package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// leavesOut says whether anything of a step is outside a scope.
func leavesOut(s *scope.Scope, one plan.Step) bool { return len(outside(s, one)) > 0 }

// outside is what of a step goes on beside a scope: all of it, the crosspoints of the
// others, or nothing.
func outside(s *scope.Scope, one plan.Step) []plan.Step {
	out := func(p name.Point) bool { return !s.Has(p) }
	if one.Do == plan.ChangeOver {
		passes := slices.Concat(one.Carried, one.Carries)
		if len(passes) > 0 && len(s.Passes(passes)) == len(passes) {
			return nil
		}
		return []plan.Step{one}
	}
	if slices.ContainsFunc(slices.Concat(one.Ends, one.To), out) {
		return []plan.Step{one}
	}
	one.Crosspoints = slices.DeleteFunc(slices.Clone(one.Crosspoints), func(c plan.Change) bool { return !out(c.Output) })
	if len(one.Crosspoints) == 0 {
		return nil
	}
	return []plan.Step{one}
}

// outsideAll are the steps that go on beside a scope, which wait for none that do not.
func outsideAll(s *scope.Scope, steps []plan.Step) []plan.Step {
	var stay []plan.Step
	gone := map[string]bool{}
	for _, one := range steps {
		stay = append(stay, outside(s, one)...)
		gone[one.ID] = !leavesOut(s, one)
	}
	for i := range stay {
		stay[i].After = orEmpty(slices.DeleteFunc(slices.Clone(stay[i].After), func(id string) bool { return gone[id] }))
	}
	return stay
}

// beside is an intent whose plan was made for a scope, with what was intended outside
// it: the steps that are left and done there, what the outputs there should listen to,
// and the patch that is to be in.
func beside(m Memory, in, now Intent, q question) Intent {
	was, s := m.Intent, q.scope
	left := outsideAll(s, was.Left)
	own := *now.Plan
	own.Steps, own.Moves = slices.Concat(left, own.Steps), slices.Concat(movesOf(left), own.Moves)
	own.Target = plan.Target(scope.Join(patch.Patch(own.Target), restOf(m, s)))
	carried := 0
	for _, move := range movesOf(left) {
		carried += move.Plugs()
	}
	own.Plugs, own.Least = own.Plugs+carried, own.Least+least(was, carried)
	now.Plan = &own
	now.Done = slices.DeleteFunc(slices.Clone(now.Done), func(d DoneStep) bool { return leavesOut(s, d.Step) })
	for _, d := range was.Done {
		for _, step := range outside(s, d.Step) {
			now.Done = append(now.Done, DoneStep{step, d.Fact})
		}
	}
	now.Before = len(now.Done)
	now.Left = slices.Concat(left, now.Left)
	now.From = from(m, now.From, s)
	return goesOn(was, now, s)
}

// goesOn takes over what is known of the steps and outputs outside a scope.
func goesOn(was, now Intent, s *scope.Scope) Intent {
	stays := func(id string) bool {
		return slices.ContainsFunc(now.Left, func(one plan.Step) bool { return one.ID == id && leavesOut(s, one) })
	}
	now.Sending = slices.DeleteFunc(slices.Clone(was.Sending), func(id string) bool { return !stays(id) })
	now.Failed = slices.DeleteFunc(slices.Clone(was.Failed), func(f Failure) bool { return !stays(f.ID) })
	now.Kept = slices.DeleteFunc(slices.Clone(was.Kept), s.Has)
	if now.Recall != was.Recall {
		now.Leaves = slices.DeleteFunc(slices.Clone(was.Leaves), func(matrix string) bool { return s.Has(name.At(matrix, "out", 1)) })
	}
	for id, c := range was.Taken {
		if slices.ContainsFunc(now.Done, func(d DoneStep) bool { return d.ID == id }) {
			taken := map[string]KnownCord{id: c}
			for other, had := range now.Taken {
				taken[other] = had
			}
			now.Taken = taken
		}
	}
	return now
}

// restOf is the patch that is to be in outside a scope: that of the plan, or the one
// that is known where there is none.
func restOf(m Memory, s *scope.Scope) patch.Patch {
	is, planned := m.Intent.target()
	if !planned {
		is = m.Known.Patch()
	}
	_, out := s.Split(is)
	return out
}

// from is the patch that a plan for a scope starts at, with what the outputs outside
// should listen to after the steps that are done there.
func from(m Memory, inside patch.Patch, s *scope.Scope) patch.Patch {
	_, out := s.Split(m.Known.Patch())
	if m.Intent.Plan == nil {
		return scope.Join(inside, out)
	}
	out.Crosspoints = nil
	outputs := map[name.Point]bool{}
	for _, c := range m.Known.Crosspoints {
		if !s.Has(c.Output) && !outputs[c.Output] {
			outputs[c.Output] = true
			for _, input := range m.Intent.listens(c.Output) {
				out.Crosspoints = append(out.Crosspoints, patch.Crosspoint{Output: c.Output, Input: input})
			}
		}
	}
	return scope.Join(inside, out)
}

// movesOf are the moves of hands among steps.
func movesOf(steps []plan.Step) []plan.Move {
	var all []plan.Move
	for _, s := range steps {
		if m := (plan.Move{ID: s.ID, Do: s.Do, Ends: s.Ends, To: s.To, Length: s.Length}); s.By == plan.Person && m.Plugs() > 0 {
			all = append(all, m)
		}
	}
	return all
}

// least is how many plugs any plan handles for what an intent has left in other rooms,
// as far as that is proved.
func least(was Intent, carried int) int {
	if was.Plan == nil {
		return 0
	}
	return max(0, was.Plan.Least-(was.Plan.Plugs-carried))
}
