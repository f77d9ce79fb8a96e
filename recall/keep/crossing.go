package keep

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// refuseCrossing refuses a way that goes through a room where another session is held,
// beyond what that session has left to be done itself. It is asked before
// anything moves.
func (w answering) refuseCrossing(in Intent, made *plan.Plan, q question) error {
	if len(in.Others) == 0 || q.scope != nil {
		return nil
	}
	steps := w.theirs(in, made)
	if len(steps) == 0 {
		return nil
	}
	// What they have left themselves: their own way, without the new session.
	alone := Intent{Session: RestName, Others: in.Others, NextID: 1, Options: RecallOptions{Partly: true, Room: in.Options.Room}}
	own, _, err := w.plan(alone)
	if err != nil {
		return tell(ErrUsage, "could not plan beside %s: %v", in.Others[0].Session, err)
	}
	wanted := map[string]bool{}
	for _, s := range own.Steps {
		wanted[action(s)] = true
	}
	for _, s := range steps {
		if !wanted[action(s)] {
			return tell(ErrBeside, "%s needs %s, in a room where %s is in use. Strip that room first, "+
				"or recall %s instead", in.Session, stepPlaces(s), w.holderOf(in, s), in.Session)
		}
	}
	return nil
}

// theirs are the steps that move something in the rooms of other sessions. That
// something is made silent for a moment is no move.
func (w planning) theirs(in Intent, made *plan.Plan) []plan.Step {
	var steps []plan.Step
	for _, s := range made.Steps {
		switch s.Do {
		case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
		case plan.Switch, plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
			if w.holderOf(in, s) != "" {
				steps = append(steps, s)
			}
		}
	}
	return steps
}

// holderOf is the session in whose room the step moves something, with its rooms; empty for
// none.
func (w planning) holderOf(in Intent, s plan.Step) string {
	for _, h := range in.Others {
		if slices.ContainsFunc(stepPoints(s), func(p name.Point) bool { return slices.Contains(h.Rooms, scope.PartOf(w.studio, p.Owner)) }) {
			return holder(h.Session, h.Rooms)
		}
	}
	return ""
}

func stepPoints(s plan.Step) []name.Point {
	points := slices.Concat(s.Ends, s.To)
	for _, c := range s.Crosspoints {
		points = append(points, c.Output)
	}
	return points
}

func stepPlaces(s plan.Step) string {
	var names []string
	for _, p := range stepPoints(s) {
		names = append(names, p.String())
	}
	return strings.Join(names, " - ")
}
