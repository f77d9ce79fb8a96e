package keep

import (
	"cmp"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// planning makes intents from what is known and read, and memories of intents and their
// plans. It changes nothing, cuts nothing and asks no planner: answering does.
type planning struct {
	studio *studio.Studio // nil where its file cannot be read
	known  *site          // what is known of it already; nil where that has to be read
	files  Files
	memory Memory
}

// planning is what comes of what is known and read now.
func (l *ledger) planning() planning {
	return planning{studio: l.studio, known: l.site, files: l.files, memory: l.memory}
}

// intend makes the intent, without a plan yet.
func (w planning) intend(session string, options RecallOptions) (Intent, error) {
	_, word := plan.ParsePrefer(options.Prefer)
	if err := cmp.Or(word, plan.CheckEffort(options.Effort)); err != nil {
		return Intent{}, tell(ErrUsage, "%v", err)
	}
	wanted := session
	if session == RestName {
		wanted = ""
	}
	in, err := w.blank(session, options)
	if err != nil {
		return Intent{}, err
	}
	if wanted != "" {
		if in.Wanted = w.files.Sessions[wanted]; in.Wanted == nil {
			return Intent{}, w.files.unknown(wanted)
		}
	}
	if err := w.checkRoom(options.Room, session == RestName); err != nil {
		return Intent{}, err
	}
	if err := w.beside(&in); err != nil {
		return Intent{}, err
	}
	in.Meaning = w.site().meaning(in.Wanted)
	return in, nil
}

// blank is the next intent without what it wants.
func (w planning) blank(session string, options RecallOptions) (Intent, error) {
	if w.studio == nil {
		return Intent{}, w.files.noStudio()
	}
	was := w.memory.Intent
	in := Intent{Recall: was.Recall + 1, Session: session, Options: options, NextID: 1}
	if !options.Inside {
		in.PreviousInside = was.StillInside()
	}
	return in, nil
}

// wouldGo is a plan with the steps that a recall would ask for: without what is muted
// already, with what must be brought back or sent again, and with what is left in other
// rooms.
func (w planning) wouldGo(in Intent, got way) *plan.Plan {
	now := w.adopted(in, got, true, Fact{How: Assumed}).Intent
	then := *now.Plan
	then.Steps = orEmpty(now.Left)
	return &then
}

// adopted is the memory with a new plan in it. Where a person has asked for it, what
// was sent to devices that cannot be asked is sent again: nobody saw it arrive, nor
// whether they have lost it since.
func (w planning) adopted(in Intent, got way, bidden bool, fact Fact) Memory {
	m, p, q := w.memory, got.plan, got.question
	m.remember(w.studio)
	m.Intent = in.adopt(p, q)
	if q.scope != nil {
		m.Intent = beside(w.memory, in, m.Intent, q)
	}
	m.Intent.share(w.memory.Intent, got)
	m.Intent.Planned = fact.Since
	m.asSilenced(got)
	if bidden {
		m.disbelieve(fact, p, q)
	}
	m.assert(w.studio, got)
	return m
}
