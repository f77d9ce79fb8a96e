package keep

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// view shows a machine. It changes nothing.
type view struct{ k *machine }

// status is the room as it is held.
func (v view) status(notes []Problem) Status {
	m := v.k.memory
	s := Status{
		Session: m.Intent.Session, Undone: m.Undone(), Recall: m.Intent.Recall, Phase: v.phase(),
		Plan: m.Intent.Plan, Left: m.Intent.Left, Done: m.Intent.Done, Known: m.KnownCords(v.k.studio), Tags: m.Tags, Silenced: m.Silenced, WriteOnly: m.WriteOnly, Shut: m.Shut,
		Rooms:    v.rooms(m),
		Matrices: v.matrices(), Problems: v.problems(notes),
	}
	s.Pasts = m.Pasts // which are never changed once they are made
	if v.k.studio != nil {
		s.Studio, s.Inside, s.Guests = v.k.studio.Name, m.Intent.StillInside(), m.Here(v.k.studio)
	}
	return s.clone()
}

// rooms are those that are kept here: what others are in, their own hosts know.
func (v view) rooms(m Memory) []RoomStatus {
	all := RoomsOf(v.k.studio, m)
	if v.k.here != nil {
		all = slices.DeleteFunc(all, func(r RoomStatus) bool { return !slices.Contains(v.k.here, r.Room) })
	}
	if len(all) == 0 {
		return nil
	}
	whole, stripped, undone, held := v.phase(), v.stripped(), v.undone(), m.Intent.held(v.k.studio)
	for i, r := range all {
		own := []string{r.Room}
		for _, h := range held {
			if slices.Contains(h.Rooms, r.Room) {
				own = h.Rooms
			}
		}
		all[i].Phase = phaseOf(r, whole, own, undone)
		if r.Session == "" && !stripped(r.Room) {
			all[i].Phase = Idle // the steps that are left are of other rooms
		}
	}
	return all
}

// stripped says of a room without a session whether it is brought to the rest patch, or
// back to an earlier one.
func (v view) stripped() func(room string) bool {
	in := v.k.memory.Intent
	if v.k.studio == nil || in.Wanted != nil || in.Session == "" && in.Back == nil {
		return func(string) bool { return false }
	}
	rooms := v.k.planning().main(in).rooms
	return func(room string) bool { return len(rooms) == 0 || slices.Contains(rooms, room) }
}

// clone is a copy whose lists are never null. A plan is never changed once it is
// made.
func (s Status) clone() Status {
	s.Left, s.Done = orEmpty(slices.Clone(s.Left)), orEmpty(slices.Clone(s.Done))
	s.Known, s.Tags = s.Known.clone(), orEmpty(slices.Clone(s.Tags))
	s.Rooms, s.Inside = orEmpty(slices.Clone(s.Rooms)), orEmpty(slices.Clone(s.Inside))
	s.Guests, s.Silenced, s.WriteOnly = orEmpty(slices.Clone(s.Guests)), orEmpty(slices.Clone(s.Silenced)), orEmpty(slices.Clone(s.WriteOnly))
	s.Shut = slices.Clone(s.Shut)
	s.Matrices, s.Problems = orEmpty(slices.Clone(s.Matrices)), orEmpty(slices.Clone(s.Problems))
	if s.Plan != nil {
		p := *s.Plan
		s.Plan = &p
	}
	return s
}

func (v view) phase() Phase {
	in := v.k.memory.Intent
	switch {
	case in.Idle():
		return Idle
	case v.k.stage().busy(), v.k.replanner().replansPending():
		return Pushing
	case v.agrees():
		return Given
	case len(next(v.k.studio, in, v.k.memory.Known).Person) > 0:
		return Waiting
	}
	return Stuck
}

// agrees says whether the room gives what is intended.
func (v view) agrees() bool {
	in := v.k.memory.Intent
	return in.Plan != nil && in.Plan.Given && v.holds()
}

// holds says whether the room is as its plan has it: nothing is left, and each
// device was read to hold the target, or was sent it where it cannot be read.
func (v view) holds() bool {
	in := v.k.memory.Intent
	if v.k.studio == nil || in.Plan == nil || len(in.Left) > 0 || len(in.Kept) > 0 || v.k.replans.trouble != nil || v.k.replanner().replansPending() {
		return false
	}
	return !slices.ContainsFunc(v.k.devices.all, func(h device) bool { return !h.answers || !v.holdsTarget(h) })
}

func (v view) holdsTarget(h device) bool {
	for n := 1; n <= h.matrix.Outputs; n++ {
		if v.k.memory.Listening.touches(h.matrix.Out(n)) {
			continue
		}
		want, _ := held(v.k.memory.Intent, h.matrix.Out(n))
		has, fact := v.k.memory.Known.inputs(h.matrix.Out(n))
		known := fact.How == Read || fact.How == Sent && !h.readsBack
		if !known || !slices.Equal(has, want) {
			return false
		}
	}
	return true
}

