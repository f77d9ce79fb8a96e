package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// drift looks whether a matrix holds what it should. What somebody turned by
// hand is put back or left as the studio or a person says; what a device lost while it did
// not answer is always put back, and so is what is turned on the way, since the
// steps left were ordered for another state.
func (x exchange) drift(back bool, in Intent) {
	turned := x.turned(in)
	leave := (x.studio.Drift == studio.Keep || in.leaves(x.h.matrix.Name)) && !back && len(in.Left) == 0
	if leave {
		x.leaveTurned(turned)
		return
	}
	if len(turned) == 0 {
		return
	}
	if !x.h.restored.may(x.at, turned) {
		return
	}
	x.note(turned, back)
	x.replanner.want(turned, "%s", readText(x.memory.Known, turned))
}

// leaveTurned remembers which outputs of a matrix are left as they were turned.
func (x exchange) leaveTurned(turned []name.Point) {
	m := x.memory
	kept := slices.DeleteFunc(slices.Clone(m.Intent.Kept), func(p name.Point) bool { return p.Owner == x.h.matrix.Name })
	kept = append(kept, turned...)
	slices.SortFunc(kept, name.Point.Compare)
	if slices.Equal(kept, m.Intent.Kept) {
		return
	}
	m.Intent.Kept = kept
	m.Intent.Given = false
	x.learn(m, Event{Kind: Drifted, Matrix: x.h.matrix.Name, Text: phrase.Put("changed at the device; left alone: {crosspoints}", "crosspoints", readText(m.Known, turned))})
}

// mostNotes is how many notes on drift are shown; the history has them all.
const mostNotes = 10

func (x exchange) note(turned []name.Point, back bool) {
	how := "%s was changed at the device (%s)"
	if back {
		how = "%s came back with other crosspoints (%s)"
	}
	p := x.problem("drift", how, called(x.h.matrix), readText(x.memory.Known, turned))
	p.Severity = "warning"
	x.devices.notes = slices.DeleteFunc(x.devices.notes, func(n Problem) bool { return n.Message == p.Message })
	x.devices.notes = append(x.devices.notes, *p)
	x.devices.notes = x.devices.notes[max(0, len(x.devices.notes)-mostNotes):]
	x.learn(x.memory, Event{Kind: Drifted, Matrix: x.h.matrix.Name, Text: restored(p.Message)})
}

func restored(change string) string { return phrase.Put("{change}; restored", "change", change) }

// leaves says whether a person wants what is turned by hand at a matrix left, until
// the next recall.
func (in Intent) leaves(matrix string) bool { return slices.Contains(in.Leaves, matrix) }

// leave takes a person's word that what is turned by hand at a matrix stays, until
// the next recall.
func (x exchange) leave() error {
	m, matrix := x.memory, x.h.matrix.Name
	if m.Intent.Plan == nil {
		return unturned(matrix)
	}
	if m.Intent.leaves(matrix) {
		return nil
	}
	m.Intent.Leaves = append(slices.Clone(m.Intent.Leaves), matrix)
	x.save(m, Event{Kind: PersonDid, Matrix: matrix, Text: "changes at the device are left alone until the next recall"})
	x.h.restored = restoring{}
	if x.h.answers && len(m.Intent.Left) == 0 {
		x.leaveTurned(x.turned(m.Intent))
	}
	return nil
}

// putBack takes a person's word that what was turned by hand at a matrix does not
// stay, nor what is turned from now on, unless the studio says so.
func (x exchange) putBack() error {
	m, matrix := x.memory, x.h.matrix.Name
	turned := x.turned(m.Intent)
	if len(turned) == 0 && !m.Intent.leaves(matrix) {
		return unturned(matrix)
	}
	m.Intent.Leaves = without(m.Intent.Leaves, matrix)
	m.Intent.Kept = slices.DeleteFunc(slices.Clone(m.Intent.Kept), func(p name.Point) bool { return p.Owner == matrix })
	x.h.restored = restoring{}
	x.save(m, Event{Kind: PersonDid, Matrix: matrix, Text: "changes at the device are restored"})
	if len(turned) > 0 {
		x.replanner.want(turned, "%s", readText(m.Known, turned))
	}
	return nil
}

func unturned(matrix string) error {
	return tell(ErrConflict, "no session is recalled, so there is nothing to restore at %s", matrix)
}
