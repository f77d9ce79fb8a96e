package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"slices"
	"sync"

	"bayhand/model/patch"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/page"
)

// bayPage is the page at the bay, made anew when the studio's file changes.
type bayPage struct {
	library *files.Library
	room    keep.Room
	history func(keep.Query) ([]keep.Event, error)
	made    madeFile
	changes *page.Changes
	ears    *page.Ears
	// house has the rooms of a house of several hosts; nil where there is one.
	house func(context.Context) page.House
	// laid is told when the files of a new studio were written.
	laid func()
	// wake holds one call to look again.
	wake chan struct{}

	// mu guards the fields below.
	mu  sync.Mutex
	now http.Handler
	// src is the studio's file that now was made of; nil while none could be read,
	// and begun is then whether there was one.
	src   []byte
	begun bool
	// found is what was wrong with the files at the last look.
	found []page.Finding
	// whole is false where a file could not be read then.
	whole bool
}

// newBayPage makes it; what is ticked of the recall sheet is kept in the folder.
func newBayPage(library *files.Library, room keep.Room, history func(keep.Query) ([]keep.Event, error), folder string, house func(context.Context) page.House) *bayPage {
	p := &bayPage{library: library, room: room, house: house, history: history, made: madeFile{folder}, changes: page.NewChanges(), wake: make(chan struct{}, 1)}
	p.ears = page.NewEars(p.wouldHear, p.hear, p.changes.Tell)
	p.found = []page.Finding{{Severity: text.Advice, File: library.Place().Studio, Message: "the files are still being read"}}
	p.renew()
	return p
}

// look has the files read again, and does not wait for it: there may be thousands.
func (p *bayPage) look() {
	select {
	case p.wake <- struct{}{}:
	default: // one call is waiting already
	}
}

// lookElsewhere looks again where something could not be read: a disk may answer again
// although the folders are as they were.
func (p *bayPage) lookElsewhere() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.whole {
		p.look()
	}
}

// run reads the files at the start and each time that they may differ.
func (p *bayPage) run(ctx context.Context) error {
	for {
		read := make(chan struct{})
		go func() { p.read(ctx); close(read) }()
		select {
		case <-read:
		case <-ctx.Done():
			return nil // whatever the file system still waits for
		}
		select {
		case <-p.wake:
		case <-ctx.Done():
			return nil
		}
	}
}

// read reads the files. While the studio's has errors, or is as it was, the page
// stays as it was: the marks of its cords do not change then. Whoever looks at it is
// told where anything is new.
func (p *bayPage) read(ctx context.Context) {
	if p.renew() {
		p.changes.Tell()
	}
	found, whole := findings(ctx, p.library)
	if ctx.Err() != nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.whole = whole
	if !slices.Equal(found, p.found) {
		p.found = found
		p.changes.Tell()
	}
}

// renew makes the page of the studio as it is now, and is false where that is as it
// was. Nobody who looks at the page waits for the files.
func (p *bayPage) renew() bool {
	read, err := p.library.Studio()
	begun := !p.library.Place().Missing()
	p.mu.Lock()
	defer p.mu.Unlock()
	if err != nil || read.Room == nil {
		if p.src != nil || p.now != nil && begun == p.begun {
			return false
		}
		p.now, p.begun = p.show(nil, begun), begun
		return true
	}
	if p.src != nil && bytes.Equal(read.Source, p.src) {
		return false
	}
	p.now, p.src = p.show(read.Studio, true), read.Source
	return true
}

// show makes the page of a studio, nil for none that could be read yet.
func (p *bayPage) show(s *studio.Studio, begun bool) http.Handler {
	o := page.Options{
		Room: p.room, Studio: s, Title: p.title,
		Names: p.names, Session: p.session, Plan: planner.Make, Capture: p.capture, History: p.history,
		Settings: p.made, Changes: p.changes, Check: p.findings, Paper: p.paper, House: p.house,
	}
	if s != nil && hasSound(s) {
		p.ears.Forget()
		o.Ears = p.ears
	}
	o.Draft = &page.Draft{File: p.library.Place().Studio, Load: p.loadDraft, Save: p.saveDraft}
	if !begun {
		o.Begin = &page.Begin{File: p.library.Place().Studio, Lay: p.lay}
	}
	return page.New(o)
}

func (p *bayPage) findings() []page.Finding {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.found
}

func (p *bayPage) lay(kind string) error {
	err := lay(p.library.Place(), kind)
	if err == nil && p.laid != nil {
		p.laid()
	}
	return err
}

// names are those of the sessions of the folder.
func (p *bayPage) names(context.Context) ([]string, error) {
	if _, err := p.sound(); err != nil {
		return nil, err
	}
	return p.library.Place().Names(), nil
}

// session is one of the folder, with what is wrong with it.
func (p *bayPage) session(_ context.Context, called string) (page.Listed, error) {
	read, err := p.sound()
	if err != nil {
		return page.Listed{}, err
	}
	one := page.Listed{Name: called}
	s, err := p.library.Session(read, called)
	switch {
	case err != nil:
		one.Problems = []string{err.Error()}
	case !s.Sound():
		for _, q := range s.Problems {
			one.Problems = append(one.Problems, q.Place.String()+": "+q.Message)
		}
	default:
		one.Session = s.Session
	}
	return one, nil
}

// capture writes a patch, nil for the present one, as a session that is not there
// yet.
func (p *bayPage) capture(ctx context.Context, called string, of *patch.Patch) error {
	if err := files.CheckSession(called); err != nil {
		return err
	}
	read, err := p.sound()
	if err != nil {
		return fmt.Errorf("%w, and nothing was captured", err)
	}
	file := p.library.Place().Session(called)
	if of != nil {
		return notWritten(file, disk.Create(file, read.Captured(*of, called, nil)))
	}
	status, err := p.room.Status(ctx)
	if err != nil {
		return err
	}
	return notWritten(file, disk.Create(file, read.Captured(status.Known.Patch(), called, p.library.Held(read, status.Session))))
}

// title is what people read for a session.
func (p *bayPage) title(session string) string {
	read, err := p.sound()
	if err != nil {
		return session
	}
	if title := p.library.Title(read, session); title != "" {
		return title
	}
	return session
}

// sound is the studio's file where it has no errors.
func (p *bayPage) sound() (*files.Studio, error) {
	read, err := p.library.Studio()
	if err == nil && read.Room == nil {
		return nil, fmt.Errorf("%s has errors", read.File)
	}
	return read, err
}

func (p *bayPage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	p.mu.Lock()
	now := p.now
	p.mu.Unlock()
	now.ServeHTTP(w, r)
}
