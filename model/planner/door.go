package planner

import (
	"context"

	"bayhand/model/heard"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Make answers a request: the patch that gives the session, the moves and changes to
// it, and the steps in their order. It is the one door to a plan; nobody changes a
// plan after it. The same request has the same plan.
//
// A session that cannot be given is no error: Given is false then, and Missing says
// what stands in the way. An error is a patch that the studio cannot have, or a
// context that ended before any plan was found; one that ends later returns the best
// plan so far, with Stopped set.
func Make(ctx context.Context, r plan.Request) (*plan.Plan, error) {
	room := heard.NewRoom(r.Studio)
	made, err := target(ctx, room, r)
	if err != nil {
		return nil, err
	}
	cords, err := countCords(room, r, made.Moves)
	if err != nil {
		return nil, err
	}
	made.Steps, made.Moves, err = order.Steps(order.Task{
		Earlier: r.Earlier,
		Room:    room, From: r.From, Session: r.Session, PreviousInside: r.PreviousInside,
		Moves: made.Moves, Cords: cords, Crosspoints: made.Crosspoints, Target: patch.Patch(made.Target), FirstID: r.FirstID,
	})
	if err != nil {
		return nil, err
	}
	return made, nil
}

// Target is Make without the steps, and with the moves in no order of time: for who
// only asks whether a session can be given, and by which patch.
func Target(ctx context.Context, r plan.Request) (*plan.Plan, error) {
	return target(ctx, heard.NewRoom(r.Studio), r)
}

func target(ctx context.Context, room *heard.Room, r plan.Request) (*plan.Plan, error) {
	made, err := anyTarget(ctx, room, r)
	if err != nil {
		return nil, err
	}
	made.FirstID = r.FirstID
	return made, nil
}

func anyTarget(ctx context.Context, room *heard.Room, r plan.Request) (*plan.Plan, error) {
	o := problem.Options{Prefer: r.Prefer, Effort: r.Effort, LeaveCords: r.LeaveCords, Held: r.Held, Elsewhere: r.Elsewhere, Progress: r.Progress}
	if r.Session == nil {
		return strip(ctx, room, r.From, o)
	}
	m, err := newMaking(ctx, room, r.From, r.Session, o)
	if err != nil {
		return nil, err
	}
	made, err := m.find()
	if err != nil || !r.Partly || len(m.dropped) == 0 {
		return made, err
	}
	return m.partly(made.Missing)
}
