package page

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"hash/maphash"
	"html/template"
	"net/http"
	"slices"
	"sync"

	"bayhand/recall/web"
	"bayhand/recall/words"
)

// A piece is an element of a view that is sent again by itself when it is another
// than before; it may have pieces in it. Its id is that of its element. While a view
// is made, marks stand around its pieces; none of them is sent.
type piece struct {
	id string
	// own is the sum of what is in no inner piece.
	own   uint64
	html  []byte
	inner []*piece
}

const begins, ends, ended = "<!--[", "-->", "<!--]-->"

// Text of others has no "<" in the markup, so that it can be no mark.
func pieceMark(id string) template.HTML { return template.HTML(begins + id + ends) } //nolint:gosec // ids are names
func piecedMark() template.HTML         { return ended }

// cut takes a view apart into its pieces, and takes the marks away.
func cut(marked []byte) *piece {
	c := &cutter{rest: marked, seed: seed}
	root, _ := c.piece("")
	return root
}

var seed = maphash.MakeSeed()

type cutter struct {
	rest []byte
	seed maphash.Seed
}

// piece reads to the end of the piece that has begun.
func (c *cutter) piece(id string) (one *piece, size int) {
	one = &piece{id: id}
	var sum maphash.Hash
	sum.SetSeed(c.seed)
	text := func(b []byte) {
		// A buffer and a sum take everything.
		_, _ = sum.Write(b)
		one.html = append(one.html, b...)
	}
	for {
		at := bytes.Index(c.rest, []byte("<!--"))
		if at < 0 {
			text(c.rest)
			c.rest = nil
			break
		}
		text(c.rest[:at])
		c.rest = c.rest[at:]
		if after, is := bytes.CutPrefix(c.rest, []byte(ended)); is {
			c.rest = after
			break
		}
		after, is := bytes.CutPrefix(c.rest, []byte(begins))
		name, onward, closed := bytes.Cut(after, []byte(ends))
		if !is || !closed {
			text(c.rest[:4])
			c.rest = c.rest[4:]
			continue
		}
		c.rest = onward
		inner, _ := c.piece(string(name))
		one.inner = append(one.inner, inner)
		one.html = append(one.html, inner.html...)
	}
	one.own = sum.Sum64()
	return one, len(one.html)
}

// known is a piece as a browser has it.
type known struct {
	own   uint64
	inner []string
}

// note writes down the pieces that a browser is given.
func (p *piece) note(into map[string]known) {
	k := known{own: p.own}
	for _, inner := range p.inner {
		k.inner = append(k.inner, inner.id)
		inner.note(into)
	}
	into[p.id] = k
}

// fresh is a piece that a browser lacks: its markup, or the order of those in it
// where only they are others.
type fresh struct {
	ID    string   `json:"id"`
	HTML  string   `json:"html,omitempty"`
	Order []string `json:"order,omitempty"`
}

// since are the pieces that are not as a browser has them, the new ones before the
// order that they stand in. The outermost is no piece that is sent.
func (p *piece) since(has map[string]known, all []fresh) []fresh {
	before, ok := has[p.id]
	if p.id != "" && (!ok || before.own != p.own || (len(before.inner) == 0) != (len(p.inner) == 0)) {
		return append(all, fresh{ID: p.id, HTML: string(p.html)})
	}
	var order []string
	for _, inner := range p.inner {
		order = append(order, inner.id)
		all = inner.since(has, all)
	}
	if p.id != "" && !slices.Equal(order, before.inner) {
		all = append(all, fresh{ID: p.id, Order: order})
	}
	return all
}

// sent remembers what browsers were given last: the pieces of a view, and what was
// drawn of the room.
type sent struct {
	// mu guards the fields below.
	mu    sync.Mutex
	views map[string]sentView
	order []string
}

// sentView is a view as a browser has it; without pieces it is none.
type sentView struct {
	template string
	pieces   map[string]known
	drawn    []string
}

// The views that are sent in pieces.
const (
	roomView  = "room.html"
	benchView = "bench.html"
)

// mostSent are remembered; who comes after more is given the whole again.
const mostSent = 100

// of is what a browser has of a view; nothing where that is not known any more.
func (s *sent) of(view, template string) sentView {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v := s.views[view]; v.template == template {
		return v
	}
	return sentView{}
}

func (s *sent) keep(view string, v sentView) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.views == nil {
		s.views = map[string]sentView{}
	}
	if len(s.order) == mostSent {
		delete(s.views, s.order[0])
		s.order = s.order[1:]
	}
	s.views[view] = v
	s.order = append(s.order, view)
}

// since is what a browser lacks of a view that it has in another state.
type since struct {
	Title  string            `json:"title"`
	Token  string            `json:"token"`
	Room   map[string]string `json:"room"`
	Pieces []fresh           `json:"pieces"`
}

// writePieces sends a view: whole, or what a browser lacks of it.
func (p *page) writePieces(w http.ResponseWriter, r *http.Request, code int, template string, v framed, had sentView) {
	f := v.base()
	f.admit(r)
	f.View = rand.Text()
	var b bytes.Buffer
	if err := views().ExecuteTemplate(&b, template, v); err != nil {
		http.Error(w, words.Put("the page could not be made: {reason}", "reason", err.Error()), http.StatusInternalServerError)
		return
	}
	root := cut(b.Bytes())
	now := sentView{template, map[string]known{}, f.drawn}
	root.note(now.pieces)
	p.sent.keep(f.View, now)
	w.Header().Add("Vary", web.ViewHeader)
	if had.pieces == nil || code != http.StatusOK {
		sendPacked(w, r, code, "text/html; charset=utf-8", root.html)
		return
	}
	text, err := json.Marshal(since{f.PageTitle(), f.Token, f.Data(), root.since(had.pieces, []fresh{})})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	sendPacked(w, r, code, "application/json", text)
}

// sendPacked sends what is made anew for each who asks.
func sendPacked(w http.ResponseWriter, r *http.Request, code int, kind string, data []byte) {
	w.Header().Add("Vary", "Accept-Encoding")
	if takesPacked(r) {
		w.Header().Set("Content-Encoding", "gzip")
		data = packed(data)
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(code)
	// A browser that has gone needs no answer.
	_, _ = w.Write(data)
}
