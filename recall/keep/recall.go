package keep

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// recall makes a session, or rest, what is intended. Where that cannot be given
// everything stays as it was.
func (k *Keeper) recall(ctx context.Context, session string, options RecallOptions) error {
	in, err := k.intend(ctx, session, options)
	if err != nil {
		return err
	}
	return k.intendNow(ctx, in, session+" is recalled")
}

// intendNow makes the way to an intent, and puts it in force.
func (k *Keeper) intendNow(ctx context.Context, in Intent, text string) error {
	p, ask, err := k.plan(ctx, in)
	if err != nil {
		return tell(ErrUsage, "no way to %s could be made: %v", in.title(), err)
	}
	if !p.Given && !in.Options.Partly {
		return &NotGivenError{Session: in.title(), Missing: p.Missing, Stopped: p.Stopped}
	}
	if err := k.apart(ctx, in, p); err != nil {
		return err
	}
	m := k.adopted(in, p, ask, true)
	m.Past = k.past()
	known := m.Known
	if !k.commit(m, Event{Kind: Recalled, Text: text, Known: &known}) {
		return tell(ErrJournal, "%s", k.room.journalTrouble.Message)
	}
	k.room.replan, k.room.notes, k.room.keepTrouble, k.room.keepAgain = "", nil, nil, time.Time{}
	for _, h := range k.room.hands {
		h.restored = nil
	}
	return nil
}

// intend reads the files and makes the intent, without a plan yet.
func (k *Keeper) intend(ctx context.Context, session string, options RecallOptions) (Intent, error) {
	if _, err := plan.ParsePrefer(options.Prefer); err != nil {
		return Intent{}, tell(ErrUsage, "%v", err)
	}
	wanted := session
	if session == RestName {
		wanted = ""
	}
	in, err := k.blank(ctx, session, options, wanted)
	if err != nil {
		return Intent{}, err
	}
	if wanted != "" {
		if in.Wanted = k.room.files.Sessions[wanted]; in.Wanted == nil {
			return Intent{}, k.unknown(wanted)
		}
	}
	if err := k.checkRoom(options.Room, session == RestName); err != nil {
		return Intent{}, err
	}
	if err := k.beside(&in); err != nil {
		return Intent{}, err
	}
	in.Meaning = meaning(k.room.studio, in.together(k.room.studio))
	return in, nil
}

// blank reads the files, and is the next intent without what it wants.
func (k *Keeper) blank(ctx context.Context, session string, options RecallOptions, wanted string) (Intent, error) {
	k.take(ctx, k.config.Load(ctx, k.wanted(wanted)))
	if k.room.studio == nil {
		return Intent{}, tell(ErrNoStudio, "the studio's file cannot be read%s", k.firstFileProblem())
	}
	was := k.room.memory.Intent
	in := Intent{Recall: was.Recall + 1, Session: session, Options: options, NextID: 1}
	if !options.Inside {
		in.PreviousInside = stillInside(was, k.room.studio)
	}
	return in, nil
}

// stillInside is what the software may carry: until a session was given nobody
// has seen the software changed over from those before.
func stillInside(was Intent, s *studio.Studio) []studio.Pass {
	passes := slices.Clone(was.PreviousInside)
	wanted := was.together(s)
	if wanted == nil {
		return passes
	}
	for _, p := range wanted.Inside {
		if !slices.Contains(passes, p) {
			passes = append(passes, p)
		}
	}
	return passes
}

func (k *Keeper) unknown(session string) error {
	for _, p := range k.room.files.Problems {
		if p.Severity == "error" && strings.Contains(p.Message, session) {
			return tell(ErrUnknownSession, "the session %s cannot be read: %s", session, p.Message)
		}
	}
	names := k.room.files.Names
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

func (k *Keeper) firstFileProblem() string {
	for _, p := range k.room.files.Problems {
		if p.Severity == "error" {
			return ": " + p.Message
		}
	}
	return ""
}

// preview is the plan of a recall, of which no step is gone.
func (k *Keeper) preview(ctx context.Context, session string, options RecallOptions) (*plan.Plan, error) {
	in, err := k.intend(ctx, session, options)
	if err != nil {
		return nil, err
	}
	p, _, err := k.plan(ctx, in)
	if err != nil {
		return nil, tell(ErrUsage, "no way to %s could be made: %v", in.title(), err)
	}
	return p, nil
}
