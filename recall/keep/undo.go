package keep

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// undo makes what was intended before the last recall what is intended again,
// by the patch that was meant then: before the last recall in one room, where the act
// names one, and before the last anywhere otherwise. It is a recall as any other: undoing
// it brings back what it undid.
//
// While a recall is being planned there, that is what is given up, and nothing else.
func (k *machine) undo(a *ask) error {
	room, w := a.act.Options.Room, k.planning()
	if k.studio == nil {
		return k.files.noStudio()
	}
	if a.act.Options != (RecallOptions{Room: room}) {
		return tell(ErrUsage, "an undo takes no option but a room")
	}
	if err := w.checkRoom(room, true); err != nil {
		return err
	}
	if a.tries == 0 && k.queue().giveUpNewest(room) {
		return nil
	}
	was, ok := k.memory.pastOf(room)
	if !ok {
		return nothingBefore(room)
	}
	in, err := w.intendPast(was)
	if err != nil {
		return err
	}
	return k.intendNow(a, in, w.undone(was, in))
}

func nothingBefore(room string) error {
	if room == "" {
		return tell(ErrConflict, "there is no recall to undo")
	}
	return tell(ErrConflict, "there is no recall in %s that can be undone alone", room)
}

// undone is what an undo did, in words.
func (w planning) undone(was Past, in Intent) string {
	back := in.whole(w.studio)
	if was.Undo {
		return phrase.Put("undid the undo: back to {sessions}", "sessions", back)
	}
	now := w.memory.Intent
	var titles []string
	for _, h := range now.held(w.studio) {
		if len(was.Rooms) > 0 && len(overlap(h.Rooms, was.Rooms)) > 0 {
			titles = append(titles, h.Session)
		}
	}
	if titles == nil {
		titles = []string{now.title()}
	}
	return phrase.Put("undid the recall of {session}: back to {sessions}", "session", strings.Join(titles, " and "), "sessions", back)
}

// intendPast is the intent of a past one, with what other rooms are in. A session whose
// file is gone or has errors by now is taken as it was read last.
func (w planning) intendPast(was Past) (Intent, error) {
	was.Options.Inside, was.Options.Prefer = false, ""
	in, err := w.blank(was.Session, was.Options)
	if err != nil {
		return Intent{}, err
	}
	in.Wanted, in.Others = was.Wanted, slices.Clone(was.Others)
	for i := range in.Others {
		in.Others[i].NotGiven, in.Others[i].Missing = false, nil // which is found anew
	}
	if len(was.Rooms) > 0 {
		for _, h := range w.memory.Intent.held(w.studio) {
			if len(overlap(h.Rooms, was.Rooms)) == 0 {
				in.Others = append(in.Others, h)
			}
		}
		if in.Wanted == nil {
			in.Options.Room = was.Rooms[0] // and those of what is held no more
		}
	}
	in.freshen(w.files.Sessions)
	back := was.Patch.Clone()
	in.Back = &back
	at := w.site()
	in.Meaning = at.meaning(in.Wanted)
	for i, h := range in.Others {
		in.Others[i].Meaning = at.meaning(h.Wanted)
	}
	return in, nil
}

// asked fits a question to the patch that an undo goes back to: the one that is
// preferred for a session, and that is gone to where there is none.
func (w planning) asked(in Intent, ask plan.Request) plan.Request {
	if in.Back == nil {
		return ask
	}
	back := fitting(withGuests(w.studio, w.memory.Here(w.studio)), in.Back.Clone())
	switch {
	case ask.Session != nil:
		wanted := *ask.Session
		wanted.Patch = &back
		ask.Session = &wanted
	case in.Session == "":
		room := *ask.Studio
		room.Rest, ask.Earlier = back, true
		ask.Studio = &room
	}
	return ask
}

// Idle is true where nothing is intended in any room: no session, no rest, and no undo to
// what was in before anything was.
func (in Intent) Idle() bool { return in.Session == "" && in.Back == nil && len(in.Others) == 0 }

// title is what is intended, in words.
func (in Intent) title() string {
	switch in.Session {
	case "":
		return "the earlier patch"
	case RestName:
		return "rest"
	}
	return in.Session
}

// fitting leaves out of a patch what the studio has no places for. The port of a
// lead may be a guest's, of this session or an earlier one: its jack counts.
func fitting(s *studio.Studio, p patch.Patch) patch.Patch {
	odd := func(points ...name.Point) bool {
		return slices.ContainsFunc(points, func(q name.Point) bool { return !exists(s, q) })
	}
	p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool { return odd(c.Ends()...) })
	p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return odd(l.Jack) })
	p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool { return odd(j) })
	p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return odd(c.Output, c.Input) })
	return p
}
