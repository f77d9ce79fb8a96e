package keep

import (
	"reflect"
	"slices"

	"bayhand/model/patch"
	"bayhand/model/session"
)

// Past is what was intended before a recall, in the rooms of that recall.
type Past struct {
	// Rooms are those, with the rooms of the sessions whose place it took; none where it
	// was about all of the studio.
	Rooms []string `json:"rooms,omitempty"`
	// Session is empty where nothing was intended: then only the patch counts.
	Session string        `json:"session"`
	Options RecallOptions `json:"options"`
	// Wanted is the session as it was read last; nil for rest and for nothing.
	Wanted *session.Session `json:"wanted,omitempty"`
	// Others are other sessions in the rooms.
	Others []Held `json:"others,omitempty"`
	// Patch is the one that was meant to be in, whether all its cords were in yet
	// or not; the patch that was known where nothing was intended.
	Patch patch.Patch `json:"patch"`
	// Undo is true where that recall was an undo itself.
	Undo bool `json:"undo,omitempty"`
}

// past is what an undo after the next recall in some rooms goes back to; no rooms are all
// of the studio.
func (w planning) past(rooms []string) Past {
	in := w.memory.Intent
	p := Past{Rooms: rooms, Session: in.Session, Options: in.Options, Wanted: in.Wanted, Others: in.Others, Patch: w.memory.Known.Patch()}
	if target, planned := in.target(); planned {
		p.Patch = target.Clone()
	}
	if len(rooms) > 0 {
		p.narrow(in, w.held(rooms))
	}
	return p
}

// held are the sessions that some rooms are in.
func (w planning) held(rooms []string) []Held {
	return slices.DeleteFunc(w.memory.Intent.held(w.studio), func(h Held) bool { return len(overlap(h.Rooms, rooms)) == 0 })
}

// narrow has a past intent be about its rooms, and what is held in them.
func (p *Past) narrow(in Intent, held []Held) {
	rest := in.Session == RestName && (in.Options.Room == "" || slices.Contains(p.Rooms, in.Options.Room))
	p.Session, p.Options, p.Wanted, p.Others = "", RecallOptions{}, nil, nil
	switch {
	case len(held) > 0:
		p.Session, p.Options, p.Wanted, p.Others = held[0].Session, held[0].Options, held[0].Wanted, held[1:]
	case rest:
		p.Session = RestName
	}
}

// addPast adds what an undo goes back to. Of each room the newest stays: an older recall
// that was about some of the same rooms cannot be undone without what came after it.
func (m *Memory) addPast(p Past) {
	m.Pasts = slices.DeleteFunc(slices.Clone(m.Pasts), func(old Past) bool { return common(old.Rooms, p.Rooms) })
	m.Pasts = append(m.Pasts, p)
}

// again says whether an intent leads to what another one led to: a session that is recalled
// twice is undone at once.
func (in Intent) again(was Intent) bool {
	// How long was looked for a plan is not part of what is asked for.
	in.Options.Effort, was.Options.Effort = 0, 0
	now, planned := in.target()
	before, wasPlanned := was.target()
	if !planned || !wasPlanned || in.Session != was.Session || in.Options != was.Options || in.Meaning != was.Meaning || len(in.Others) != len(was.Others) {
		return false
	}
	for i, h := range in.Others {
		if o := was.Others[i]; h.Session != o.Session || h.Meaning != o.Meaning {
			return false
		}
	}
	now, before = now.Clone(), before.Clone()
	now.Sort()
	before.Sort()
	return reflect.DeepEqual(now, before)
}

// Undone is the session whose recall was undone last, where that led back to what was in
// before anything was recalled; empty otherwise. An undo leaves a Past as any recall does.
func (m *Memory) Undone() string {
	if m.Intent.Session != "" || m.Intent.Back == nil || len(m.Pasts) == 0 {
		return ""
	}
	return m.Pasts[len(m.Pasts)-1].Session
}

// pastOf is what the last recall in a room goes back to, or the last of all where no room
// is named; false where there is none.
func (m *Memory) pastOf(room string) (Past, bool) { return pastOf(m.Pasts, room) }

// Earlier is the patch that an undo goes back to, in a room where one is named; nil where
// there is nothing to undo.
func (s Status) Earlier(room string) *patch.Patch {
	if p, ok := pastOf(s.Pasts, room); ok {
		return &p.Patch
	}
	return nil
}

func pastOf(pasts []Past, room string) (Past, bool) {
	for _, p := range slices.Backward(pasts) {
		if room == "" || len(p.Rooms) == 0 || slices.Contains(p.Rooms, room) {
			return p, true
		}
	}
	return Past{}, false
}
