package order

import (
	"slices"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// changeOver is the step in which a person has the software or desk carry what the
// new session has inside, where that is not what it may still carry; false where
// there is none to make. On the way loops are judged under both.
func changeOver(t Task) (plan.Step, bool) {
	if t.Session == nil || t.PreviousInside == nil || samePasses(t.Session.Inside, t.PreviousInside) {
		return plan.Step{}, false
	}
	return plan.Step{By: plan.Person, Do: plan.ChangeOver, Carried: t.PreviousInside, Carries: t.Session.Inside,
		Because: "the software or desk may still carry what the session before had inside"}, true
}

func samePasses(a, b []studio.Pass) bool {
	in := func(all []studio.Pass) func(studio.Pass) bool {
		return func(p studio.Pass) bool { return !slices.Contains(all, p) }
	}
	return !slices.ContainsFunc(a, in(b)) && !slices.ContainsFunc(b, in(a))
}

// changeOver writes that step, after everything is muted that is. Everything else
// waits for it where the new patch closes a loop through what is carried until then,
// and the old one none through what is carried afterwards.
func (w *writer) changeOver() {
	step, needed := w.facts.changeOver, w.facts.changesOver
	if !needed {
		return
	}
	var after []string
	for _, g := range w.facts.audible {
		if id := w.muted[g.Name]; id != "" {
			after = append(after, id)
		}
	}
	w.changedOver = w.add(step, after)
	w.changeFirst = w.loops(w.facts.target, step.Carried) && !w.loops(w.facts.from, step.Carries)
}

// loops says whether a patch closes a loop that is not meant through what is carried
// inside.
func (w *writer) loops(p patch.Patch, carried []studio.Pass) bool {
	return len(w.facts.state(p).live.Loops(carried, w.facts.session.Loops)) > 0
}
