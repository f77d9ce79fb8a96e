package planner

import (
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// Floor is the floor of a task, for tests from outside.
func Floor(room *heard.Room, from patch.Patch, s *session.Session, o Options) (int, error) {
	t, err := newTask(newBoard(room.For(s, from)), from, s, o)
	if err != nil {
		return 0, err
	}
	return t.floor(), nil
}
