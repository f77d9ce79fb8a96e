package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/drivers/sound"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
	"bayhand/recall/page"
	"bayhand/recall/paper"
)

// hasSound says whether any gear of a studio is a sound device.
func hasSound(s *studio.Studio) bool {
	return slices.ContainsFunc(s.Gear, func(g studio.Gear) bool { return g.Sound != nil })
}

// errByFiles is a studio whose sound device no program reaches.
var errByFiles = errors.New("the studio's file says that its sound goes by files: bayhand verify --write test.wav makes the sound, and --read reads what was recorded; with the link of a sound device it is listened to here")

// listening is the room as it is known, about to be listened to.
func (p *bayPage) listening(s keep.Status) (*listening, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	l := &listening{studio: read}
	r := listen.Request{Patch: s.Known.Patch(), Session: &session.Session{Program: -1}, OfRoom: true}
	if held := p.library.Held(read, s.Session); held != nil {
		r.Session = held
	}
	if r.Session.Name != "" {
		l.file = referenceFile(p.library.Place(), r.Session.Name)
		if r.Reference, err = listen.LoadReference(l.file); err != nil {
			return nil, err
		}
	}
	r.Room = read.Room.For(r.Session, r.Patch)
	r.Muted = listen.Silences(read.Studio, s)
	r.Muted = append(r.Muted, listen.Mutable(read.Studio, r.Muted)...)
	l.plan, err = listen.Prepare(r)
	return l, err
}

// wouldHear is the plan of listening to the room as it is known.
func (p *bayPage) wouldHear(_ context.Context, s keep.Status) (*listen.Plan, error) {
	l, err := p.listening(s)
	if err != nil {
		return nil, err
	}
	if link := l.plan.Device.Sound.Link; link == "" || link == sound.Files.String() {
		return nil, errByFiles
	}
	return l.plan, nil
}

// checkup is a form that belongs to listening: of the minutes before the band comes, or
// of the year.
func (p *bayPage) checkup(ctx context.Context, out *bytes.Buffer, yearly bool) error {
	status, err := p.room.Status(ctx)
	if err != nil {
		return err
	}
	l, err := p.listening(status)
	if errors.Is(err, listen.ErrUsage) {
		return page.ErrNoPaper // no gear of the studio is a sound device
	}
	if err != nil {
		return err
	}
	make := l.before
	if yearly {
		make = func() (paper.Checkup, error) { return l.yearly(nil) }
	}
	form, err := make()
	if err != nil {
		return err
	}
	_, err = paper.CheckupPDF(out, form, paper.A4)
	return err
}

// hear plays a plan and reads what comes back, with muted what a matrix mutes. Cords
// that are known by it become measured, and those that are in doubt are told again.
func (p *bayPage) hear(ctx context.Context, l *listen.Plan, progress func(listen.Progress)) (*listen.Answer, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	way := listen.Way{Progress: progress}
	needs := l.Needs()
	if held := append(l.Needs(), l.Silenced()...); len(held) > 0 {
		hold, err := listen.Take(ctx, p.room, held)
		if err != nil {
			return nil, err
		}
		// What could not be put back stands among the room's problems.
		defer func() { _ = hold.Release(ctx) }()
		way.MutesHold = func() error { return hold.Still(ctx) }
		status, err := p.room.Status(ctx)
		if err != nil {
			return nil, err
		}
		if l, err = l.Replan(status); err != nil {
			return nil, err
		}
	}
	begun := time.Now()
	open := soundOpener(read, l.Device, p.library.Place(), needs, func(file string) (patch.Patch, error) { return patchIn(read, file) })
	found, err := l.Measure(ctx, open, way)
	if err != nil {
		return nil, err
	}
	return found, found.Tell(ctx, p.room, begun, time.Now())
}

// patchIn is the patch in a file.
func patchIn(read *files.Studio, file string) (patch.Patch, error) {
	src, err := files.Named("the patch's file", file, "")
	if err != nil {
		return patch.Patch{}, err
	}
	in, _, problems := text.ReadPatch(file, src, read.Studio)
	if problems.Errors() {
		return patch.Patch{}, fmt.Errorf("%s has errors", file)
	}
	return in, nil
}
