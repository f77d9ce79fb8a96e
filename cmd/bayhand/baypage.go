package main

import (
	"net/http"
	"sync/atomic"

	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page"
)

// bayPage is the page at the bay, made anew when the studio's file changes.
type bayPage struct {
	app  *app
	room keep.Room
	now  atomic.Pointer[http.Handler]
}

func newBayPage(a *app, room keep.Room) *bayPage {
	p := &bayPage{app: a, room: room}
	p.look()
	return p
}

// look reads the studio's file again. While it has errors the page stays as it
// was.
func (p *bayPage) look() {
	read, err := p.app.openStudio()
	if err != nil || read.room == nil {
		if p.now.Load() == nil {
			p.show(&studio.Studio{})
		}
		return
	}
	p.show(read.studio)
}

func (p *bayPage) show(s *studio.Studio) {
	handler := page.New(page.Options{Room: p.room, Studio: s, Title: p.title})
	p.now.Store(&handler)
}

// title is what people read for a session.
func (p *bayPage) title(session string) string {
	read, err := p.app.openStudio()
	if err != nil || read.room == nil {
		return session
	}
	if title := p.app.title(read, session); title != "" {
		return title
	}
	return session
}

func (p *bayPage) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	(*p.now.Load()).ServeHTTP(w, r)
}
