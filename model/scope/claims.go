package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// touch is what a piece of metal has to do with.
type touch struct {
	own   bool
	out   bool // a room outside the scope
	named bool // a holder names a place of it
	by    int  // the holder of such a room, or one that names a place of it; -1 for none
}

// touches says of each piece of metal what it has to do with, by its number.
func (c *Scope) touches(m *metal) []touch {
	named := make([]int, len(c.named)) // first, since they may come in
	for i, one := range c.named {
		named[i] = m.of(one.at)
	}
	all := make([]touch, m.size())
	for n := range all {
		all[n].by = -1
	}
	for n := range all {
		_, room := m.place(n)
		if room < 0 {
			continue
		}
		t := &all[m.root(n)]
		if c.isOwn[room] {
			t.own = true
			continue
		}
		t.out = true
		t.by = max(t.by, c.holding[room])
	}
	for i, one := range c.named {
		t := &all[named[i]]
		t.named, t.by = true, max(t.by, one.by)
	}
	return all
}

// asksFor says whether the session takes a signal from a place: several may, and what
// parts of it are taken the plugs there say.
func (c *Scope) asksFor(source name.Point) bool {
	return c.wanted != nil && slices.ContainsFunc(c.wanted.Wants, func(w session.Want) bool { return w.Source == source })
}

// claimLines takes what leads to rooms outside the scope for good, and the gear in no
// room that others name.
func (c *Scope) claimLines(fixed *metal) {
	all := c.touches(fixed)
	for n := range all {
		p, room := fixed.place(n)
		if t := all[fixed.root(n)]; room < 0 && !t.own && (t.out || t.named) {
			c.theirs[p] = t.by
		}
	}
}

// claimHeld takes what a patch joins to rooms that others hold: by plugs, and by
// crosspoints from there on.
func (c *Scope) claimHeld(m *metal, p patch.Patch) {
	plugs := map[name.Point]bool{}
	for _, q := range p.Plugs() {
		plugs[q] = true
		m.of(q)
	}
	for _, x := range p.Crosspoints {
		m.of(x.Output)
		m.of(x.Input)
	}
	all := c.touches(m)
	held := func(n int) int {
		if t := all[n]; t.out || t.named {
			return t.by
		}
		return -1
	}
	for range p.Crosspoints { // at most so often does something come further
		more := false
		for _, x := range p.Crosspoints {
			to := m.of(x.Output)
			if by := held(m.of(x.Input)); by >= 0 && !c.own(x.Output.Owner) && held(to) < 0 && !all[to].own {
				all[to] = touch{by: by, named: true}
				more = true
			}
		}
		if !more {
			break
		}
	}
	for n := range all {
		q, room := m.place(n)
		root := m.root(n)
		out, own := room >= 0 && !c.isOwn[room], room >= 0 && c.isOwn[room]
		if by := held(root); by >= 0 && !out && (plugs[q] || !own && !all[root].own) {
			c.theirs[q] = by
		}
	}
}
