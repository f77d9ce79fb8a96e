package main

import (
	"context"
	"errors"
	"path/filepath"
	"strings"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/listen"
)

// listening is a room that is about to be listened to.
type listening struct {
	plan   *listen.Plan
	studio *files.Studio
	file   string // of the reference; empty without a session
}

// verified is what listening has shown, and how much of it is to be said.
type verified struct {
	*listen.Answer
	whole bool
	// one says that only the first finding is said.
	one bool
	// recorded says that it is of files, whose channels may stand in another order.
	recorded bool
}

func newListening(ctx context.Context, a *app, named string, v verifying) (*listening, error) {
	p, err := a.files.sound()
	if err != nil {
		return nil, err
	}
	l := &listening{studio: p}
	r := listen.Request{Only: v.only, Not: v.not, With: v.with}
	if r.Patch, r.Session, r.OfRoom, err = comparedWith(ctx, a, p, named, v.patch); err != nil {
		return nil, err
	}
	r.Room = p.Room.For(r.Session, r.Patch)
	if r.Session.Name != "" {
		l.file = referenceFile(a.files.library().Place(), r.Session.Name)
		if r.Reference, err = listen.LoadReference(l.file); err != nil {
			return nil, err
		}
	}
	if r.Muted, err = l.silences(ctx, a, v.live()); err != nil {
		return nil, err
	}
	l.plan, err = listen.Prepare(r)
	return l, listenFailure(err)
}

// silences are the loudspeakers that a matrix mutes, as the daemon read it back; before
// sound that is played here also those that it is to mute meanwhile.
func (l *listening) silences(ctx context.Context, a *app, here bool) ([]listen.Silent, error) {
	status, err := a.room.status(ctx, l.studio)
	if err != nil {
		return nil, err
	}
	muted := listen.Silences(l.studio.Studio, status)
	if here {
		muted = append(muted, listen.Mutable(l.studio.Studio, muted)...)
	}
	return muted, nil
}

// comparedWith is the patch to compare with, and the session that is wanted: the
// patch of a file, that which the room is known to be in (ofRoom), or, where it is not
// in the session named, that which would give it.
func comparedWith(ctx context.Context, a *app, p *files.Studio, named, file string) (told patch.Patch, wanted *session.Session, ofRoom bool, err error) {
	held := a.room.held(ctx, p)
	wanted = &session.Session{Program: -1}
	if held != nil && (named == "" || named == held.Name) {
		wanted = held
	}
	switch {
	case file != "":
		if named != "" && wanted.Name == "" {
			s, err := a.files.session(p, named)
			if err != nil {
				return told, nil, false, err
			}
			wanted = s.Session
		}
		told, err = a.files.named(p, file)
	case named != "" && wanted.Name == "":
		told, wanted, err = patchOf(ctx, a, p, named)
	default:
		ofRoom = true
		told, err = a.room.patch(ctx, p)
	}
	return told, wanted, ofRoom, err
}

// listenFailure gives an error of listening its exit status.
func listenFailure(err error) error {
	switch {
	case errors.Is(err, listen.ErrUsage):
		return wrongUsage("%w", err)
	case errors.Is(err, listen.ErrNothingPlays):
		return &failure{cannot, err}
	}
	return err
}

func (l *listening) needDriven() error { return listenFailure(l.plan.NeedDriven()) }

func isRecording(arg string) bool { return strings.EqualFold(filepath.Ext(arg), ".wav") }

// referenceFile is where the reading of a session is kept.
func referenceFile(at files.Place, session string) string {
	return strings.TrimSuffix(at.Session(session), ".yaml") + ".reading.json"
}
