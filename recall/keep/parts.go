package keep

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/studio"
)

// What is intended has parts: the session, or rest, that was recalled last, and the
// sessions that other rooms are in meanwhile. A part has a plan of its own, which is
// made anew without those of the others.

// main is the part that was recalled last; the others are called by their sessions.
const main = ""

// parts are those of an intent.
func (in Intent) parts() []string {
	all := []string{main}
	for _, h := range in.Others {
		all = append(all, h.Session)
	}
	return all
}

// other is the number of a session among those beside the one that was recalled last;
// -1 for that one.
func (in Intent) other(session string) int {
	return slices.IndexFunc(in.Others, func(h Held) bool { return h.Session == session })
}

func (in Intent) meaningOf(session string) string {
	if i := in.other(session); i >= 0 {
		return in.Others[i].Meaning
	}
	return in.Meaning
}

func (in Intent) optionsOf(session string) RecallOptions {
	if i := in.other(session); i >= 0 {
		return in.Others[i].Options
	}
	return in.Options
}

// called is a part in words.
func (in Intent) called(session string) string {
	if session == main {
		return in.title()
	}
	return session
}

// with is an intent with one of its sessions as another reading has it.
func (in Intent) with(session string, fresh Intent) Intent {
	i := in.other(session)
	if i < 0 {
		in.Wanted, in.Meaning = fresh.Wanted, fresh.Meaning
		return in
	}
	in.Others = slices.Clone(in.Others)
	in.Others[i] = fresh.Others[i]
	return in
}

// part is what a plan for a session of an intent is made for.
func (w planning) part(in Intent, session string) part {
	i := in.other(session)
	if i < 0 {
		return w.main(in)
	}
	h := in.Others[i]
	return part{wanted: h.Wanted, options: h.Options, rooms: h.Rooms}
}

// planFor asks the planner for the way to a session of an intent.
func (w planning) planFor(in Intent, session string) (*plan.Plan, question, error) {
	if in.other(session) < 0 {
		return w.plan(in)
	}
	return w.planOf(in, w.part(in, session))
}

// wantReplan asks for new ways from what is known, as soon as no device is on its
// way from one state to another: for the sessions that some places are about, or for
// all where there are none or they are in no room.
func (k *machine) wantReplan(at []name.Point, format string, args ...any) {
	if k.memory.Intent.Idle() || k.studio == nil {
		return
	}
	for _, session := range k.about(at) {
		if !slices.Contains(k.replans, session) {
			k.replans = append(slices.Clone(k.replans), session)
		}
	}
	if k.replan == "" && len(k.replans) > 0 {
		k.replan = fmt.Sprintf(format, args...)
	}
}

// about are the sessions of the intent that places may be about.
func (k *machine) about(at []name.Point) []string {
	in, w := k.memory.Intent, k.planning(asker{})
	rooms := map[string]bool{}
	for _, p := range at {
		rooms[scope.PartOf(k.studio, p.Owner)] = true
	}
	var all []string
	for _, session := range in.parts() {
		of := w.part(in, session)
		if len(at) == 0 || rooms[""] || len(of.rooms) == 0 || slices.ContainsFunc(of.rooms, func(r string) bool { return rooms[r] }) {
			all = append(all, session)
		}
	}
	if i := slices.Index(all, main); i >= 0 && len(w.part(in, main).rooms) == 0 {
		return []string{main} // its plan is about all of them
	}
	return all
}

// replanned forgets that plans are to be made anew which the answer to a question is,
// or takes the place of. Was is the session that was recalled last before.
func (k *machine) replanned(q question, was string) {
	in, w := k.memory.Intent, k.planning(asker{})
	stay := func(sessions []string) []string {
		var all []string
		for _, session := range sessions {
			k.forget(asker{session: session})
			if session == main {
				session = was
			}
			i := in.other(session)
			if i >= 0 && q.scope != nil && len(overlap(w.part(in, session).rooms, q.scope.Rooms)) == 0 {
				all = append(all, session)
			}
		}
		return all
	}
	k.replans, k.reread = stay(k.replans), stay(k.reread)
	if len(k.replans) == 0 {
		k.replan = ""
	}
}

// makePlan makes a plan anew from what is known, where there is a reason to,
// and no device is between two states.
func makePlan(k *machine) bool {
	if k.stage() != replanning {
		return false
	}
	if k.memory.Intent.Idle() || k.studio == nil {
		for _, session := range k.pending() {
			k.forget(asker{session: session})
		}
		k.replan, k.replans, k.reread = "", nil, nil
		return true
	}
	for _, session := range k.pending() {
		if k.inquiries.open(asker{session: session}) {
			continue
		}
		if slices.Contains(k.reread, session) {
			k.makeFresh(session)
		} else {
			k.makeAnew(session)
		}
		return true
	}
	return false
}

// makeAnew makes the plan for a session from what is known now.
func (k *machine) makeAnew(session string) {
	in, why := k.memory.Intent, k.replan
	if session != main && in.other(session) < 0 {
		k.replanDone(session) // it is held no more
		return
	}
	p, q, err := k.planning(asker{session: session}).planFor(in, session)
	if errors.Is(err, errPlanning) {
		return
	}
	k.replanDone(session)
	if err != nil {
		k.planTrouble = k.problem("plan", "could not plan %s: %v", in.called(session), err)
		return
	}
	k.save(k.adopted(in, p, q, false), Event{Kind: Replanned, Text: phrase.Put("re-planned: {reason}", "reason", why)})
}

// makeFresh makes the plan for a session whose files changed.
func (k *machine) makeFresh(session string) {
	why := ""
	if slices.Contains(k.replans, session) {
		why = k.replan
	}
	done, err := k.follow(session, why)
	if errors.Is(err, errPlanning) {
		return
	}
	k.reread = without(k.reread, session)
	k.forget(asker{session: session})
	if err != nil {
		k.planTrouble = k.problem("plan", "could not plan %s: %v", k.memory.Intent.called(session), err)
	}
	if done || err != nil {
		k.replanDone(session)
	}
}

// replanDone notes that the plan of a session was made anew.
func (k *machine) replanDone(session string) {
	k.forget(asker{session: session})
	k.replans = without(k.replans, session)
	if len(k.replans) == 0 {
		k.replan = ""
	}
}

// outsOf are the outputs of a matrix.
func outsOf(m studio.Matrix) []name.Point {
	var all []name.Point
	for n := 1; n <= m.Outputs; n++ {
		all = append(all, m.Out(n))
	}
	return all
}
