package planner

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// remedy is what would make something possible: in words, by additions, or both.
type remedy struct {
	said   string
	enough []plan.Addition
	mended []name.Point
}

func (r remedy) none() bool { return r.said == "" && len(r.enough) == 0 }

// remedies looks for what would make possible what a plan cannot give.
type remedies struct{ made *making }

func (m remedies) enough() enough { return enough(m) }

// of says what would make it possible to have all of some wants and silences, and which
// additions do: more dummies, more or longer cords, a jack that is mended, ties, a mult, or
// a matrix that can more. It is empty where none of these would, or it takes too long to
// find out.
func (m remedies) of(asks []exact.Wish) remedy {
	less := asking(m.made.problem, asks...)
	for _, try := range []func(*session.Session) remedy{
		m.moreDummies, m.moreCords, m.mended, m.moreTies, m.moreMults, m.moreMultsAndCords,
		m.moreCrosspoints, m.outputsApart, m.anyWay,
	} {
		if r := try(less); !r.none() {
			return r
		}
	}
	return remedy{}
}

// asking is the session with some wants and silences alone, and no patch of its own.
func asking(t *problem.Problem, asks ...exact.Wish) *session.Session {
	less := only(t, func(text string) bool {
		return slices.ContainsFunc(asks, func(w exact.Wish) bool { return w.Text == text })
	})
	less.Patch = nil
	return less
}

// planWith is a plan with the fewest plugs for a session in a changed studio; nil where none
// was found.
func (m remedies) planWith(asked *session.Session, change func(*studio.Studio)) *patch.Patch {
	if m.anyWith(asked, change) == nil {
		return nil
	}
	return m.wholeWith(asked, change)
}

func (m remedies) wholeWith(asked *session.Session, change func(*studio.Studio)) *patch.Patch {
	other := m.makingWith(asked, change, m.made.problem.Options.PastTies)
	if other == nil {
		return nil
	}
	p, err := other.find()
	if err != nil || !p.Given {
		return nil
	}
	return (*patch.Patch)(&p.Target)
}

// anyWith is any plan for a session in a changed studio, for who only asks whether there is one;
// nil where none was found. A cord that may reach past the ties between bays is better than none.
func (m remedies) anyWith(asked *session.Session, change func(*studio.Studio)) *patch.Patch {
	if m.made.wholly {
		return m.wholeWith(asked, change)
	}
	other := m.makingWith(asked, change, true)
	if other == nil {
		return nil
	}
	if other.findQuickly(longCount, remedyEffort*1e6); other.best == nil {
		return nil
	}
	return &other.best.Target
}

// makingWith begins a plan in a changed studio; nil where what is in could not be in there.
func (m remedies) makingWith(asked *session.Session, change func(*studio.Studio), pastTies bool) *making {
	s := *m.made.problem.Studio
	change(&s)
	o := problem.Options{Prefer: plan.PreferFewest, Effort: remedyEffort, PastTies: pastTies}
	other, err := newMaking(m.made.ctx, heard.NewRoom(&s), m.made.problem.From, asked, o)
	if err != nil {
		return nil
	}
	other.like, other.unexplained = m.made.like, true
	return other
}

// remedyEffort bounds the search for one remedy, in millions.
const remedyEffort = 20

// with says that an addition does, in the number of which fewer do not; nothing where none
// is found.
func (m remedies) with(a plan.Addition, asked *session.Session, least int) remedy {
	if a = m.enough().fewest(a, asked, least); a.Count == 0 {
		return remedy{}
	}
	return remedy{enough: []plan.Addition{a}}
}

func (m remedies) moreDummies(asked *session.Session) remedy {
	p := m.anyWith(asked, func(s *studio.Studio) { s.Dummies = -1 })
	if p == nil {
		return remedy{}
	}
	return m.with(plan.Addition{What: plan.AddedDummy}, asked, len(p.Dummies)-m.made.problem.Dummies)
}

// mended names what is tagged faulty and would have to be mended: no more than it takes.
func (m remedies) mended(asked *session.Session) remedy {
	var s studio.Studio
	if p := m.anyWith(asked, func(o *studio.Studio) { m.made.problem.Options.Mend(o); s = *o }); p == nil {
		return remedy{}
	}
	var mended []name.Point
	for _, jack := range m.made.problem.Studio.Faulty {
		if slices.Contains(s.Faulty, jack) {
			continue
		}
		still := s
		if still.Faulty = append(slices.Clone(s.Faulty), jack); m.enough().givenIn(&still, asked) {
			s = still
			continue
		}
		mended = append(mended, jack)
	}
	if len(mended) == 0 {
		return remedy{said: "it would be possible if no normal were tagged faulty"}
	}
	return remedy{mended: mended, said: phrase.Put("tagged faulty: {jacks}; it would be possible if mended", "jacks", strings.Join(topFirst(mended), ", "))}
}

