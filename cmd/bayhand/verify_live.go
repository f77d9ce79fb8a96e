package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"bayhand/drivers/sound"
	"bayhand/model/tones"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
)

// live listens to the room by its sound device: once, or with --watch until all is
// as it should be.
func (l *listening) live(ctx context.Context, a *app, v verifying) error {
	if err := l.needDriven(); err != nil {
		return err
	}
	l.warn(a.out)
	ask := newAsking(a)
	if !v.yes {
		if err := ask.agree("Monitors down, headphones off the ears? [yes] "); err != nil {
			return err
		}
	}
	for {
		begun := time.Now()
		found, err := l.measure(ctx, a, ask, v)
		if err != nil {
			return soundFailure(err)
		}
		err = l.conclude(ctx, a, found, begun, v)
		if !v.watch || err == nil || !isFound(err) {
			return err
		}
		if again := ask.agree("Mended? Enter listens again. "); again != nil {
			return err
		}
		if err := l.again(ctx, a); err != nil {
			return err
		}
	}
}

// again takes in what the room is known to be in now.
func (l *listening) again(ctx context.Context, a *app) error {
	if !l.plan.OfRoom {
		return nil
	}
	told, err := a.room.patch(ctx, l.studio)
	if err != nil {
		return err
	}
	r := l.plan.Request
	r.Patch = told
	if r.Muted, err = l.silences(ctx, a); err != nil {
		return err
	}
	r.Room = l.studio.Room.For(r.Session, told)
	l.plan, err = listen.Prepare(r)
	return listenFailure(err)
}

// isFound says whether an error is that the room is not as it should be, which was
// said.
func isFound(err error) bool {
	var f *failure
	return asFailure(err, &f) && f.err == nil && f.status == cannot
}

// measure plays and reads, and tells how far it is. Any key at the terminal stops it.
func (l *listening) measure(ctx context.Context, a *app, ask *asking, v verifying) (*listen.Answer, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	defer ask.keys(stop)()
	shown := newProgress(a.out.err)
	defer shown.end()
	way := listen.Way{Quiet: v.quiet, Then: v.level, Groups: v.groups, MutesHold: func() error { return l.mutesHold(ctx, a) }, Progress: func(p listen.Progress) {
		switch {
		case p.Reading:
			shown.line("reading what was heard")
		default:
			shown.line(fmt.Sprintf("pass %d at %g dBFS, %.1f of %.1f s, loudest input %.0f dBFS; any key stops the sound", p.Pass, p.Level, p.Done, p.Seconds, p.Loudest))
		}
	}}
	if v.quiet && v.level != 0 {
		way.First = v.level
	}
	return l.plan.Measure(ctx, l.opener(a), way)
}

// conclude keeps what was found, tells the keeper of it, and says it.
func (l *listening) conclude(ctx context.Context, a *app, found *listen.Answer, made time.Time, v verifying) error {
	if v.keep {
		if err := l.keep(found); err != nil {
			return err
		}
	}
	if l.plan.OfRoom && time.Since(made) <= listen.FreshFor {
		if err := a.room.in(ctx, func(room keep.Room) error { return found.Tell(ctx, room, made, time.Now()) }); err != nil {
			return err
		}
	}
	answer := &verified{found, v.whole, v.watch}
	if err := answer.say(a.out); err != nil {
		return err
	}
	if !answer.AsItShould() {
		return silent(cannot)
	}
	return nil
}

// soundFailure gives what a sound device failed with its exit status.
func soundFailure(err error) error {
	for _, known := range []error{sound.ErrLost, sound.ErrNoInput, sound.ErrGone, sound.ErrBusy, sound.ErrNoDevice, sound.ErrFormat} {
		if errors.Is(err, known) {
			return &failure{noAnswer, err}
		}
	}
	if errors.Is(err, listen.ErrStopped) {
		return &failure{cannot, errors.New("stopped; nothing is said of the room")}
	}
	return listenFailure(err)
}

// fileLevel is that of test sound in files, in dBFS rms.
func (v verifying) fileLevel() float64 {
	if v.level == 0 {
		return tones.FirstLevel
	}
	return v.level
}
