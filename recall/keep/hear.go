package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// exchange is what was said to one device and what came of it, on its way into the
// ledger.
type exchange struct {
	*ledger
	replanner replanner
	devices   *devices
	h         *device
}

// happened takes in what came of a job.
func (r result) happened(k *machine) {
	if h := k.devices.numbered(r.device); h != nil { // else the studio has no such device any more
		k.exchange(h).ended(r)
	}
}

// ended takes in what came of a job.
func (x exchange) ended(r result) {
	back := !x.h.answers
	x.h.job, x.h.tried = nil, true
	switch {
	case r.refused && r.job.step != nil:
		x.refused(*r.job.step, r.err)
	case r.err != nil:
		x.gone(r)
	case r.job.step != nil:
		x.sent(*r.job.step)
	case x.isOther(r.identity):
		x.otherAnswers(r)
	default:
		x.answers(r, back)
	}
	if x.h.job == nil {
		x.believe()
		x.rest()
	}
}

// answers takes in that the device that is driven answered.
func (x exchange) answers(r result, back bool) {
	x.h.answers, x.h.failures, x.h.problem, x.h.other = true, 0, "", nil
	x.h.readsBack, x.h.identity = r.readsBack, r.identity
	x.heard(r, back)
}

// gone notes that a device does not answer: what it was read to hold is not
// known any more, and what it was sent is not believed of one that can't be
// asked when it comes back.
func (x exchange) gone(r result) {
	was := x.h.answers
	if was || x.h.failures == 0 {
		x.h.since = x.at
	}
	x.h.answers, x.h.problem, x.h.other = false, r.err.Error(), nil
	x.h.failures++
	m, any := x.doubted()
	if any || r.job.step != nil || was {
		x.learn(m, Event{Kind: Trouble, Matrix: x.h.matrix.Name, Gone: true, Step: r.job.step, Text: phrase.Put("no answer: {reason}", "reason", x.h.problem)})
	}
}

// doubted is the memory without what a device is known to hold: it is assumed from
// now on. It says whether anything was known.
func (x exchange) doubted() (Memory, bool) {
	m := x.memory
	m.Known = m.Known.clone()
	ways := []How{Read}
	if slices.Contains(m.WriteOnly, x.h.matrix.Name) {
		ways = append(ways, Sent)
	}
	any := m.Known.doubt(x.h.matrix.Name, x.fact(Assumed), ways...)
	return m, any
}

// refused notes that a device said no. What it holds now has to be read.
func (x exchange) refused(s plan.Step, err error) {
	m := x.memory
	m.Intent.Sending = without(m.Intent.Sending, s.ID)
	m.Intent.fail(Failure{ID: s.ID, Matrix: x.h.matrix.Name, Code: Code(ErrRefused), Since: x.at,
		Message: fmt.Sprintf("%s refused step %s: %v", called(x.h.matrix), s.ID, err)})
	x.learn(m, Event{Kind: Trouble, Matrix: x.h.matrix.Name, Step: &s, Text: phrase.Put("refused: {reason}", "reason", err.Error())})
	if x.h.readsBack {
		x.order(job{proves: &s})
	}
}

// sent takes what was sent as a belief, and asks the device where it can.
func (x exchange) sent(s plan.Step) {
	m := x.memory
	m.Known = m.Known.clone()
	for output, inputs := range outputsOf(s) {
		m.Known.set(output, inputs, x.fact(Sent))
	}
	if x.h.readsBack {
		x.learn(m, Event{Kind: WasSent, Matrix: s.By, Step: &s, Text: "sent"})
		x.order(job{proves: &s})
		return
	}
	m.Intent.finish(s.ID, x.fact(Sent))
	x.learn(m, Event{Kind: WasSent, Matrix: s.By, Step: &s, Text: "sent, not confirmed: no read-back"})
}

