package main

import (
	"context"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/schedule"
	"bayhand/recall/files"
	"bayhand/recall/words"
)

// kitOf is what the sessions of the folder take at the bay; nil where there is none.
// Whatever is left out is said.
func kitOf(ctx context.Context, a *app, p *files.Studio) (*schedule.Kit, error) {
	names := a.files.at.Names()
	if len(names) == 0 {
		return nil, nil
	}
	shown := newProgress(a.out.err)
	defer shown.end()
	patches := []patch.Patch{p.Studio.Rest}
	for i, called := range names {
		shown.work(words.Put("planning {called}", "called", called), i, len(names))
		read, err := a.files.session(p, called)
		if err != nil {
			shown.end()
			a.out.complainf("%s is not counted\n", called)
			continue
		}
		made, err := taking(ctx, p, read)
		if err != nil {
			return nil, err
		}
		if !made.Given {
			shown.end()
			a.out.complainf("%s is not possible; what is possible of it is counted\n", called)
		}
		patches = append(patches, patch.Patch(made.Target))
	}
	kit := schedule.KitOf(p.Studio, patches)
	return &kit, nil
}

// taking plans a session from rest with what is owned, and where that does not give
// it, with as many cords and dummies as it takes.
func taking(ctx context.Context, p *files.Studio, read *files.Session) (*plan.Plan, error) {
	request := plan.Request{Studio: p.Studio, From: p.Studio.Rest.Clone(), Session: read.Session, Partly: true}
	made, err := planner.Target(ctx, request)
	if err != nil || made.Given {
		return made, err
	}
	more := *p.Studio
	more.Stock.Unlimited, more.Stock.Cords, more.Dummies = true, nil, -1
	request.Studio = &more
	return planner.Target(ctx, request)
}
