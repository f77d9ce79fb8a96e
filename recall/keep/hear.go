package keep

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
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
	case k.isOther(h, r.identity):
		k.otherAnswers(h, r)
	default:
		k.answers(h, r, back)
	}
	if h.job == nil {
		k.believe(h)
		k.rest(h)
	}
}

// answers takes in that the device that is driven answered.
func (k *machine) answers(h *device, r result, back bool) {
	h.answers, h.failures, h.problem, h.other = true, 0, "", nil
	h.readsBack, h.identity = r.readsBack, r.identity
	k.wasHeard(h, r, back)
}

// isGone notes that a device does not answer: what it was read to hold is not
// known any more, and what it was sent is not believed of one that can't be
// asked when it comes back.
func (k *machine) isGone(h *device, r result) {
	was := h.answers
	if was || h.failures == 0 {
		h.since = k.at
	}
	h.answers, h.problem, h.other = false, r.err.Error(), nil
	h.failures++
	m, any := k.doubted(h)
	if any || r.job.step != nil || was {
		k.learn(m, Event{Kind: Trouble, Matrix: h.matrix.Name, Step: r.job.step, Text: "it does not answer: " + h.problem})
	}
}

// doubted is the memory without what a device is known to hold: it is assumed from
// now on. It says whether anything was known.
func (k *machine) doubted(h *device) (Memory, bool) {
	m := k.memory
	m.Known = m.Known.clone()
	ways := []How{Read}
	if slices.Contains(m.Deaf, h.matrix.Name) {
		ways = append(ways, Sent)
	}
	any := m.Known.doubt(h.matrix.Name, k.fact(Assumed), ways...)
	return m, any
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
	m.meet(h.matrix.Name, h.identity, k.fact(Read))
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
