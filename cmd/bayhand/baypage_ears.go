package main

import (
	"context"
	"errors"
	"fmt"
	"os"
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
)

// hasSound says whether any gear of a studio is a sound device.
func hasSound(s *studio.Studio) bool {
	return slices.ContainsFunc(s.Gear, func(g studio.Gear) bool { return g.Sound != nil })
}

// errByFiles is a studio whose sound device no program reaches.
var errByFiles = errors.New("the studio's file says that its sound goes by files: bayhand verify --write test.wav makes the sound, and --read reads what was recorded; with the link of a sound device it is listened to here")

// wouldHear is the plan of listening to the room as it is known.
func (p *bayPage) wouldHear(_ context.Context, s keep.Status) (*listen.Plan, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	r := listen.Request{Patch: s.Known.Patch(), Session: &session.Session{Program: -1}, OfRoom: true}
	if held := p.library.Held(read, s.Session); held != nil {
		r.Session = held
	}
	if r.Session.Name != "" {
		if r.Reference, err = listen.LoadReference(referenceFile(p.library.Place(), r.Session.Name)); err != nil {
			return nil, err
		}
	}
	r.Room = read.Room.For(r.Session, r.Patch)
	l, err := listen.Prepare(r)
	if err != nil {
		return nil, err
	}
	if link := l.Device.Sound.Link; link == "" || link == sound.Files.String() {
		return nil, errByFiles
	}
	return l, nil
}

// hear plays a plan and reads what comes back. Cords that are known by it become
// measured, and those that are in doubt are told again.
func (p *bayPage) hear(ctx context.Context, l *listen.Plan, progress func(listen.Progress)) (*listen.Answer, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	begun := time.Now()
	open := soundOpener(read, l.Device, p.library.Place(), func(file string) (patch.Patch, error) { return patchIn(read, file) })
	found, err := l.Measure(ctx, open, listen.Way{Progress: progress})
	if err != nil {
		return nil, err
	}
	return found, found.Tell(ctx, p.room, begun, time.Now())
}

// patchIn is the patch in a file.
func patchIn(read *files.Studio, file string) (patch.Patch, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return patch.Patch{}, err
	}
	found, _, problems := text.ReadPatch(file, src, read.Studio)
	if problems.Errors() {
		return patch.Patch{}, fmt.Errorf("%s has errors", file)
	}
	return found, nil
}
