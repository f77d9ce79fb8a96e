package keep

import (
	"slices"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// loudProblems say which loudspeakers and headphones a matrix feeds, or mutes, that does not
// answer, while somebody is to plug. What was read of it before proves nothing about them,
// and no step mutes what is assumed to be silent.
func (v view) loudProblems(h device) []Problem {
	loud := v.loud(h.matrix)
	if len(loud) == 0 || !slices.ContainsFunc(v.k.memory.Intent.Left, plugs) {
		return nil
	}
	return []Problem{{Code: "mute-unknown", Severity: "warning", Since: h.since,
		Message: phrase.Put("Turn {gear} down by hand before you plug: {matrix} feeds or mutes them, and does not answer.",
			"gear", strings.Join(loud, ", "), "matrix", called(h.matrix))}}
}

// plugs says whether a step moves a plug.
func plugs(s plan.Step) bool {
	switch s.Do {
	case plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
		return true
	case plan.Switch, plan.ChangeOver, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn:
	}
	return false
}

// loud are the loudspeakers and headphones that an output of a matrix mutes or comes to by
// wires and one pair of a bay, whatever is plugged there.
func (v view) loud(m studio.Matrix) []string {
	s := v.k.studio
	var reached []string
	for _, w := range s.Wires {
		if w.From.Owner != m.Name {
			continue
		}
		reached = append(reached, w.To.Owner)
		if b := s.BayNamed(w.To.Owner); b != nil {
			for _, on := range s.Wires {
				if on.From.Owner == b.Name && on.From.Number == w.To.Number {
					reached = append(reached, on.To.Owner)
				}
			}
		}
	}
	var all []string
	for _, g := range s.Gear {
		heard := g.Role == studio.Loudspeaker || g.Role == studio.Headphone
		if heard && (g.Mute.Output.Owner == m.Name || slices.Contains(reached, g.Name)) {
			all = append(all, s.Label(g.Name))
		}
	}
	return all
}
