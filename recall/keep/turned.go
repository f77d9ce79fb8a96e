package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// drift looks whether a matrix holds what it should. What somebody turned by
// hand is put back or left as the studio or a person says; what a device lost while it did
// not answer is always put back, and so is what is turned on the way, since the
// steps left were ordered for another state.
func (k *machine) drift(h *device, back bool, in Intent) {
	turned := drifted(in, h.matrix, k.memory.Known, h.unclear)
	leave := (k.studio.Drift == studio.Keep || in.leaves(h.matrix.Name)) && !back && len(in.Left) == 0
	if leave {
		k.leaveTurned(h, turned)
		return
	}
	if len(turned) == 0 {
		return
	}
	if !h.mayRestore(k.at) {
		return
	}
	k.note(h, turned, back)
	k.wantReplan("%s", readText(k.memory.Known, turned))
}

// leaveTurned remembers which outputs of a matrix are left as they were turned.
func (k *machine) leaveTurned(h *device, turned []name.Point) {
	m := k.memory
	kept := slices.DeleteFunc(slices.Clone(m.Intent.Kept), func(p name.Point) bool { return p.Owner == h.matrix.Name })
	kept = append(kept, turned...)
	slices.SortFunc(kept, name.Point.Compare)
	if slices.Equal(kept, m.Intent.Kept) {
		return
	}
	m.Intent.Kept = kept
	m.Intent.Given = false
	k.learn(m, Event{Kind: Drifted, Matrix: h.matrix.Name, Text: "turned by hand, and left: " + readText(m.Known, turned)})
}

// mostNotes is how many notes on drift are shown; the history has them all.
const mostNotes = 10

func (k *machine) note(h *device, turned []name.Point, back bool) {
	how := "somebody turned %s by hand (%s)"
	if back {
		how = "%s came back holding something else (%s)"
	}
	p := k.problem("drift", how, h.matrix.Name, readText(k.memory.Known, turned))
	p.Severity = "warning"
	k.notes = slices.DeleteFunc(k.notes, func(n Problem) bool { return n.Message == p.Message })
	k.notes = append(k.notes, *p)
	k.notes = k.notes[max(0, len(k.notes)-mostNotes):]
	k.learn(k.memory, Event{Kind: Drifted, Matrix: h.matrix.Name, Text: p.Message + putBack})
}

const putBack = "; it is put back"

// noteProblems are the notes, with what is done about them: nothing is put back
// while the journal cannot be written.
func (k *machine) noteProblems() []Problem {
	notes := slices.Clone(k.notes)
	for i := range notes {
		if k.journal.trouble != nil {
			notes[i].Message += "; it is put back once the journal can be written again"
			continue
		}
		notes[i].Message += putBack
	}
	return notes
}

// leaves says whether a person wants what is turned by hand at a matrix left, until
// the next recall.
func (in Intent) leaves(matrix string) bool { return slices.Contains(in.Leaves, matrix) }

// leave takes a person's word that what is turned by hand at a matrix stays, until
// the next recall.
func (k *machine) leave(matrix string) error {
	h, err := k.turnable(matrix)
	if err != nil || k.memory.Intent.leaves(matrix) {
		return err
	}
	m := k.memory
	m.Intent.Leaves = append(slices.Clone(m.Intent.Leaves), matrix)
	k.save(m, Event{Kind: PersonDid, Matrix: matrix, Text: "what is turned by hand is left until the next recall"})
	h.restored = nil
	if h.answers && len(m.Intent.Left) == 0 {
		k.leaveTurned(h, drifted(m.Intent, h.matrix, m.Known, h.unclear))
	}
	return nil
}

// putBack takes a person's word that what was turned by hand at a matrix does not
// stay, nor what is turned from now on, unless the studio says so.
func (k *machine) putBack(matrix string) error {
	h, err := k.turnable(matrix)
	if err != nil {
		return err
	}
	m := k.memory
	turned := drifted(m.Intent, h.matrix, m.Known, h.unclear)
	if len(turned) == 0 && !m.Intent.leaves(matrix) {
		return tell(ErrConflict, "nothing was turned by hand at %s", matrix)
	}
	m.Intent.Leaves = without(m.Intent.Leaves, matrix)
	m.Intent.Kept = slices.DeleteFunc(slices.Clone(m.Intent.Kept), func(p name.Point) bool { return p.Owner == matrix })
	h.restored = nil
	k.save(m, Event{Kind: PersonDid, Matrix: matrix, Text: "what was turned by hand is put back"})
	if len(turned) > 0 {
		k.wantReplan("%s", readText(m.Known, turned))
	}
	return nil
}

// turnable is the device of a matrix, which somebody can have turned while
// something is intended.
func (k *machine) turnable(matrix string) (*device, error) {
	h, err := k.driven(matrix)
	if err == nil && k.memory.Intent.Plan == nil {
		err = tell(ErrConflict, "nothing is recalled that %s could be turned from", matrix)
	}
	return h, err
}
