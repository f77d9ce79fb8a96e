package words

import (
	"bayhand/recall/keep"
)

// Session is what is intended, in words: the session's name, "rest" and
// nothing said for what they are.
func Session(intended string) string {
	switch intended {
	case "":
		return "no session"
	case "rest":
		return "back to rest"
	}
	return Clean(intended)
}

// Phase is where a recall is, as a sentence without its full stop.
func Phase(p keep.Phase) string {
	switch p {
	case keep.Idle:
		return "nothing is asked of the room"
	case keep.Pushing:
		return "a matrix is being switched"
	case keep.Waiting:
		return "the room waits for your hands"
	case keep.Given:
		return "the room gives what is asked"
	case keep.Stuck:
		return "it cannot go on"
	}
	return "not known"
}

// Standing is where a recall is, as Phase says it, except that a room with a matrix
// that cannot be asked is never said to give anything: what was sent is a belief.
func Standing(s keep.Status) string {
	for _, m := range s.Matrices {
		if s.Phase == keep.Given && m.Driven && !m.ReadsBack {
			return "sent, not confirmed: " + Clean(m.Name) + " cannot be asked what it holds"
		}
	}
	return Phase(s.Phase)
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
		return "told by a person"
	case keep.Sent:
		return "sent, not read back"
	case keep.Assumed:
		return "assumed"
	}
	return "not known"
}
