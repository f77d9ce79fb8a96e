package keep

import (
	"fmt"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/scope"
	"bayhand/model/studio"
)

// ledger is what every part of the machine goes by, and where it enters what becomes of
// that: what is known and intended, what the files say, who acts and when, and what is to
// be done outside because of it.
type ledger struct {
	settings settings
	// at is the time of the fact or decision.
	at time.Time
	// who asks for what is being done; empty for what nobody asked for just now.
	who string
	// out is what is to be done because of it.
	out effects

	memory Memory
	files  Files
	// studio is the last that could be read; nil before the first.
	studio *studio.Studio
	// site is what is known of it already.
	site *site
}

// save writes a memory down and takes it as what is so. If it cannot be written,
// nothing of the fact or decision is done.
func (l *ledger) save(m Memory, events ...Event) { l.write(m, false, events) }

// learn takes in what a device did or answered, and what files say. That is so
// whether it can be written down or not; if not, it is written before anything
// else is.
func (l *ledger) learn(m Memory, events ...Event) { l.write(m, true, events) }

func (l *ledger) write(m Memory, learned bool, events []Event) {
	for i := range events {
		events[i].At = l.at
		events[i].Recall, events[i].By = m.Intent.Recall, l.who
		events[i].Rooms = l.roomsOf(events[i], m.Intent)
		events[i].Session = m.Intent.sessionIn(events[i].Rooms)
	}
	l.memory = m
	l.out.saves = append(l.out.saves, save{m, events, learned})
}

// fact is how something is known from now on.
func (l *ledger) fact(how How) Fact {
	f := Fact{How: how, Since: l.at}
	if how == Told {
		f.Who = l.who
	}
	return f
}

func (l *ledger) problem(code, format string, args ...any) *Problem {
	return &Problem{Code: code, Severity: "error", Message: fmt.Sprintf(format, args...), Since: l.at}
}

// due says whether a time has come. One that lies further ahead than anything is
// ever put off has come too: the clock was set back.
func (l *ledger) due(t time.Time) bool {
	ahead := t.Sub(l.at)
	return !t.IsZero() && (ahead <= 0 || ahead > max(l.settings.poll, l.settings.retryMost))
}

// about are the sessions of the intent that places may be about.
func (l *ledger) about(at []name.Point) []string {
	in, w := l.memory.Intent, l.planning()
	rooms := map[string]bool{}
	for _, p := range at {
		rooms[scope.PartOf(l.studio, p.Owner)] = true
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
