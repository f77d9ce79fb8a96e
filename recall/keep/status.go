package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/studio"
)

// status is the room as it is held.
func (k *machine) status(notes []Problem) Status {
	m := k.memory
	s := Status{
		Session: m.Intent.Session, Recall: m.Intent.Recall, Phase: k.phase(),
		Plan: m.Intent.Plan, Left: m.Intent.Left, Done: m.Intent.Done, Known: m.Known, Tags: m.Tags,
		Rooms:    RoomsOf(k.studio, m.Intent),
		Matrices: k.matrices(), Problems: k.problems(notes),
	}
	if k.studio != nil {
		s.Studio, s.Inside = k.studio.Name, m.Intent.StillInside(k.studio)
	}
	return s.clone()
}

// clone is a copy whose lists are never null. A plan is never changed once it is
// made.
func (s Status) clone() Status {
	s.Left, s.Done = orEmpty(slices.Clone(s.Left)), orEmpty(slices.Clone(s.Done))
	s.Known, s.Tags = s.Known.clone(), orEmpty(slices.Clone(s.Tags))
	s.Rooms, s.Inside = orEmpty(slices.Clone(s.Rooms)), orEmpty(slices.Clone(s.Inside))
	s.Matrices, s.Problems = orEmpty(slices.Clone(s.Matrices)), orEmpty(slices.Clone(s.Problems))
	if s.Plan != nil {
		p := *s.Plan
		s.Plan = &p
	}
	return s
}

func (k *machine) phase() Phase {
	in := k.memory.Intent
	switch {
	case in.idle():
		return Idle
	case k.stage().busy():
		return Pushing
	case k.agrees():
		return Given
	case len(next(k.studio, in, k.memory.Known).Person) > 0:
		return Waiting
	}
	return Stuck
}

// agrees says whether the room gives what is intended: nothing is left, and each
// device was read to hold the target, or was sent it where it cannot be read.
func (k *machine) agrees() bool {
	in := k.memory.Intent
	if k.studio == nil || in.Plan == nil || !in.Plan.Given || len(in.Left) > 0 || len(in.Kept) > 0 || k.planTrouble != nil {
		return false
	}
	return !slices.ContainsFunc(k.devices, func(h device) bool { return !h.answers || !k.holdsTarget(h) })
}

func (k *machine) holdsTarget(h device) bool {
	for n := 1; n <= h.matrix.Outputs; n++ {
		want, _ := held(k.memory.Intent, h.matrix.Out(n))
		has, fact := k.memory.Known.inputs(h.matrix.Out(n))
		known := fact.How == Read || fact.How == Sent && !h.readsBack
		if !known || !slices.Equal(has, want) {
			return false
		}
	}
	return true
}

func (k *machine) matrices() []MatrixStatus {
	if k.studio == nil {
		return nil
	}
	var all []MatrixStatus
	for _, m := range k.studio.Matrices {
		s := MatrixStatus{Name: m.Name}
		if h := k.deviceOf(m.Name); h != nil {
			s.Link, s.Driven = m.Device.Link, true
			s.Answers, s.ReadsBack, s.Identity, s.Problem = h.answers, h.readsBack, h.identity, h.problem
			if h.other != nil {
				s.Identity, s.Expected = h.other.identity, k.memory.expected(m.Name)
			}
		}
		all = append(all, s)
	}
	return all
}

// problems are all that a person should know, the files' own first.
func (k *machine) problems(notes []Problem) []Problem {
	all := slices.Clone(k.files.Problems)
	for _, p := range []*Problem{k.journal.trouble, k.planTrouble, k.keepTrouble} {
		if p != nil {
			all = append(all, *p)
		}
	}
	all = append(all, k.fileProblems()...)
	all = append(all, k.deviceProblems()...)
	all = append(all, k.intentProblems()...)
	all = append(all, k.bayProblems()...)
	all = append(all, k.stillProblems()...)
	all = append(all, k.takingProblems()...)
	all = append(all, notes...)
	return append(all, k.noteProblems()...)
}

