package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"bayhand/drivers/sound"
	plans "bayhand/model/plan"
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
	var before *listen.Answer
	for {
		begun := time.Now()
		found, err := l.round(ctx, a, ask, v)
		if err != nil {
			return soundFailure(err)
		}
		found.Follow(before)
		before = found
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
	if r.Muted, err = l.silences(ctx, a, true); err != nil {
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

// round listens once, with muted what a matrix mutes.
func (l *listening) round(ctx context.Context, a *app, ask *asking, v verifying) (found *listen.Answer, err error) {
	if len(l.plan.Needs()) == 0 && len(l.plan.Muted) == 0 && !v.probe {
		return l.measure(ctx, a, ask, v, l.plan, nil)
	}
	// What was switched is put back also where the context has ended.
	err = a.room.in(context.WithoutCancel(ctx), func(room keep.Room) error {
		found, err = l.held(ctx, a, ask, v, room)
		return err
	})
	return found, err
}

// held listens while the keeper holds what is muted, and a crosspoint of a probe.
func (l *listening) held(ctx context.Context, a *app, ask *asking, v verifying, room keep.Room) (found *listen.Answer, err error) {
	needs := append(l.plan.Needs(), l.plan.Silenced()...)
	hold, err := listen.Take(ctx, room, needs)
	if err != nil {
		return nil, notMuted(err)
	}
	defer func() {
		if left := hold.Release(ctx); left != nil {
			a.out.complainf("bayhand: %v\n", left)
		}
	}()
	status, err := room.Status(ctx)
	if err != nil {
		return nil, err
	}
	if l.plan, err = l.plan.Replan(status); err != nil {
		return nil, err
	}
	still := func() error { return hold.Still(ctx) }
	found, err = l.measure(ctx, a, ask, v, l.plan, still)
	if err != nil || !v.probe {
		return found, err
	}
	p, any := found.Probing(listen.Switchable(l.studio.Studio, status))
	if !any {
		return found, nil
	}
	if err := hold.Add(ctx, p.Changes); err != nil {
		a.out.complainf("bayhand: nothing was probed: %v\n", err)
		return found, nil
	}
	v.quiet = true
	probed, err := l.measure(ctx, a, ask, v, p.Plan, still, p.Changes...)
	if err == nil {
		found.Narrow(p, probed)
	}
	return found, err
}

// notMuted says what else can be done where a matrix does not mute.
func notMuted(err error) error {
	if errors.Is(err, keep.ErrNoAnswer) || errors.Is(err, keep.ErrConflict) || errors.Is(err, listen.ErrNotHeld) {
		return fmt.Errorf("%w; nothing was played. Where it is muted by hand, name what may hear the sound with --with", err)
	}
	return err
}

// measure plays and reads, and tells how far it is. Any key at the terminal stops it.
// Still says whether what is held is so, and switched is what a probe has switched.
func (l *listening) measure(ctx context.Context, a *app, ask *asking, v verifying, plan *listen.Plan, still func() error, switched ...plans.Change) (*listen.Answer, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	defer ask.keys(stop)()
	shown := newProgress(a.out.err)
	defer shown.end()
	way := listen.Way{Quiet: v.quiet, Then: v.level, Groups: v.groups, OneAtATime: v.single, MutesHold: still, Progress: func(p listen.Progress) {
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
	return plan.Measure(ctx, l.opener(a, append(plan.Needs(), switched...)), way)
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
	answer := &verified{Answer: found, whole: v.whole, one: v.watch, recorded: v.read}
	if err := answer.say(a.out); err != nil {
		return err
	}
	if v.forms.filled != "" {
		if err := l.fill(a.out, v.forms, found); err != nil {
			return err
		}
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

// live says whether the sound is played here.
func (v verifying) live() bool {
	return !v.read && v.write == "" && v.mono == "" && !v.asksForms()
}

// fileLevel is that of test sound in files, in dBFS rms.
func (v verifying) fileLevel() float64 {
	if v.level == 0 {
		return tones.FirstLevel
	}
	return v.level
}
