// Package remote ties a room to the studio's MIDI, both ways: a request is a
// Program Change on the control port, which recalls the session that has the
// program; the programs of outboard gear that a session names are sent once its
// crosspoints are switched.
//
// The control port is only listened to. What was sent to gear and comes back is an
// echo and no request; and requests that keep coming by themselves, round some
// loop of cables, are turned down until the port has been quiet. What was sent to
// gear nobody confirms: it is told as sent, never as done.
//
// The package switches nothing and decides nothing about a session; it asks a room
// as a person would. It reads no files itself.
package remote

import (
	"context"
	"errors"
	"sync"
	"time"

	"bayhand/drivers/program"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Room is what is asked of the keeper of the room.
type Room interface {
	Act(ctx context.Context, act keep.Act) (keep.Answer, error)
	Events(ctx context.Context) (<-chan keep.Status, error)
}

// Ports are the MIDI ports of the machine.
type Ports interface {
	// Hear calls heard for each Program Change that comes, one at a time, until the
	// context ends; it calls ready once it listens.
	Hear(ctx context.Context, port string, ready func(), heard func(program.Program)) error
	Send(port string, p program.Program) error
}

// Files reads the studio's files; nothing is read that is not asked for, since there
// may be thousands of sessions.
type Files interface {
	// Studio is nil where its file cannot be read.
	Studio() *studio.Studio
	// Session is one by what it is called, which may be a path; nil where it cannot
	// be read.
	Session(called string) *session.Session
	// Sessions are those of the folder that can be read, by their names.
	Sessions() map[string]*session.Session
}

// Config is everything that a Remote needs; all but At, Say and Changed must be
// there.
type Config struct {
	Files Files
	Ports Ports
	Clock keep.Clock
	// At is the port that is listened to in the place of the studio's own; empty for
	// that.
	At string
	// Recall is the last recall whose programs need not be sent: the room's count
	// before anything is asked of it.
	Recall uint64
	// Say tells a person what was heard and sent, in one line.
	Say func(line string)
	// Changed is called when there are other Problems than before.
	Changed func()
}

// Remote is the MIDI of one room.
type Remote struct {
	config Config
	looks  chan struct{}
	// requests holds the newest request that nobody has carried out yet.
	requests chan program.Program

	// mu guards the fields below.
	mu       sync.Mutex
	channel  int // that is heard; 0 for all
	recall   uint64
	echoes   echoes
	pace     pace
	problems map[string]keep.Problem
}

// New makes the MIDI of a room. Nothing is opened before Run.
func New(config Config) (*Remote, error) {
	if config.Files == nil || config.Ports == nil || config.Clock == nil {
		return nil, errors.New("the MIDI of a room needs Files, Ports and a Clock")
	}
	if config.Say == nil {
		config.Say = func(string) {}
	}
	if config.Changed == nil {
		config.Changed = func() {}
	}
	return &Remote{
		config: config, recall: config.Recall, problems: map[string]keep.Problem{},
		looks: make(chan struct{}, 1), requests: make(chan program.Program, 1),
	}, nil
}

// Look says that the studio's file may name another control port now. It never
// waits.
func (r *Remote) Look() {
	select {
	case r.looks <- struct{}{}:
	default: // one look is waiting already
	}
}

// Run listens to the control port, carries out requests, and sends the programs of
// gear, until the context ends.
func (r *Remote) Run(ctx context.Context, room Room) error {
	events, err := room.Events(ctx)
	if err != nil {
		return err
	}
	var all sync.WaitGroup
	defer all.Wait()
	all.Go(func() { r.listen(ctx) })
	all.Go(func() { r.carryOut(ctx, room) })
	for status := range events {
		r.After(status)
	}
	return nil
}

// Problems are what a person should know, by what they are about.
func (r *Remote) Problems() []keep.Problem {
	r.mu.Lock()
	defer r.mu.Unlock()
	return sortedProblems(r.problems)
}

// trouble keeps a problem under a name, or takes it away where the text is empty.
func (r *Remote) trouble(about, code, text string) {
	r.mu.Lock()
	old, had := r.problems[about]
	switch {
	case text == "":
		delete(r.problems, about)
	case !had || old.Message != text:
		r.problems[about] = keep.Problem{Code: code, Severity: "warning", Message: text, Since: r.config.Clock.Now()}
	}
	changed := had != (text != "") || had && old.Message != text
	r.mu.Unlock()
	if !changed {
		return
	}
	if text != "" {
		r.config.Say(text)
	}
	r.config.Changed()
}

// wait is false when the context ends first.
func (r *Remote) wait(ctx context.Context, d time.Duration) bool {
	over, stop := r.config.Clock.Timer(d)
	defer stop()
	select {
	case <-over:
		return true
	case <-ctx.Done():
		return false
	}
}
