package planner

import (
	"context"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
)

// Floor is the floor of a task, for tests from outside.
func Floor(room *heard.Room, from patch.Patch, s *session.Session, o options) (int, error) {
	t, err := newTask(room.For(s, from), from, s, o)
	if err != nil {
		return 0, err
	}
	return t.floor(), nil
}

// FindWithout finds a plan without some of its stages.
func FindWithout(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o options, stages ...string) (*plan.Plan, error) {
	o.without = stages
	return find(ctx, room, from, s, o)
}

// Stages are the names of the stages.
func Stages() []string {
	var names []string
	for _, s := range stages {
		names = append(names, s.name)
	}
	return names
}