func (v view) matrices() []MatrixStatus {
	if v.k.studio == nil {
		return nil
	}
	var all []MatrixStatus
	for _, m := range v.k.studio.Matrices {
		s := MatrixStatus{Name: m.Name}
		if h := v.k.devices.of(m.Name); h != nil {
			s.Link, s.Driven = m.Device.Link, true
			s.Answers, s.ReadsBack, s.Identity, s.Problem = h.answers, h.readsBack, h.identity, h.problem
			if h.other != nil {
				s.Identity, s.Expected = h.other.identity, v.k.memory.expected(m.Name)
			}
		}
		all = append(all, s)
	}
	return all
}

// problems are all that a person should know, the files' own first.
func (v view) problems(notes []Problem) []Problem {
	all := slices.Clone(v.k.files.Problems)
	for _, p := range []*Problem{v.k.journal.trouble, v.k.replans.trouble, v.k.keepTrouble} {
		if p != nil {
			all = append(all, *p)
		}
	}
	all = append(all, v.planningProblems()...)
	all = append(all, v.lateProblems()...)
	all = append(all, v.fileProblems()...)
	all = append(all, v.deviceProblems()...)
	all = append(all, v.intentProblems()...)
	all = append(all, v.bayProblems()...)
	all = append(all, v.shortProblems()...)
	all = append(all, v.stillProblems()...)
	all = append(all, v.takingProblems()...)
	all = append(all, v.listeningProblems()...)
	all = append(all, v.k.memory.WornCords()...)
	all = append(all, notes...)
	return append(all, v.noteProblems()...)
}

