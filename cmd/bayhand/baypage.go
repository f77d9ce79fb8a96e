package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"slices"
	"sync"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page"
)

// bayPage is the page at the bay, made anew when the studio's file changes.
type bayPage struct {
	app     *app
	room    keep.Room
	history func(keep.Query) ([]keep.Event, error)
	made    madeFile
	changes *page.Changes
	// laid is told when the files of a new studio were written.
	laid func()

	// mu guards the fields below.
	mu  sync.Mutex
	now http.Handler
	// src is the studio's file that now was made of; nil while none could be read,
	// and begun is then whether there was one.
	src   []byte
	begun bool
	// found is what was wrong with the files at the last look.
	found []page.Finding
}

// newBayPage makes it; what is ticked of the recall sheet is kept in the folder.
func newBayPage(a *app, room keep.Room, history func(keep.Query) ([]keep.Event, error), folder string) *bayPage {
	p := &bayPage{app: a, room: room, history: history, made: madeFile{folder}, changes: page.NewChanges()}
	p.look()
	return p
}

// look reads the files again. While the studio's has errors, or is as it was, the
// page stays as it was: the marks of its cords do not change then. Whoever looks at
// it is told where anything is new.
func (p *bayPage) look() {
	found := p.app.findings()
	p.mu.Lock()
	defer p.mu.Unlock()
	fresh := p.renew()
	if fresh || !slices.Equal(found, p.found) {
		p.found = found
		p.changes.Tell()
	}
}

// renew makes the page of the studio as it is now, and is false where that is as it
// was. The lock is held.
func (p *bayPage) renew() bool {
	read, err := p.app.library.openStudio(p.app)
	if err != nil || read.room == nil {
		begun := !p.app.beginning()
		if p.src != nil || p.now != nil && begun == p.begun {
			return false
		}
		p.now, p.begun = p.show(nil, begun), begun
		return true
	}
	src := read.sources[p.app.studioFile]
	if p.src != nil && bytes.Equal(src, p.src) {
		return false
	}
	p.now, p.src = p.show(read.studio, true), src
	return true
}

// show makes the page of a studio, nil for none that could be read yet.
func (p *bayPage) show(s *studio.Studio, begun bool) http.Handler {
	o := page.Options{
		Room: p.room, Studio: s, Title: p.title,
		Sessions: p.sessions, Plan: makePlan, Capture: p.capture, History: p.history,
		Settings: p.made, Changes: p.changes, Check: p.findings,
	}
	if !begun {
		o.Begin = &page.Begin{File: p.app.studioFile, Lay: p.lay}
	}
	return page.New(o)
}

func (p *bayPage) findings() []page.Finding {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.found
}

func (p *bayPage) lay(kind string) error {
	err := p.app.lay(kind)
	if err == nil && p.laid != nil {
		p.laid()
	}
	return err
}

// sessions are those of the folder, with what is wrong with them.
func (p *bayPage) sessions(context.Context) ([]page.Listed, error) {
	read, err := p.app.library.openStudio(p.app)
	if err != nil {
		return nil, err
	}
	if read.room == nil {
		return nil, fmt.Errorf("%s has errors", p.app.studioFile)
	}
	var all []page.Listed
	for _, called := range p.app.sessionNames() {
		one := page.Listed{Name: called}
		s, problems, err := p.app.library.readSession(p.app, read, called)
		switch {
		case err != nil:
			one.Problems = []string{err.Error()}
		case problems.Errors():
			for _, q := range problems {
				one.Problems = append(one.Problems, q.Place.String()+": "+q.Message)
			}
		default:
			one.Session = s
		}
		all = append(all, one)
	}
	return all, nil
}

// capture writes a patch, nil for the present one, as a session that is not there
// yet.
func (p *bayPage) capture(ctx context.Context, called string, of *patch.Patch) error {
	if err := name.CheckOwner(called); err != nil {
		return err
	}
	read, err := p.app.library.openStudio(p.app)
	if err != nil {
		return err
	}
	if read.room == nil {
		return fmt.Errorf("%s has errors, and nothing was captured", p.app.studioFile)
	}
	if of != nil {
		return create(p.app.sessionFile(called), p.app.captured(read, *of, called, nil))
	}
	status, err := p.room.Status(ctx)
	if err != nil {
		return err
	}
	return create(p.app.sessionFile(called), p.app.captured(read, status.Known.Patch(), called, p.app.sessionOf(read, status.Session)))
}

// title is what people read for a session.
func (p *bayPage) title(session string) string {
	read, err := p.app.library.openStudio(p.app)
	if err != nil || read.room == nil {
		return session
	}
	if session == "" || session == keep.RestName {
		return session
	}
	if s, _, err := p.app.library.readSession(p.app, read, session); err == nil && s != nil && s.Title != "" {
		return s.Title
	}
	return session
}

func (p *bayPage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	p.mu.Lock()
	now := p.now
	p.mu.Unlock()
	now.ServeHTTP(w, r)
}
