package keep

import (
	"errors"
	"time"

	"bayhand/model/phrase"
)

// recall makes a session, or rest, what is intended. Where that cannot be given
// everything stays as it was.
func (k *machine) recall(a *ask) error {
	session := a.act.Session
	in, err := k.planning().intend(session, a.act.Options)
	if err != nil {
		return err
	}
	return k.intendNow(a, in, phrase.Put("recalled {session}", "session", session))
}

// intendNow makes the way to an intent, and puts it in force.
func (k *machine) intendNow(a *ask, in Intent, text string) error {
	w := k.planning()
	k.queue().takesPlace(a, in)
	got, err := k.inquirer().way(a.asker(), in, main)
	if err != nil {
		return noWay(in, err)
	}
	in, p := in.without(got.ends), got.plan
	if !p.Given && !got.question.ask.Partly {
		return &NotGivenError{Session: in.title(), Missing: p.Missing, Stopped: p.Stopped}
	}
	if got.crossing != nil {
		return got.crossing
	}
	m := k.replanner().adopted(in, got, true)
	if in.Back != nil || !m.Intent.again(k.memory.Intent) {
		past := w.past(w.main(in).rooms)
		past.Undo = in.Back != nil
		m.addPast(past)
	}
	known, was := m.Known, k.memory.Intent.Session
	k.save(m, Event{Kind: Recalled, Text: text, Known: &known})
	k.replans.taking = nil
	k.replanner().replanned(got.question, was)
	k.devices.notes, k.keepTrouble, k.keepAgain = nil, nil, time.Time{}
	for i := range k.devices.all {
		k.devices.all[i].restored = restoring{}
	}
	return nil
}

// preview makes the plan of a recall, of which no step is gone.
func (k *machine) preview(a *ask) error {
	in, err := k.planning().intend(a.act.Session, a.act.Options)
	if err != nil {
		return err
	}
	got, err := k.inquirer().way(a.asker(), in, main)
	if err != nil {
		return noWay(in, err)
	}
	a.plan = k.planning().wouldGo(in.without(got.ends), got)
	return got.crossing
}

// noWay is why no plan was made.
func noWay(in Intent, err error) error {
	if errors.Is(err, ErrConflict) || errors.Is(err, errPlanning) {
		return err
	}
	return tell(ErrUsage, "could not plan %s: %v", in.title(), err)
}