// heard takes in what a device holds, and looks whether that is what it
// should.
func (x exchange) heard(r result, back bool) {
	m := x.memory
	m.Known = m.Known.clone()
	m.writesOnly(x.h.matrix.Name, !r.readsBack)
	m.meet(x.h.matrix.Name, x.h.identity, x.fact(Read))
	x.h.unclear = r.unclear
	var fresh []name.Point
	if r.readsBack {
		fresh = m.Known.read(x.h.matrix, r.closed, r.unclear, x.fact(Read))
	}
	sending := m.Intent.Sending
	if p := r.job.proves; p != nil {
		for output := range outputsOf(*p) {
			if !slices.Contains(fresh, output) && !holds(only(*p, output), m.Known) {
				fresh = append(fresh, output) // what contradicts is told, new or not
			}
		}
		slices.SortFunc(fresh, name.Point.Compare)
		x.prove(&m, *p)
		sending = m.Intent.Sending
	}
	m.arrived(x.h.matrix.Name)
	if len(fresh) > 0 || r.job.proves != nil || back {
		x.learn(m, Event{Kind: WasRead, Matrix: x.h.matrix.Name, Step: r.job.proves,
			Changes: m.Known.changes(less(fresh, r.unclear)), Unclear: overlap(fresh, r.unclear), Text: phrase.Put("read: {crosspoints}", "crosspoints", readText(m.Known, fresh))})
	}
	if back && !r.readsBack && len(m.assumed(x.h.matrix)) > 0 {
		x.replanner.want(outsOf(x.h.matrix), "%s is online again, without read-back", x.h.matrix.Name)
	}
	in := x.memory.Intent
	in.Sending = sending
	x.drift(back, in)
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
func (x exchange) prove(m *Memory, s plan.Step) {
	m.Intent.Sending = without(m.Intent.Sending, s.ID)
	if holds(s, m.Known) {
		m.Intent.finish(s.ID, x.fact(Read))
		return
	}
	if failed(m.Intent, s.ID) {
		return
	}
	m.Intent.fail(Failure{ID: s.ID, Matrix: x.h.matrix.Name, Code: Code(ErrDiffers), Since: x.at, Message: differs(s, m.Known)})
}

func (in *Intent) fail(f Failure) { in.Failed = append(slices.Clone(in.Failed), f) }

func differs(s plan.Step, known Known) string {
	told := outputsOf(s)
	for _, c := range s.Crosspoints {
		has, fact := known.inputs(c.Output)
		want := told[c.Output]
		if fact.How == NotKnown {
			return fmt.Sprintf("%s was set to %s; the device's answer cannot be understood", c.Output, ports(want))
		}
		if !slices.Equal(has, want) {
			return fmt.Sprintf("%s was set to %s; the device reports %s", c.Output, ports(want), ports(has))
		}
	}
	return ""
}

func ports(inputs []name.Point) string {
	if len(inputs) == 0 {
		return "off"
	}
	var names []string
	for _, p := range inputs {
		names = append(names, p.Port())
	}
	return strings.Join(names, " and ")
}

func readText(known Known, outputs []name.Point) string {
	var all []string
	for _, o := range outputs {
		inputs, fact := known.inputs(o)
		switch {
		case fact.How == NotKnown:
			all = append(all, phrase.Put("{output} cannot be understood", "output", o.Port()))
		case len(inputs) == 0:
			all = append(all, phrase.Put("{output} off", "output", o.Port()))
		default:
			all = append(all, phrase.Put("{inputs} -> {output}", "inputs", ports(inputs), "output", o.Port()))
		}
	}
	return strings.Join(all, ", ")
}

// writesOnly remembers which devices cannot be asked, for the time before they have
// been opened.
func (m *Memory) writesOnly(matrix string, only bool) {
	if slices.Contains(m.WriteOnly, matrix) == only {
		return
	}
	if only {
		m.WriteOnly = append(slices.Clone(m.WriteOnly), matrix)
		return
	}
	m.WriteOnly = without(m.WriteOnly, matrix)
}
