package main

import (
	"context"
	"slices"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// levelsPaper is the gain plan of a session with a patch, to print; the zero Session is
// the rest patch.
func levelsPaper(p *files.Studio, title string, of *session.Session, in patch.Patch, o level.Options) paper.Levels {
	room := p.Room.For(of, in)
	l := level.New(room, in, o)
	w := words.In(room.Studio())
	made := paper.Levels{Studio: p.Studio.Name, Title: title, Date: today(), Origin: origin(p.File, p.Source), Places: w.Runs}
	made.Plan = words.GainPlan(l.Chains(of), room.Studio().Reference, w.Owner)
	var looks []words.Alike
	for _, a := range l.All() {
		if !a.DeservesALook() {
			made.Quiet++
			continue
		}
		looks = append(looks, words.Alike{Ways: [][]name.Point{{a.Source.Point, a.Destination.Point}}, Said: words.Looks(a)})
	}
	made.Looks = words.GroupAlike(looks)
	return made
}

// givenBy is a patch that gives a session, and whether it gives all of it: the first that
// does of those that the room has or is on the way to, and of the one in its file, else one
// that is planned from rest.
func givenBy(ctx context.Context, p *files.Studio, s *session.Session, room []patch.Patch, progress func(done, least, best int)) (in patch.Patch, all bool, err error) {
	if s.Patch != nil {
		room = append(slices.Clip(room), *s.Patch)
	}
	for _, known := range room {
		if len(p.Room.CheckGiven(s, known, nil)) == 0 {
			return known, true, nil
		}
	}
	made, err := planner.Target(ctx, plan.Request{Studio: p.Studio, From: p.Studio.Rest.Clone(), Session: s, Partly: true, Progress: progress})
	if err != nil {
		return patch.Patch{}, false, err
	}
	return patch.Patch(made.Target), made.Given, nil
}

// inRoom are the patches of a room that may give a session: the one that is in, and the one
// that the steps left lead to.
func inRoom(status keep.Status, called string) []patch.Patch {
	all := []patch.Patch{status.Known.Patch()}
	if status.Session == called && status.Plan != nil {
		all = append(all, patch.Patch(status.Plan.Target))
	}
	return all
}
