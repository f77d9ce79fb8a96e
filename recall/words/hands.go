package words

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// hands words what hands do in a step. It needs no more than the names of places.
type hands struct{ *Places }

func (h *hands) action(s plan.Step) Action {
	switch s.Do {
	case plan.Plug:
		return h.pair(s.Ends, Onward)
	case plan.Pull:
		return h.pair(s.Ends, Then)
	case plan.PlugLead:
		return h.pair(h.sourceFirst(s.Ends), Onward)
	case plan.PullLead:
		ends := h.sourceFirst(s.Ends)
		slices.Reverse(ends)
		return h.pair(ends, Then)
	case plan.MoveEnd:
		return h.move(s)
	case plan.Mute, plan.Unmute:
		return h.mute(s)
	case plan.Switch:
		return Action{From: h.Owner(s.By)}
	case plan.ChangeOver:
		return h.changeOver(s)
	case plan.PhantomOn:
		// It may not have been on, and another microphone may be there now.
		return Action{From: h.Points(s.Ends), Also: "only where the microphone there needs it"}
	case plan.PhantomOff:
		// The capacitors of the supply hold it for a while.
		return Action{From: h.Points(s.Ends), Also: "wait until it has gone before you plug"}
	case plan.PlugDummy, plan.PullDummy:
	}
	return Action{From: h.Points(s.Ends)}
}

// sourceFirst are the port and the jack of a lead, the source's end first. A lead is
// plugged in that order and pulled in the other, so that no open lead hangs in an
// input. Of a port that nobody described, only the name is left to tell: one that begins
// with in, or is a return, is an input.
func (h *hands) sourceFirst(ends []name.Point) []name.Point {
	ordered := slices.Clone(ends)
	if len(ends) == 2 && h.listens(ends[0]) {
		slices.Reverse(ordered)
	}
	return ordered
}

func (h *hands) listens(port name.Point) bool {
	switch h.direction(port) {
	case studio.Input:
		return true
	case studio.Output:
		return false
	case studio.DirectionUnknown:
	}
	return strings.HasPrefix(port.Stem, "in") || port.Part == name.Return
}

func (h *hands) pair(ends []name.Point, joint Joint) Action {
	if len(ends) != 2 {
		a := Action{From: h.Points(ends)}
		if joint == Onward {
			a.Also = "leave the other end loose"
		}
		return a
	}
	return Action{From: h.Point(ends[0]), To: h.Point(ends[1]), Joint: joint}
}

// move words the end of a cord that goes elsewhere: only what moves is large,
// and the end that stays is said beside it.
func (h *hands) move(s plan.Step) Action {
	leaves := without(s.Ends, s.To)
	enters := without(s.To, s.Ends)
	stays := without(s.Ends, leaves)
	a := Action{Joint: Onward}
	if len(stays) > 0 {
		a.Also = Put("leave the other end in {jack}", "jack", h.Points(stays))
	}
	switch {
	case len(leaves) == 0 && len(enters) == 0:
		return Action{From: h.Points(s.Ends), Also: "no change"}
	case len(leaves) == 0:
		a.From, a.To = "the loose end", h.Points(enters)
	case len(enters) == 0:
		a.From, a.To = h.Points(leaves), "loose"
	default:
		a.From, a.To = h.Points(leaves), h.Points(enters)
	}
	return a
}

func without(points, those []name.Point) []name.Point {
	var rest []name.Point
	for _, p := range points {
		if !slices.Contains(those, p) {
			rest = append(rest, p)
		}
	}
	return rest
}

func (h *hands) mute(s plan.Step) Action {
	a := Action{From: h.Points(s.Ends)}
	var places []string
	for _, p := range s.Ends {
		if at := h.MuteAt(p); at != "" && !slices.Contains(places, at) {
			places = append(places, at)
		}
	}
	switch {
	case s.Do == plan.Unmute && len(places) > 0:
		a.Also = Put("at {switches}; bring the level back slowly", "switches", List(places))
	case s.Do == plan.Unmute:
		a.Also = "bring the level back slowly"
	case len(places) > 0:
		a.Also = Put("at {switches}", "switches", List(places))
	}
	return a
}