// moreTies are ties between the bays of a source and its destination.
func (m remedies) moreTies(asked *session.Session) remedy {
	return m.with(m.tieOf(asked), asked, 1)
}

// tieOf is a tie between the bays of the first want that goes from one to another.
func (m remedies) tieOf(asked *session.Session) plan.Addition {
	for _, w := range asked.Wants {
		if a, b := bayAt(m.made.problem, w.Source), bayAt(m.made.problem, w.Destination); a != b && a != "" && b != "" {
			return plan.Addition{What: plan.AddedTie, Of: []string{a, b}}
		}
	}
	return plan.Addition{}
}

func (m remedies) moreMults(asked *session.Session) remedy {
	for _, a := range m.multsOf(asked) {
		if r := m.with(a, asked, 1); !r.none() {
			return r
		}
	}
	return remedy{}
}

// multsOf are a mult in the bay of the first source, and one in that of its destination.
func (m remedies) multsOf(asked *session.Session) []plan.Addition {
	var takes []plan.Taking
	for _, w := range asked.Wants {
		takes = append(takes, plan.Taking{Source: w.Source, At: []name.Point{w.Destination}})
	}
	return m.enough().mults(&plan.Shortage{Takes: takes})
}

// moreMultsAndCords is a mult that the cords owned do not suffice for.
func (m remedies) moreMultsAndCords(asked *session.Session) remedy {
	a := m.multsOf(asked)[0]
	if a.Count = 1; a.What == "" {
		return remedy{}
	}
	with := withMore(withOwned(m.made.problem), a)
	if with == nil {
		return remedy{}
	}
	with.Stock = studio.Stock{Unlimited: true, Slack: with.Stock.Slack}
	if !m.enough().givenIn(with, asked) {
		return remedy{}
	}
	return remedy{said: phrase.Put("it would be possible with {mult} and more cords", "mult", m.enough().moreWords(a))}
}

// moreCrosspoints names those that a matrix lacks and a plan would take.
func (m remedies) moreCrosspoints(asked *session.Session) remedy {
	p := m.planWith(asked, func(s *studio.Studio) {
		s.Matrices = slices.Clone(s.Matrices)
		for i := range s.Matrices {
			s.Matrices[i].Missing = nil
		}
	})
	if p == nil {
		return remedy{}
	}
	var lacks []string
	for _, c := range p.Crosspoints {
		of := m.made.problem.Studio.MatrixNamed(c.Output.Owner)
		if slices.Contains(of.Missing, studio.Absent{Output: c.Output, Input: c.Input}) {
			lacks = append(lacks, phrase.Put("{input} -> {output}", "input", c.Input.String(), "output", c.Output.String()))
		}
	}
	if len(lacks) == 0 {
		return remedy{}
	}
	return remedy{said: phrase.Put("no crosspoint: {crosspoints}; it would be possible with that", "crosspoints", strings.Join(lacks, ", "))}
}

// outputsApart names outputs that are switched together, where that stands in the way.
func (m remedies) outputsApart(asked *session.Session) remedy {
	p := m.planWith(asked, func(s *studio.Studio) {
		s.Matrices = slices.Clone(s.Matrices)
		for i := range s.Matrices {
			s.Matrices[i].Stereo = nil
		}
	})
	if p == nil {
		return remedy{}
	}
	for _, c := range p.Crosspoints {
		for _, group := range m.made.problem.Studio.MatrixNamed(c.Output.Owner).Stereo {
			if slices.Contains(group, c.Output) {
				return remedy{said: phrase.Put("{outputs} are switched together, each to the next input; it would be possible if they were switched one by one",
					"outputs", strings.Join(name.Fold(group), ", "))}
			}
		}
	}
	return remedy{}
}

// anyWay is whether a line could go otherwise than it asks for by via and avoid.
func (m remedies) anyWay(asked *session.Session) remedy {
	free := *asked
	free.Wants = slices.Clone(asked.Wants)
	asks := 0
	for i := range free.Wants {
		if w := &free.Wants[i]; len(w.Via)+len(w.Avoid) > 0 {
			w.Via, w.Avoid, asks = nil, nil, asks+1
		}
	}
	if asks == 0 || m.anyWith(&free, func(*studio.Studio) {}) == nil {
		return remedy{}
	}
	return remedy{said: phrase.Count(asks, "it would be possible if its line asked for no way (via, avoid)", "it would be possible if {lines} lines asked for no way (via, avoid)",
		"lines", strconv.Itoa(asks))}
}

// word is the word for one or for another number.
func word(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