func (v view) fileProblems() []Problem {
	in := v.k.memory.Intent
	if v.k.replans.unread.IsZero() || v.k.studio == nil {
		return nil
	}
	var names []string
	for _, h := range in.held(v.k.studio) {
		if v.k.files.Sessions[h.Session] == nil {
			names = append(names, h.Session)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Problem{{Code: "session-unread", Severity: "warning", Since: v.k.replans.unread,
		Message: fmt.Sprintf("the file of %s is missing or has errors; using the last good version", strings.Join(names, " and of "))}}
}

// retrying is said where somebody stays who tries again.
func (v view) retrying() string {
	if v.k.settings.poll < 0 {
		return ""
	}
	return " Retrying."
}

func (v view) deviceProblems() []Problem {
	var all []Problem
	for _, h := range v.k.devices.all {
		if h.other != nil {
			all = append(all, v.otherProblem(h))
		} else if !h.answers && h.tried {
			p := Problem{Code: "no-answer", Severity: "error", Since: h.since,
				Message: fmt.Sprintf("%s: no answer. Check power and cable.%s", called(h.matrix), v.retrying()),
				Detail:  fmt.Sprintf("%s: %s", h.matrix.Device.Link, h.problem)}
			if in := v.k.memory.Intent; v.k.settings.once && slices.ContainsFunc(in.Left, func(s plan.Step) bool { return s.By == h.matrix.Name }) {
				p.Remedies = in.recalls() // nobody stays to try again
			}
			all = append(all, p)
		}
		if p := h.restored.problem(h.matrix); p != nil {
			all = append(all, *p)
		}
		all = append(all, v.splitProblems(h)...)
	}
	return all
}

func (v view) intentProblems() []Problem {
	in := v.k.memory.Intent
	var all []Problem
	for _, f := range in.Failed {
		all = append(all, Problem{Code: f.Code, Severity: "error", Message: f.Message, Since: f.Since, Remedies: in.recalls()})
	}
	for _, p := range in.Kept {
		inputs, fact := v.k.memory.Known.inputs(p)
		want, _ := held(in, p)
		all = append(all, Problem{Code: "drift", Severity: "warning", Since: fact.Since,
			Message:  fmt.Sprintf("%s was changed at the device to %s; %s needs %s. Left alone (drift: keep).", p, ports(inputs), in.title(), ports(want)),
			Remedies: []Act{{Do: ToPutBack, Matrix: p.Owner}}})
	}
	if in.Plan != nil && !in.Plan.Given {
		if in.Plan.Stopped && len(in.Plan.Missing) == 0 {
			all = append(all, stoppedSearch("not-given", in, Act{Do: ToRecall, Session: in.Session, Options: in.Options}, in.title()))
		}
		for _, m := range plan.Merged(in.Plan.Missing) {
			all = append(all, Problem{Code: "not-given", Severity: "error", Since: in.Planned,
				Message: phrase.Put("Not possible: {connection}. {reason}", "connection", m.Want, "reason", sentence(m.Because))})
		}
	}
	return append(all, v.othersProblems()...)
}

// recalls is the recall of what is intended once more: nobody tries a step again that a
// device did not carry out. What an undo goes back to cannot be recalled.
func (in Intent) recalls() []Act {
	if in.Session == "" || in.Back != nil {
		return nil
	}
	return []Act{{Do: ToRecall, Session: in.Session, Options: in.Options}}
}

// stoppedSearch is the problem of a session for which the search stopped before it found a
// plan. To recall it with more effort answers it; an undo and rest have no such act.
func stoppedSearch(code string, in Intent, recall Act, title string) Problem {
	p := Problem{Code: code, Severity: "error", Since: in.Planned,
		Message: phrase.Put("The search stopped before a plan for {session} was found.", "session", title)}
	if recall.Session != "" && recall.Session != RestName && in.Back == nil {
		recall.Options.Effort = plan.MoreEffort(max(in.effort(), recall.Options.Effort))
		p.Remedies = []Act{recall}
	}
	return p
}

// othersProblems are what is not possible of the sessions that other rooms are in.
func (v view) othersProblems() []Problem {
	in := v.k.memory.Intent
	var all []Problem
	for _, h := range in.Others {
		if h.NotGiven && len(h.Missing) == 0 {
			all = append(all, stoppedSearch("room-not-given", in, Act{Do: ToRecall, Session: h.Session, Options: h.Options}, holder(h.Session, h.Rooms)))
		}
		for _, m := range plan.Merged(h.Missing) {
			all = append(all, Problem{Code: "room-not-given", Severity: "error", Since: in.Planned,
				Message: phrase.Put("Not possible for {session}: {connection}. {reason}", "session", holder(h.Session, h.Rooms), "connection", m.Want, "reason", sentence(m.Because))})
		}
	}
	return all
}

func (v view) bayProblems() []Problem {
	m := v.k.memory
	var all []Problem
	if v.k.studio != nil && !m.BayTold && len(v.k.studio.Bays) > 0 {
		all = append(all, Problem{Code: "bay-assumed", Severity: "advice", Since: v.k.woke,
			Message: "Nothing is reported in the bay yet. bayhand assumes the rest patch. Report any other cords that are in."})
	}
	if in := m.Intent; in.Idle() || len(in.Left) == 0 {
		for _, h := range m.Silenced {
			if !in.cut(h.Port) && !h.Unheard {
				all = append(all, Problem{Code: "hushed", Severity: "warning", Since: h.Since,
					Message: stillDown(h)})
			}
		}
	}
	return append(all, strays(v.k.studio, m, v.k.woke)...)
}

// strays are the plugs that are reported in jacks that the studio does not have.
func strays(s *studio.Studio, m Memory, since time.Time) []Problem {
	odd := strayed(withGuests(s, m.Here(s)), m.Known)
	if len(odd) == 0 {
		return nil
	}
	return []Problem{{Code: UnknownPlace, Severity: "warning", Since: since,
		Message: phrase.Put("Plugs are reported in jacks that the studio file no longer has: {jacks}. Plans leave them out.", "jacks", strings.Join(odd, ", "))}}
}

// UnknownPlace is the code of the problem that plugs are reported in jacks that the studio
// does not have.
const UnknownPlace = "unknown-place"

// sentence begins with a capital letter, where it begins with a word and not with the
// name of a place, which is written as the files have it.
func sentence(text string) string {
	word, _, _ := strings.Cut(text, " ")
	if word == "" || strings.ContainsAny(word, "/0123456789") {
		return text
	}
	return strings.ToUpper(word[:1]) + text[1:]
}

// stillDown says of a port what nobody reported undone.
func stillDown(h Silenced) string {
	if h.Do == plan.PhantomOff {
		return phrase.Put("{port}: phantom still off; nobody reported it on", "port", h.Port.String())
	}
	return phrase.Put("{port} still muted: nobody reported it unmuted", "port", h.Port.String())
}

// strayed are the places of plugs that the studio does not have.
func strayed(s *studio.Studio, known Known) []string {
	if s == nil {
		return nil
	}
	var odd []string
	parts := map[string]*studio.Studio{}
	for _, p := range known.Patch().Plugs() {
		if parts[p.Owner] == nil {
			parts[p.Owner] = alone(s, p.Owner)
		}
		if !exists(parts[p.Owner], p) {
			odd = append(odd, p.String())
		}
	}
	return odd
}

// noteProblems are the notes, with what is done about them: nothing is put back
// while the journal cannot be written.
func (v view) noteProblems() []Problem {
	notes := slices.Clone(v.k.devices.notes)
	for i := range notes {
		if v.k.journal.trouble != nil {
			notes[i].Message = phrase.Put("{change}; it will be restored when the journal can be written again", "change", notes[i].Message)
			continue
		}
		notes[i].Message = restored(notes[i].Message)
	}
	return notes
}
