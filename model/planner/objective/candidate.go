// Package objective is what a patch is worth that gives a session, and how one comes
// to it. A candidate is such a patch with the moves to it. Candidates are compared by
// their scores: how plain they are, where that is asked for, plugs handled, plugs in
// the bay, normals broken, crosspoints changed. A patch is plain where no cord hangs,
// no mults are chained and nothing is tapped that the session does not split.
package objective

import (
	"bayhand/model/graph"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Reaches says whether a plan is plain and handles no more plugs than the least.
func (f *Candidate) Reaches(least int) bool {
	return f != nil && f.Score.Unplain == 0 && f.Score.Plugs <= least
}

// Candidate is a draft that gives the session, with how one comes to it.
type Candidate struct {
	Patch  graph.Patch
	Moves  []plan.Move
	Target patch.Patch
	Score  Score
}

// Score orders plans: the plainest, where that is asked for, then the fewest
// plugs handled, then the fewest plugs in the bay, then the fewest normals
// broken, then the fewest crosspoints changed.
type Score struct {
	Unplain, Plugs, InBay, Broken, Changed int
}

func (s Score) Less(o Score) bool {
	switch {
	case s.Unplain != o.Unplain:
		return s.Unplain < o.Unplain
	case s.Plugs != o.Plugs:
		return s.Plugs < o.Plugs
	case s.InBay != o.InBay:
		return s.InBay < o.InBay
	case s.Broken != o.Broken:
		return s.Broken < o.Broken
	}
	return s.Changed < o.Changed
}

// Of says how one comes to a draft; ok is false where the cords owned do not suffice.
func Of(t *problem.Problem, d graph.Patch) (f *Candidate, ok bool) { return Better(t, d, nil) }

// Better is Of for a draft of which nobody wants to know where it is not worth more than
// a score; nil for any. Ok is false for such a draft.
func Better(t *problem.Problem, d graph.Patch, than *Score) (f *Candidate, ok bool) {
	m, ok := moving(t, d)
	if !ok {
		return nil, false
	}
	score := Score{Unplain: Unplain(t, d), Plugs: Plugs(m.list), InBay: len(d.Plugs()), Broken: d.CountBroken(t.Graph), Changed: len(Changes(t, d))}
	if than != nil && !score.Less(*than) {
		return nil, false
	}
	return &Candidate{d, m.list, m.target(), score}, true
}

// Tell tells who waits for a plan how far it is.
func Tell(t *problem.Problem, work int64, least int, best *Candidate) {
	if t.Options.Progress == nil {
		return
	}
	plugs := -1
	if best != nil {
		plugs = best.Score.Plugs
	}
	t.Options.Progress(int(work/1e6), least, plugs)
}
