package words

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// changeOver words what the software or desk is to carry instead of what it may
// still carry.
func (w *Words) changeOver(s plan.Step) Action {
	var owners []string
	for _, p := range slices.Concat(s.Carried, s.Carries) {
		if called := w.Owner(p.In.Owner); !slices.Contains(owners, called) {
			owners = append(owners, called)
		}
	}
	return Action{From: List(owners), Also: Put("carried inside so far: {before}; from now on: {after}", "before", w.passes(s.Carried), "after", w.passes(s.Carries))}
}

// passes words what goes through inside; nothing for none.
func (w *Words) passes(all []studio.Pass) string {
	if len(all) == 0 {
		return "nothing"
	}
	var texts []string
	for _, p := range all {
		texts = append(texts, Put("{in} into {out}", "in", w.Port(p.In), "out", w.Port(p.Out)))
	}
	return List(texts)
}
