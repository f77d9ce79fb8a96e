package keep

import (
	"slices"
	"strings"
	"time"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Remembered is the status of a room that nobody keeps now, as its journal has it. No device
// was asked, so what was read of one is not known any more. Held reads the file of a session;
// nil where it cannot be read.
func Remembered(m Memory, s *studio.Studio, held func(session string) *session.Session) Status {
	status := Status{
		Studio: s.Name, Session: m.Intent.Session, Undone: m.Undone(), Recall: m.Intent.Recall, Plan: m.Intent.Plan,
		Rooms: RoomsOf(s, m), Inside: m.Intent.StillInside(), Tags: m.Tags, Guests: m.Here(s), Silenced: m.Silenced, WriteOnly: m.WriteOnly,
		Left: m.Intent.Left, Done: m.Intent.Done, Known: m.KnownCords(s), Phase: leftIn(m.Intent), Problems: m.WornCords(),
	}
	status.Problems = append(harmIn(s, m).problems(heard.NewRoom(s)), status.Problems...)
	status.Problems = append(status.Problems, strays(s, m, time.Time{})...)
	if stale := newer(m, s, held); len(stale) > 0 {
		status.Problems = append(status.Problems, Problem{Code: "files-newer", Severity: "warning", Message: newerText(m.Intent, stale)})
	}
	for i, c := range status.Known.Crosspoints {
		if c.How == Read {
			status.Known.Crosspoints[i].How = Assumed
		}
	}
	for _, x := range s.Matrices {
		asked := x.Device != nil && !slices.Contains(m.WriteOnly, x.Name)
		status.Matrices = append(status.Matrices, MatrixStatus{Name: x.Name, Driven: x.Device != nil, ReadsBack: asked})
	}
	return status
}

// newerText says which sessions to recall again, those whose files mean something else.
func newerText(in Intent, stale []string) string {
	if len(stale) == 1 && stale[0] == main && in.Session == RestName {
		return "The studio's file has changed since these steps were planned; strip the room again, and they are planned anew"
	}
	var called []string
	for _, session := range stale {
		called = append(called, in.called(session))
	}
	text := "The studio's or the session's file has changed since these steps were planned; recall {sessions} again, and they are planned anew"
	if len(in.Left) == 0 {
		text = "The studio's or the session's file has changed since the last steps were planned; recall {sessions} again"
	}
	return phrase.Put(text, "sessions", strings.Join(called, " and "))
}

// newer are the sessions whose files mean something else than when the last steps were
// planned.
func newer(m Memory, s *studio.Studio, held func(session string) *session.Session) []string {
	in := m.Intent
	if in.Idle() {
		return nil
	}
	files := map[string]*session.Session{}
	for _, name := range in.sessions() {
		files[name] = held(name)
	}
	fresh, _ := in.readAgain(files, newSite(s))
	return changed(in, fresh)
}

// leftIn is how far a recall has come by what is left of it.
func leftIn(i Intent) Phase {
	switch {
	case i.Idle():
		return Idle
	case len(i.Left) > 0:
		return Waiting
	case i.Given:
		return Given
	}
	return Stuck
}

// PatchOr is the patch that a journal has; the rest patch for what nobody has said
// anything of.
func PatchOr(m Memory, s *studio.Studio) patch.Patch {
	known, rest := m.Known.of(s).Patch(), s.Rest.Clone()
	if !m.BayTold {
		known.Cords, known.Leads, known.Dummies = rest.Cords, rest.Leads, rest.Dummies
	}
	if len(m.Known.Crosspoints) == 0 {
		known.Crosspoints = rest.Crosspoints
	}
	return known
}

// RequestFrom is a request that begins at a patch in a room as it stands: without the
// jacks tagged as faulty, and with what the software may still carry, as a recall would
// begin.
func RequestFrom(s *studio.Studio, status Status, from patch.Patch) plan.Request {
	return plan.Request{Studio: Present(s, status.Tags, status.Guests, from), From: from, PreviousInside: status.Inside}
}
