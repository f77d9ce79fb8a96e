package keep

import (
	"slices"
	"time"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// advance marks steps that are shown done and sends those that are due.
func advance(k *machine) bool {
	if !k.stage().sends() || k.memory.Listening != nil {
		return false
	}
	d := next(k.studio, k.queue().sendable(), k.memory.Known)
	for _, s := range d.Shown {
		if h := k.devices.of(s.By); h != nil && h.job.counts() {
			continue
		}
		m := k.memory
		m.Intent.finish(s.ID, k.fact(Read))
		k.save(m, Event{Kind: StepDone, Matrix: s.By, Step: &s, Text: "read back"})
		return true
	}
	for _, s := range d.Device {
		if h := k.devices.of(s.By); h != nil && h.answers && h.job == nil {
			k.exchange(h).send(s)
			return true
		}
	}
	return false
}

// send writes down what will be sent, and sends it. From here until the device
// has answered nobody knows which of the two states its outputs are in.
func (x exchange) send(s plan.Step) {
	m := x.memory
	open, shut := orders(x.h.matrix, s, m.Known)
	m.Intent.Sending = append(without(m.Intent.Sending, s.ID), s.ID)
	m.Known = m.Known.clone()
	for output := range outputsOf(s) {
		inputs, _ := m.Known.inputs(output)
		m.Known.set(output, inputs, x.fact(NotKnown))
	}
	x.save(m, Event{Kind: Sending, Matrix: s.By, Step: &s, Text: "about to be sent"})
	x.order(job{step: &s, open: open, close: shut})
}

// give marks the intent given when nothing is left and the matrices agree.
func give(k *machine) bool {
	in := k.memory.Intent
	if k.stage() != resting || in.Idle() || in.Given || k.memory.Listening != nil || !(view{k}).agrees() {
		return false
	}
	stay, heard := k.settled()
	if !heard {
		return true
	}
	m := k.memory
	m.Silenced = stay
	m.Intent.Given = true
	m.Intent.PreviousInside = nil
	if in.Session == "" {
		m.Intent = m.Intent.others() // the patch is back, and nothing was intended there then
	}
	known := m.Known
	k.save(m, Event{Kind: WasGiven, Text: phrase.Put("ready: {sessions}", "sessions", in.whole(k.studio)), Known: &known})
	k.keepPatch()
	return true
}

// others is an intent without what was recalled last: the sessions that other rooms are
// in, the first in its place.
func (in Intent) others() Intent {
	if len(in.Others) == 0 {
		return Intent{Recall: in.Recall}
	}
	first := in.Others[0]
	in.Session, in.Options, in.Wanted, in.Meaning = first.Session, first.Options, first.Wanted, first.Meaning
	in.Others, in.Back = slices.Clone(in.Others[1:]), nil
	if in.Plan != nil {
		own := *in.Plan
		own.Session, own.Given, own.Missing = in.Session, !first.NotGiven, orEmpty(first.Missing)
		in.Plan = &own
	}
	return in
}

// keepPatch asks for the patch that gave a session to be written into its file.
func (k *machine) keepPatch() {
	in := k.memory.Intent
	k.keepTrouble, k.keepAgain = nil, time.Time{}
	if !k.settings.keepsPatch || in.Wanted == nil {
		return
	}
	p := in.owned(k.studio, fitting(withGuests(k.studio, k.memory.Here(k.studio)), k.memory.Known.Patch()))
	if in.Wanted.Patch == nil || !samePatch(*in.Wanted.Patch, p) {
		k.out.keep = &keptPatch{in.Session, p}
	}
}

// kept is what came of writing a patch into its session's file.
type kept struct {
	session string
	later   bool // somebody is writing the file
	err     error
}

// keepGap is how long a file that somebody is writing is left alone.
const keepGap = 2 * time.Second

func (f kept) happened(k *machine) {
	switch {
	case f.later:
		k.keepAgain = k.at.Add(keepGap)
	case f.err != nil:
		k.keepTrouble = k.problem("keep-patch", "could not save the patch in %s's file: %v", f.session, f.err)
		k.keepTrouble.Severity = "warning"
	}
}

// keepLater keeps a patch that had to wait, if the room still gives its session.
func keepLater(k *machine) bool {
	if !k.due(k.keepAgain) {
		return false
	}
	k.keepAgain = time.Time{}
	if k.memory.Intent.Given && (view{k}).agrees() {
		k.keepPatch()
	}
	return true
}