func (k *machine) fileProblems() []Problem {
	in := k.memory.Intent
	if k.unread.IsZero() || k.studio == nil {
		return nil
	}
	var names []string
	for _, h := range in.held(k.studio) {
		if k.files.Sessions[h.Session] == nil {
			names = append(names, h.Session)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Problem{{Code: "session-unread", Severity: "warning", Since: k.unread,
		Message: fmt.Sprintf("the file of %s is missing or has errors; the room is kept as it was read last", strings.Join(names, " and of "))}}
}

// retrying is said where somebody stays who tries again.
func (k *machine) retrying() string {
	if k.settings.poll < 0 {
		return ""
	}
	return "; retrying"
}

func (k *machine) deviceProblems() []Problem {
	var all []Problem
	for _, h := range k.devices {
		if h.other != nil {
			all = append(all, k.otherProblem(h))
		} else if !h.answers && h.tried {
			all = append(all, Problem{Code: "no-answer", Severity: "error", Since: h.since,
				Message: fmt.Sprintf("%s at %s does not answer: %s%s", h.matrix.Name, h.matrix.Device.Link, h.problem, k.retrying())})
		}
		if h.unsteady() {
			all = append(all, Problem{Code: "unsteady", Severity: "error", Since: h.restored[len(h.restored)-1],
				Message:  fmt.Sprintf("%s was put back %d times within a minute and did not stay; it is left until the next recall", h.matrix.Name, len(h.restored)),
				Remedies: []Act{{Do: ToPutBack, Matrix: h.matrix.Name}, {Do: ToLeave, Matrix: h.matrix.Name}}})
		}
	}
	return all
}

func (k *machine) intentProblems() []Problem {
	in := k.memory.Intent
	var all []Problem
	for _, f := range in.Failed {
		all = append(all, Problem{Code: f.Code, Severity: "error", Message: f.Message, Since: f.Since})
	}
	for _, p := range in.Kept {
		inputs, fact := k.memory.Known.inputs(p)
		want, _ := held(in, p)
		all = append(all, Problem{Code: "drift", Severity: "warning", Since: fact.Since,
			Message:  fmt.Sprintf("%s was turned by hand to %s where %s has %s; it is left so", p, ports(inputs), in.title(), ports(want)),
			Remedies: []Act{{Do: ToPutBack, Matrix: p.Owner}}})
	}
	if in.Plan != nil && !in.Plan.Given {
		if in.Plan.Stopped && len(in.Plan.Missing) == 0 {
			all = append(all, Problem{Code: "not-given", Severity: "error", Since: in.Planned,
				Message: fmt.Sprintf("the search for a way to %s ended before one was found", in.title())})
		}
		for _, m := range in.Plan.Missing {
			all = append(all, Problem{Code: "not-given", Severity: "error", Since: in.Planned,
				Message: fmt.Sprintf("%s cannot be had: %s", m.Want, m.Because)})
		}
	}
	return all
}

func (k *machine) bayProblems() []Problem {
	m := k.memory
	var all []Problem
	if k.studio != nil && !m.BayTold && len(k.studio.Bays) > 0 {
		all = append(all, Problem{Code: "bay-assumed", Severity: "advice", Since: k.woke,
			Message: "nobody has said what is plugged; the bay is taken to be as at rest, so say what else is in it"})
	}
	if in := m.Intent; in.idle() || len(in.Left) == 0 {
		for _, h := range m.Hushed {
			if !in.cut(h.Port) {
				all = append(all, Problem{Code: "hushed", Severity: "warning", Since: h.Since,
					Message: fmt.Sprintf("%s was taken down (%s), and nobody has said that it is back", h.Port, h.Do)})
			}
		}
	}
	if odd := strayed(k.studio, m.Known); len(odd) > 0 {
		all = append(all, Problem{Code: "unknown-place", Severity: "warning", Since: k.woke,
			Message: fmt.Sprintf("something is plugged where the studio has no jack now, and is not planned with: %s", strings.Join(odd, ", "))})
	}
	return all
}

// strayed are the places of plugs that the studio does not have.
func strayed(s *studio.Studio, known Known) []string {
	if s == nil {
		return nil
	}
	var odd []string
	for _, p := range known.Patch().Plugs() {
		if !exists(s, p) {
			odd = append(odd, p.String())
		}
	}
	return odd
}
