package keep

import (
	"fmt"
	"strings"
	"time"

	"bayhand/model/plan"
)

// recall makes a session, or rest, what is intended. Where that cannot be given
// everything stays as it was.
func (k *machine) recall(session string, options RecallOptions) error {
	in, err := k.intend(session, options)
	if err != nil {
		return err
	}
	return k.intendNow(in, session+" is recalled")
}

// intendNow makes the way to an intent, and puts it in force.
func (k *machine) intendNow(in Intent, text string) error {
	p, ask, err := k.plan(in)
	if err != nil {
		return tell(ErrUsage, "no way to %s could be made: %v", in.title(), err)
	}
	if !p.Given && !in.Options.Partly {
		return &NotGivenError{Session: in.title(), Missing: p.Missing, Stopped: p.Stopped}
	}
	if err := k.apart(in, p); err != nil {
		return err
	}
	m := k.adopted(in, p, ask, true)
	m.Past = k.past()
	known := m.Known
	k.save(m, Event{Kind: Recalled, Text: text, Known: &known})
	k.reread, k.taking = false, nil
	k.replan, k.notes, k.keepTrouble, k.keepAgain = "", nil, nil, time.Time{}
	for i := range k.devices {
		k.devices[i].restored = nil
	}
	return nil
}

// intend makes the intent, without a plan yet.
func (k *machine) intend(session string, options RecallOptions) (Intent, error) {
	if _, err := plan.ParsePrefer(options.Prefer); err != nil {
		return Intent{}, tell(ErrUsage, "%v", err)
	}
	wanted := session
	if session == RestName {
		wanted = ""
	}
	in, err := k.blank(session, options)
	if err != nil {
		return Intent{}, err
	}
	if wanted != "" {
		if in.Wanted = k.files.Sessions[wanted]; in.Wanted == nil {
			return Intent{}, k.unknown(wanted)
		}
	}
	if err := k.checkRoom(options.Room, session == RestName); err != nil {
		return Intent{}, err
	}
	if err := k.beside(&in); err != nil {
		return Intent{}, err
	}
	in.Meaning = meaning(k.studio, in.together(k.studio))
	return in, nil
}

// blank is the next intent without what it wants.
func (k *machine) blank(session string, options RecallOptions) (Intent, error) {
	if k.studio == nil {
		return Intent{}, tell(ErrNoStudio, "the studio's file cannot be read%s", k.firstFileProblem())
	}
	was := k.memory.Intent
	in := Intent{Recall: was.Recall + 1, Session: session, Options: options, NextID: 1}
	if !options.Inside {
		in.PreviousInside = was.StillInside(k.studio)
	}
	return in, nil
}

func (k *machine) unknown(session string) error {
	for _, p := range k.files.Problems {
		if p.Severity == "error" && strings.Contains(p.Message, session) {
			return tell(ErrUnknownSession, "the session %s cannot be read: %s", session, p.Message)
		}
	}
	names := k.files.Names
	if len(names) == 0 {
		return tell(ErrUnknownSession, "there is no session %s, nor any other that can be read", session)
	}
	return tell(ErrUnknownSession, "there is no session %s; there are %s", session, some(names))
}

// some are the first of many names, in a sentence.
func some(names []string) string {
	const most = 20
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

func (k *machine) firstFileProblem() string {
	for _, p := range k.files.Problems {
		if p.Severity == "error" {
			return ": " + p.Message
		}
	}
	return ""
}

// preview is the plan of a recall, of which no step is gone.
func (k *machine) preview(session string, options RecallOptions) (*plan.Plan, error) {
	in, err := k.intend(session, options)
	if err != nil {
		return nil, err
	}
	p, _, err := k.plan(in)
	if err != nil {
		return nil, tell(ErrUsage, "no way to %s could be made: %v", in.title(), err)
	}
	return p, nil
}
