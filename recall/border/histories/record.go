// Package histories holds what happened at a border against what can happen at a table:
// a Recorder writes down every act and every look with the times at which it was asked
// and answered, and Check asks porcupine, a checker of linearizability, whether some
// order of them explains all answers (M. P. Herlihy and J. M. Wing, Linearizability: a
// correctness condition for concurrent objects, ACM TOPLAS 12(3), 1990).
//
// The histories are parted by place, since linearizability is local (theorem 1 there). The
// model of one place shares no code with the border. It is for tests.
package histories

import (
	"context"
	"errors"
	"sync"
	"time"

	"bayhand/recall/border"
)

// Recorder is a border that remembers what came of each act and look. Its methods may
// be called from anywhere.
type Recorder struct {
	places []border.Place
	began  time.Time
	// mu guards the field below.
	mu     sync.Mutex
	events []event
}

// New records what happens at places.
func New(places ...border.Place) *Recorder {
	return &Recorder{places: places, began: time.Now()}
}

// event is one call: an act, or a look where act is nil.
type event struct {
	client         int
	act            *border.Act
	called, gotten time.Duration
	view           border.View
	err            error
}

// Act has a border carry out an act.
func (r *Recorder) Act(ctx context.Context, client int, b border.Border, act border.Act) (border.View, error) {
	called := time.Since(r.began)
	view, err := b.Act(ctx, act)
	r.note(event{client: client, act: &act, called: called, gotten: time.Since(r.began), err: err})
	return view, err
}

// Look asks a border for its table.
func (r *Recorder) Look(ctx context.Context, client int, b border.Border) (border.View, error) {
	called := time.Since(r.began)
	view, err := b.View(ctx)
	if err == nil {
		r.note(event{client: client, called: called, gotten: time.Since(r.began), view: view})
	}
	return view, err
}

func (r *Recorder) note(e event) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.events = append(r.events, e)
}

// Count is how many acts were answered, and of how many nobody knows what came.
func (r *Recorder) Count() (answered, unknown int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, e := range r.events {
		switch {
		case e.act == nil:
		case answerOf(e.err) == isUnknown:
			unknown++
		default:
			answered++
		}
	}
	return answered, unknown
}

// answer is what came of an act.
type answer int

const (
	isDone answer = iota
	isHeld
	isLost
	isNothing // refused for what no single place shows
	isUnknown
)

func answerOf(err error) answer {
	switch {
	case err == nil:
		return isDone
	case errors.Is(err, border.ErrHeld):
		return isHeld
	case errors.Is(err, border.ErrLost):
		return isLost
	case errors.Is(err, border.ErrLate), errors.Is(err, border.ErrUsage):
		return isNothing
	}
	return isUnknown
}
