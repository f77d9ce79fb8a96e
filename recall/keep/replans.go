package keep

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

// replans are the sessions to be planned again, and why.
type replans struct {
	// why they must be; empty if none need be. sessions are those whose plans these are;
	// main is the one that was recalled last.
	why      string
	sessions []string
	// reread are sessions whose files mean something else now.
	reread []string
	// taking is what the files would take away, which a person is asked about; nil
	// where nobody is asked.
	taking *taking
	// unread is since when the intended session's file cannot be read.
	unread time.Time
	// trouble is why the last attempt failed.
	trouble *Problem
}

// pending are the sessions to be planned again.
func (r replans) pending() []string { return slices.Concat(r.reread, r.sessions) }

// replanner plans again: from what is known now, or from what the files say now.
type replanner struct {
	*ledger
	inquirer inquirer
	replans  *replans
	asks     *asks
}

// want asks for new ways from what is known, as soon as no device is on its
// way from one state to another: for the sessions that some places are about, or for
// all where there are none or they are in no room.
func (r replanner) want(at []name.Point, format string, args ...any) {
	if r.memory.Intent.Idle() || r.studio == nil {
		return
	}
	for _, session := range r.about(at) {
		if !slices.Contains(r.replans.sessions, session) {
			r.replans.sessions = append(slices.Clone(r.replans.sessions), session)
		}
	}
	if r.replans.why == "" && len(r.replans.sessions) > 0 {
		r.replans.why = fmt.Sprintf(format, args...)
	}
}

// replanned forgets replans that were due and which the answer to a question is,
// or takes the place of. Was is the session that was recalled last before.
func (r replanner) replanned(q question, was string) {
	in, w := r.memory.Intent, r.planning()
	stay := func(sessions []string) []string {
		var all []string
		for _, session := range sessions {
			r.inquirer.forget(asker{session: session})
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
	r.replans.sessions, r.replans.reread = stay(r.replans.sessions), stay(r.replans.reread)
	if len(r.replans.sessions) == 0 {
		r.replans.why = ""
	}
}

// makePlan plans a session again from what is known, where there is a reason to,
// and no device is between two states.
func makePlan(k *machine) bool {
	if k.stage() != replanning {
		return false
	}
	if k.memory.Intent.Idle() || k.studio == nil {
		for _, session := range k.replans.pending() {
			k.inquirer().forget(asker{session: session})
		}
		k.replans.why, k.replans.sessions, k.replans.reread = "", nil, nil
		return true
	}
	for _, session := range k.replans.pending() {
		if k.inquiries.open(asker{session: session}) {
			continue
		}
		if slices.Contains(k.replans.reread, session) {
			k.replanner().makeFresh(session)
		} else {
			k.replanner().replan(session)
		}
		return true
	}
	return false
}

// replan makes the plan for a session from what is known now.
func (r replanner) replan(session string) {
	in, why := r.memory.Intent, r.replans.why
	if session != main && in.other(session) < 0 {
		r.done(session) // it is held no more
		return
	}
	got, err := r.inquirer.way(asker{session: session}, in, session)
	if errors.Is(err, errPlanning) {
		return
	}
	r.done(session)
	if err != nil {
		r.replans.trouble = r.problem("plan", "could not plan %s: %v", in.called(session), err)
		return
	}
	r.save(r.adopted(in, got, false), Event{Kind: Replanned, Text: phrase.Put("re-planned: {reason}", "reason", why)})
}

// makeFresh makes the plan for a session whose files changed.
func (r replanner) makeFresh(session string) {
	why := ""
	if slices.Contains(r.replans.sessions, session) {
		why = r.replans.why
	}
	done, err := r.follow(session, why)
	if errors.Is(err, errPlanning) {
		return
	}
	r.replans.reread = without(r.replans.reread, session)
	r.inquirer.forget(asker{session: session})
	if err != nil {
		r.replans.trouble = r.problem("plan", "could not plan %s: %v", r.memory.Intent.called(session), err)
	}
	if done || err != nil {
		r.done(session)
	}
}

// done notes that a session was planned again.
func (r replanner) done(session string) {
	r.inquirer.forget(asker{session: session})
	r.replans.sessions = without(r.replans.sessions, session)
	if len(r.replans.sessions) == 0 {
		r.replans.why = ""
	}
}

// adopted is the memory with a new plan in it.
func (r replanner) adopted(in Intent, got way, bidden bool) Memory {
	r.replans.trouble = nil
	return r.planning().adopted(in, got, bidden, r.fact(Assumed))
}

// toReplan says whether a replan is due, and the planner is not at it: not
// while what is known is what was switched to listen, nor before the act that a keeper is
// there for, which may name steps of the plan before.
func (r replanner) toReplan() bool {
	if r.settings.once && len(r.asks.begun) == 0 {
		return false
	}
	return r.memory.Listening == nil && slices.ContainsFunc(r.replans.pending(), func(session string) bool {
		return !r.inquirer.inquiries.open(asker{session: session})
	})
}

// waitsFor says whether there are replans that an ask has to wait for.
func (r replanner) waitsFor(a ask) bool {
	return r.replansPending() && (r.settings.once || len(overlap(a.sessions, r.replans.pending())) > 0)
}

// replansPending says whether replans are due or under way: not while the room is listened to.
func (r replanner) replansPending() bool {
	return len(r.replans.pending()) > 0 && r.memory.Listening == nil
}
