package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Past is what was intended before the last recall.
type Past struct {
	// Session is empty where nothing was intended: then only the patch counts.
	Session string        `json:"session"`
	Options RecallOptions `json:"options"`
	// Wanted is the session as it was read last; nil for rest and for nothing.
	Wanted *session.Session `json:"wanted,omitempty"`
	Others []Held           `json:"others,omitempty"`
	// Patch is the one that was meant to be in, whether all its cords were in yet
	// or not; the patch that was known where nothing was intended.
	Patch patch.Patch `json:"patch"`
}

// past is what an undo after the next recall goes back to.
func (w planning) past() *Past {
	in := w.memory.Intent
	p := &Past{Session: in.Session, Options: in.Options, Wanted: in.Wanted, Others: in.Others, Patch: w.memory.Known.Patch()}
	if in.Plan != nil && (in.Plan.Given || in.Options.Partly) {
		p.Patch = patch.Patch(in.Plan.Target).Clone()
	}
	return p
}

// undo makes what was intended before the last recall what is intended again,
// by the patch that was meant then. It is a recall as any other: undoing it
// brings back what it undid.
//
// While a recall is being planned, that is what is given up, and nothing else.
func (k *machine) undo(a *ask) error {
	if a.tries == 0 && k.giveUpNewest() {
		return nil
	}
	was := k.memory.Past
	if was == nil {
		return tell(ErrConflict, "nothing was recalled yet, so there is nothing to undo")
	}
	in, err := k.planning(a.asker()).intendPast(*was)
	if err != nil {
		return err
	}
	text := "recall of " + k.memory.Intent.title() + " undone, back to " + in.whole(k.studio)
	return k.intendNow(a, in, text)
}

// intendPast is the intent of a past one. A session whose file is gone or has
// errors by now is taken as it was read last.
func (w planning) intendPast(was Past) (Intent, error) {
	was.Options.Inside, was.Options.Prefer = false, ""
	in, err := w.blank(was.Session, was.Options)
	if err != nil {
		return Intent{}, err
	}
	in.Wanted, in.Others = was.Wanted, was.Others
	in.freshen(w.files.Sessions)
	back := was.Patch.Clone()
	in.Back = &back
	in.Meaning = meaning(w.studio, in.Wanted)
	for i, h := range in.Others {
		in.Others[i].Meaning = meaning(w.studio, h.Wanted)
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
		room.Rest = back
		ask.Studio = &room
	}
	return ask
}

// idle is true where nothing is intended.
func (in Intent) idle() bool { return in.Session == "" && in.Back == nil }

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
