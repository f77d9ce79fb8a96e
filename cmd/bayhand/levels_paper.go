package main

import (
	"context"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/files"
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

// givenBy is the patch that gives a session: the one kept in its file, else one planned
// from rest, and whether it gives all.
func givenBy(ctx context.Context, p *files.Studio, s *session.Session, progress func(done, least, best int)) (in patch.Patch, all bool, err error) {
	if s.Patch != nil && len(p.Room.CheckGiven(s, *s.Patch, nil)) == 0 {
		return *s.Patch, true, nil
	}
	made, err := planner.Target(ctx, plan.Request{Studio: p.Studio, From: p.Studio.Rest.Clone(), Session: s, Partly: true, Progress: progress})
	if err != nil {
		return patch.Patch{}, false, err
	}
	return patch.Patch(made.Target), made.Given, nil
}
