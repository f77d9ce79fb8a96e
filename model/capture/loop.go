package capture

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
)

// Loop is a way by which a signal can go round, which a session does not allow, with what of
// the patch closes it.
type Loop struct {
	// Through are the ports along it.
	Through []name.Point
	// By is what a capture leaves out of the patch that it keeps; empty where the studio's
	// own wires and normals close the loop.
	By patch.Patch
}

// String says what a capture does about it.
func (l Loop) String() string {
	sentence := "captured with a loop through {points}; what closes it was left out: {items}; if it is meant, put that back and write allow: [loop {point}]"
	if empty(l.By) {
		sentence = "captured with a loop through {points}; if it is meant, write allow: [loop {point}]"
	}
	return phrase.Put(sentence, "points", list(l.Through), "items", Items(l.By), "point", l.Through[0].String())
}

// unloop is a patch without what closes loops that a session does not allow. It takes time
// linear in the room, and where there are loops, for each part of the patch on their nets.
func unloop(room *heard.Room, in *session.Session, p patch.Patch) (patch.Patch, []Loop) {
	live := room.Live(p)
	left := p.Clone()
	var loops []Loop
	for {
		all := live.Loops(in.Inside, in.Loops)
		at := slices.IndexFunc(all, func(l heard.Loop) bool {
			return !slices.ContainsFunc(loops, func(o Loop) bool { return slices.Equal(o.Through, l.Through) })
		})
		if at < 0 {
			return left, loops
		}
		l := closedBy(live, in, items(room, left), all[at].Through)
		live.Change(l.By, patch.Patch{})
		left = without(left, l.By)
		loops = append(loops, l)
	}
}

// closedBy finds what of a patch closes a loop: each without which it is open, or where there
// are several ways, all that is on its nets.
func closedBy(live *heard.Live, in *session.Session, parts []patch.Patch, through []name.Point) Loop {
	l := Loop{Through: through}
	parts = slices.DeleteFunc(parts, func(item patch.Patch) bool {
		return !slices.ContainsFunc(ends(item), func(p name.Point) bool {
			return slices.ContainsFunc(through, func(q name.Point) bool { return live.Joined(p, q) })
		})
	})
	opens := func(out patch.Patch) bool {
		live.Change(out, patch.Patch{})
		defer live.Change(patch.Patch{}, out)
		return !slices.ContainsFunc(live.Loops(in.Inside, in.Loops), func(o heard.Loop) bool { return slices.Equal(o.Through, through) })
	}
	var every patch.Patch
	for _, item := range parts {
		every = with(every, item)
		if opens(item) {
			l.By = with(l.By, item)
		}
	}
	if empty(l.By) && opens(every) {
		l.By = every
	}
	return l
}
