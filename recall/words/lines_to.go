package words

import "bayhand/recall/keep"

// LineEnd is what a room has of a line by which one room lends another a signal: the
// session that it is in, and whether that names the line.
type LineEnd struct {
	Room, Session string
	Uses          bool
	Phase         keep.Phase
}

// Ready says whether the room has done its part.
func (e LineEnd) Ready() bool { return e.Uses && e.Phase == keep.Given }

// LineWaits says which room waits for which.
func LineWaits(from, to LineEnd) string {
	switch {
	case !from.Uses && !to.Uses:
		return "not in use"
	case from.Ready() && to.Ready():
		return "ready at both ends"
	case from.Uses && to.Uses && !from.Ready() && !to.Ready():
		return "steps left at both ends"
	case from.Ready() || !to.Uses:
		return Put("{room} waits for {other}", "room", from.Room, "other", to.Room)
	}
	return Put("{room} waits for {other}", "room", to.Room, "other", from.Room)
}

// LineOf is a line with which room waits for which, and whether an input that a session
// takes it to does not hear it yet.
func LineOf(line string, from, to LineEnd) string {
	sentence := "{line} from {room} to {other}: {waits}"
	if to.Uses && !(from.Ready() && to.Ready()) {
		sentence = "{line} from {room} to {other}: {waits}; not heard in {other}"
	}
	return Put(sentence, "line", line, "room", from.Room, "other", to.Room, "waits", LineWaits(from, to))
}
