package words

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// changeOver words what the software or desk is to carry instead of what it may
// still carry.
func (h *hands) changeOver(s plan.Step) Action {
	var owners []string
	for _, p := range slices.Concat(s.Carried, s.Carries) {
		if called := h.Owner(p.In.Owner); !slices.Contains(owners, called) {
			owners = append(owners, called)
		}
	}
	return Action{From: List(owners), Also: Put("carried inside so far: {before}; from now on: {after}", "before", h.passes(s.Carried), "after", h.passes(s.Carries))}
}

// passes words what goes through inside; nothing for none.
func (h *hands) passes(all []studio.Pass) string {
	if len(all) == 0 {
		return "nothing"
	}
	var texts []string
	for _, p := range all {
		texts = append(texts, Put("{in} into {out}", "in", h.Port(p.In), "out", h.Port(p.Out)))
	}
	return List(texts)
}
