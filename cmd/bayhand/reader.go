package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"sync"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/words"
)

// reader reads the studio's files for a command and reports what is wrong with
// them. The flags say where they are, before anything is read.
type reader struct {
	at  files.Place
	out *output

	once sync.Once
	lib  *files.Library
}

// library has the files; each is read once, and again when it changed.
func (r *reader) library() *files.Library {
	r.once.Do(func() { r.lib = files.NewLibrary(r.at) })
	return r.lib
}

// open reads the studio's file. What is wrong in it is in its problems; the error is
// for a file that is not there.
func (r *reader) open() (*files.Studio, error) {
	p, err := r.library().Studio()
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, wrongUsage("%w; give it with --studio FILE or in %s; to begin one: bayhand manual getting-started", err, studioVariable)
	case err != nil:
		return nil, wrongUsage("%w; give it with --studio FILE or in %s", err, studioVariable)
	}
	if p.Studio != nil {
		panel := words.In(p.Studio).Panel
		r.out.panel.Store(&panel)
	}
	return p, nil
}

// sessionsThere refuses a folder of sessions that was named and is not there: of none nothing is
// wrong.
func (r *reader) sessionsThere() error {
	if r.at.Sessions == "" {
		return nil
	}
	if info, err := os.Stat(r.at.Sessions); err != nil || !info.IsDir() {
		return wrongUsage("there is no folder %s; give the sessions' folder with --sessions DIR", r.at.Sessions)
	}
	return nil
}

// sound is open for a command that needs a studio without errors; those that it has
// are reported.
func (r *reader) sound() (*files.Studio, error) {
	p, err := r.open()
	if err != nil {
		return nil, err
	}
	r.out.report(p.Problems, p.Sources())
	if p.Room == nil {
		return nil, silent(cannot)
	}
	return p, nil
}

// driven is sound for a command that drives the matrices: what does not fit their
// devices' descriptions is reported too, before a device is asked.
func (r *reader) driven() (*files.Studio, error) {
	p, err := r.sound()
	if err != nil {
		return nil, err
	}
	wrong := text.Problems(r.at.Devices(p)).OnlyErrors()
	r.out.report(wrong, p.Sources())
	if len(wrong) > 0 {
		return nil, silent(cannot)
	}
	return p, nil
}

// called is what a session is called that a person named.
func (r *reader) called(typed string) string { return r.library().Place().Called(typed) }

// session reads a session for a command that needs one without errors; those that it
// has are reported.
func (r *reader) session(p *files.Studio, name string) (*files.Session, error) {
	s, err := r.library().Session(p, name)
	if err != nil {
		return nil, wrongUsage("%w", err)
	}
	r.out.report(s.Problems, s.Sources)
	if !s.Sound() {
		return nil, silent(cannot)
	}
	return s, nil
}

// saved waits until the studio's file and that of a session that somebody is about to go by
// stand still: what was written just now may be half of what is being saved.
func (r *reader) saved(ctx context.Context, session string) {
	for latest := time.Now().Add(mostWait * files.StillFor); r.waits(ctx, latest, session); {
	}
}

// waits lets the time pass that files were not written for yet; false where they stand still,
// and at the latest at a time.
func (r *reader) waits(ctx context.Context, latest time.Time, sessions ...string) bool {
	wait := r.at.Unsettled(sessions)
	if wait <= 0 || time.Now().After(latest) {
		return false
	}
	select {
	case <-time.After(wait):
	case <-ctx.Done():
		return false
	}
	return true
}

// named is a patch by one of two words, or in a file, such as what plan --json
// printed.
func (r *reader) named(p *files.Studio, from string) (patch.Patch, error) {
	switch from {
	case "rest":
		return p.Studio.Rest.Clone(), nil
	case "empty":
		return patch.Patch{}, nil
	}
	src, err := named("the patch's file", from, "give a file with a patch: in it, or rest, or empty")
	if err != nil {
		return patch.Patch{}, err
	}
	found, _, problems := text.ReadPatch(from, src, p.Studio)
	r.out.report(problems, map[string][]byte{from: src})
	if problems.Errors() {
		return patch.Patch{}, silent(cannot)
	}
	return found, nil
}

// named is what stands in a file that a person named.
func named(what, file, hint string) ([]byte, error) {
	src, err := files.Named(what, file, hint)
	if err != nil {
		return nil, wrongUsage("%w", err)
	}
	return src, nil
}

// pointIn reads a point that a person typed, by its full name, the shortest that
// will do, or the words that are printed for it.
func pointIn(s *studio.Studio, typed string) (name.Point, error) {
	at, err := words.Find(s, typed)
	if err != nil {
		return at, wrongUsage("%w", err)
	}
	return at, nil
}
