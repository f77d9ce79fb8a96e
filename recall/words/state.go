package words

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Session is what is intended, in words: the session's name, "rest" and
// nothing said for what they are.
func Session(intended string) string {
	switch intended {
	case "":
		return "no session"
	case "rest":
		return "rest patch"
	}
	return Clean(intended)
}

// Called is how a session is named to people: by its title, which title gives by the
// session's name (nil, or an empty one, where none is known). Rest and nothing are said for
// what they are.
func Called(session string, title func(session string) string) string {
	if title != nil && session != "" && session != keep.RestName {
		if text := title(session); text != "" {
			return Clean(text)
		}
	}
	return Session(session)
}

// Intended is what is intended in a room, in words: where the first recall was undone, what
// was in before it.
func Intended(s keep.Status) string {
	switch {
	case s.Session == "" && s.Undone == keep.RestName:
		return "before the rest patch"
	case s.Session == "" && s.Undone != "":
		return Put("before {session}", "session", Session(s.Undone))
	}
	return Session(s.Session)
}

// InRoom is what a room is in; called is its session, as people read it.
func InRoom(r keep.RoomStatus, called string) string {
	if r.NotGiven {
		return Put("{room}: {session}; some connections not possible", "room", Clean(r.Room), "session", called)
	}
	return Put("{room}: {session}", "room", Clean(r.Room), "session", called)
}

// Phase is where a recall is, as a sentence without its full stop.
func Phase(p keep.Phase) string {
	switch p {
	case keep.Idle:
		return "no session recalled"
	case keep.Pushing:
		return "switching matrices"
	case keep.Waiting:
		return "cords to plug"
	case keep.Given:
		return "ready"
	case keep.Stuck:
		return "stopped: see problems"
	}
	return "unknown"
}

// Announced is what a room's host told of it, for lists of many rooms.
func Announced(session string, p keep.Phase) string {
	if session == "" {
		return Phase(p)
	}
	return Put("{session}: {state}", "session", Session(session), "state", Phase(p))
}

// Standing is where a recall is, as Phase says it, except that a room with a matrix
// that cannot be asked is never said to give anything: what was sent is a belief.
func (w *Words) Standing(s keep.Status) string {
	for _, m := range s.Matrices {
		if s.Phase == keep.Given && m.Driven && !m.ReadsBack {
			return Put("sent, not confirmed: {matrix} has no read-back", "matrix", w.Owner(m.Name))
		}
	}
	for _, m := range s.Matrices {
		if s.Phase == keep.Given && unchecked(m) {
			return Put("ready when last checked; {matrix} is not checked yet", "matrix", w.Owner(m.Name))
		}
	}
	switch s.Phase {
	case keep.Waiting:
		if rooms := waitingElsewhere(s); len(rooms) > 0 {
			own := s
			own.Phase = keep.Given
			return Put("{own}; in {rooms}: {left}", "own", w.Standing(own), "rooms", List(rooms), "left", w.waiting(s))
		}
		return w.waiting(s)
	case keep.Given:
		return ready(s.Known)
	case keep.Stuck:
		return stopped(s)
	}
	return Phase(s.Phase)
}

// waitingElsewhere are the rooms in which steps are left, where none is in those of the
// session that was recalled last; none where there is.
func waitingElsewhere(s keep.Status) []string {
	own := func(r keep.RoomStatus) bool { return s.Session != "" && r.Session == s.Session }
	if !slices.ContainsFunc(s.Rooms, own) {
		return nil
	}
	var rooms []string
	for _, r := range s.Rooms {
		switch {
		case own(r) && r.Phase != keep.Given:
			return nil
		case r.Phase == keep.Waiting:
			rooms = append(rooms, Clean(r.Room))
		}
	}
	return rooms
}

// stopped points to where it is said why: to what is not possible, which has a list of its
// own, or to the problems.
func stopped(s keep.Status) string {
	other := func(p keep.Problem) bool { return p.Severity == "error" && p.Code != "not-given" }
	if s.Plan == nil || len(s.Plan.Missing) == 0 || slices.ContainsFunc(s.Problems, other) {
		return Phase(keep.Stuck)
	}
	return "stopped: some connections not possible"
}

// waiting says what is waited for: hands at the bay, hands elsewhere, or a matrix.
func (w *Words) waiting(status keep.Status) string {
	var matrices []string
	hands, pulls := false, false
	for _, s := range status.Left {
		switch {
		case s.By != plan.Person && !byHand(status, s.By):
			if matrix := w.Owner(s.By); !slices.Contains(matrices, matrix) {
				matrices = append(matrices, matrix)
			}
		case s.Do == plan.Switch || s.Do == plan.Mute || s.Do == plan.Unmute || s.Do == plan.PhantomOff || s.Do == plan.PhantomOn || s.Do == plan.ChangeOver:
			hands = true
		case s.Do == plan.Pull || s.Do == plan.PullLead || s.Do == plan.PullDummy:
			pulls = true
		default:
			return Phase(keep.Waiting)
		}
	}
	switch {
	case pulls:
		return "cords to unplug"
	case hands || len(matrices) == 0:
		return "steps to do by hand"
	}
	return Put("waiting for {matrices}", "matrices", List(matrices))
}

// byHand says whether a matrix is switched by hand: it has no device.
func byHand(status keep.Status, matrix string) bool {
	return slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool { return m.Name == matrix && !m.Driven })
}

// ready says of a room with cords that somebody reported that it is ready as far as that
// is so: nobody read them.
func ready(k keep.Known) string {
	told := func(h keep.How) bool { return h == keep.Told }
	if slices.ContainsFunc(k.Cords, func(c keep.KnownCord) bool { return told(c.How) }) ||
		slices.ContainsFunc(k.Leads, func(l keep.KnownLead) bool { return told(l.How) }) ||
		slices.ContainsFunc(k.Dummies, func(d keep.KnownDummy) bool { return told(d.How) }) {
		return "ready (cords as reported)"
	}
	return "ready"
}

// How is why a part of the patch is believed, in words that never turn a belief
// into knowledge.
func How(h keep.How) string {
	switch h {
	case keep.Read:
		return "read back"
	case keep.Measured:
		return "measured"
	case keep.Told:
		return "reported"
	case keep.Sent:
		return "sent, not confirmed"
	case keep.Assumed:
		return "assumed"
	}
	return "unknown"
}
