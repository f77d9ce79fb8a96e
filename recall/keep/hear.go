package keep

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// happened takes in what came of a job.
func (r result) happened(k *machine) {
	h := k.numbered(r.device)
	if h == nil {
		return // the studio has no such device any more
	}
	h.job = nil
	back := !h.answers
	h.tried = true
	switch {
	case r.refused && r.job.step != nil:
		k.wasRefused(h, *r.job.step, r.err)
	case r.err != nil:
		k.isGone(h, r)
	case r.job.step != nil:
		k.wasSent(h, *r.job.step)
	default:
		h.answers, h.failures, h.problem = true, 0, ""
		h.readsBack, h.identity = r.readsBack, r.identity
		k.wasHeard(h, r, back)
	}
	if h.job == nil {
		k.believe(h)
		k.rest(h)
	}
}

// isGone notes that a device does not answer: what it was read to hold is not
// known any more, and what it was sent is not believed of one that can't be
// asked when it comes back.
func (k *machine) isGone(h *device, r result) {
	was := h.answers
	if was || h.failures == 0 {
		h.since = k.at
	}
	h.answers, h.problem = false, r.err.Error()
	h.failures++
	m := k.memory
	m.Known = m.Known.clone()
	ways := []How{Read}
	if slices.Contains(m.Deaf, h.matrix.Name) {
		ways = append(ways, Sent)
	}
	doubted := m.Known.doubt(h.matrix.Name, k.fact(Assumed), ways...)
	if doubted || r.job.step != nil || was {
		k.learn(m, Event{Kind: Trouble, Matrix: h.matrix.Name, Step: r.job.step, Text: "it does not answer: " + h.problem})
	}
}

// wasRefused notes that a device said no. What it holds now has to be read.
func (k *machine) wasRefused(h *device, s plan.Step, err error) {
	m := k.memory
	m.Intent.Sending = without(m.Intent.Sending, s.ID)
	m.Intent.fail(Failure{ID: s.ID, Matrix: h.matrix.Name, Code: Code(ErrRefused), Since: k.at,
		Message: fmt.Sprintf("%s refused step %s: %v", h.matrix.Name, s.ID, err)})
	k.learn(m, Event{Kind: Trouble, Matrix: h.matrix.Name, Step: &s, Text: "refused: " + err.Error()})
	if h.readsBack {
		k.order(h, job{proves: &s})
	}
}

// wasSent takes what was sent as a belief, and asks the device where it can.
func (k *machine) wasSent(h *device, s plan.Step) {
	m := k.memory
	m.Known = m.Known.clone()
	for output, inputs := range outputsOf(s) {
		m.Known.set(output, inputs, k.fact(Sent))
	}
	if h.readsBack {
		k.learn(m, Event{Kind: WasSent, Matrix: s.By, Step: &s, Text: "sent"})
		k.order(h, job{proves: &s})
		return
	}
	m.Intent.finish(s.ID, k.fact(Sent))
	k.learn(m, Event{Kind: WasSent, Matrix: s.By, Step: &s, Text: "sent; it cannot be read back"})
}

// wasHeard takes in what a device holds, and looks whether that is what it
// should.
func (k *machine) wasHeard(h *device, r result, back bool) {
	m := k.memory
	m.Known = m.Known.clone()
	m.deaf(h.matrix.Name, !r.readsBack)
	h.unclear = r.unclear
	var fresh []name.Point
	if r.readsBack {
		fresh = m.Known.read(h.matrix, r.closed, r.unclear, k.fact(Read))
	}
	sending := m.Intent.Sending
	if p := r.job.proves; p != nil {
		k.prove(&m, h, *p)
		sending = m.Intent.Sending
	}
	m.arrived(h.matrix.Name)
	if len(fresh) > 0 || r.job.proves != nil || back {
		k.learn(m, Event{Kind: WasRead, Matrix: h.matrix.Name, Step: r.job.proves,
			Changes: m.Known.changes(fresh), Text: readText(m.Known, fresh)})
	}
	if back && !r.readsBack && len(m.assumed(h.matrix)) > 0 {
		k.wantReplan("%s answers again and cannot be asked what it holds", h.matrix.Name)
	}
	in := k.memory.Intent
	in.Sending = sending
	k.drift(h, back, in)
}

// arrived forgets what was being sent to a matrix: whether it came is known now,
// or it is sent again.
func (m *Memory) arrived(matrix string) {
	for _, s := range m.Intent.Left {
		if s.By == matrix {
			m.Intent.Sending = without(m.Intent.Sending, s.ID)
		}
	}
}

// prove closes a step that was read back: done, or a failure. It is never given
// where the device answers otherwise.
func (k *machine) prove(m *Memory, h *device, s plan.Step) {
	m.Intent.Sending = without(m.Intent.Sending, s.ID)
	if holds(s, m.Known) {
		m.Intent.finish(s.ID, k.fact(Read))
		return
	}
	if failed(m.Intent, s.ID) {
		return
	}
	m.Intent.fail(Failure{ID: s.ID, Matrix: h.matrix.Name, Code: Code(ErrDiffers), Since: k.at, Message: differs(s, m.Known)})
}

func (in *Intent) fail(f Failure) { in.Failed = append(slices.Clone(in.Failed), f) }

func differs(s plan.Step, known Known) string {
	told := outputsOf(s)
	for _, c := range s.Crosspoints {
		has, fact := known.inputs(c.Output)
		want := told[c.Output]
		if fact.How == NotKnown {
			return fmt.Sprintf("%s was told %s and answers what cannot be understood", c.Output, ports(want))
		}
		if !slices.Equal(has, want) {
			return fmt.Sprintf("%s was told %s and answers %s", c.Output, ports(want), ports(has))
		}
	}
	return ""
}

func ports(inputs []name.Point) string {
	if len(inputs) == 0 {
		return "off"
	}
	text := ""
	for i, p := range inputs {
		if i > 0 {
			text += " and "
		}
		text += p.Port()
	}
	return text
}

func readText(known Known, outputs []name.Point) string {
	text := "read"
	for i, o := range outputs {
		inputs, fact := known.inputs(o)
		has := ports(inputs)
		if fact.How == NotKnown {
			has = "what cannot be understood"
		}
		sep := ", "
		if i == 0 {
			sep = ": "
		}
		text += fmt.Sprintf("%s%s = %s", sep, o.Port(), has)
	}
	return text
}

// drift looks whether a matrix holds what it should. What somebody turned by
// hand is put back or left as the studio says; what a device lost while it did
// not answer is always put back, and so is what is turned on the way, since the
// steps left were ordered for another state.
func (k *machine) drift(h *device, back bool, in Intent) {
	turned := drifted(in, h.matrix, k.memory.Known, h.unclear)
	leave := k.studio.Drift == studio.Keep && !back && len(in.Left) == 0
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

// wantReplan asks for a new way from what is known, as soon as no device is on its
// way from one state to another.
func (k *machine) wantReplan(format string, args ...any) {
	if !k.memory.Intent.idle() && k.replan == "" {
		k.replan = fmt.Sprintf(format, args...)
	}
}

// deaf remembers which devices cannot be asked, for the time before they have
// been opened.
func (m *Memory) deaf(matrix string, deaf bool) {
	if slices.Contains(m.Deaf, matrix) == deaf {
		return
	}
	if deaf {
		m.Deaf = append(slices.Clone(m.Deaf), matrix)
		return
	}
	m.Deaf = without(m.Deaf, matrix)
}
