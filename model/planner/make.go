// Package planner finds the patch that gives a session with the fewest plugs
// handled, from the patch that is in, and the steps to it. Make is its door.
//
// Its words are those of package plan: a want is one destination that must hear
// one source; a move is something a person's hand does; a change is something a
// matrix does. Its parts are packages, each of which knows those before it alone:
//
//   - matching gives things places, as cords kinds of the stock;
//   - clause answers whether clauses can be fulfilled;
//   - problem is what is asked, of which room, with which cords and from which patch;
//   - objective is what a patch is worth, with the moves to it;
//   - trial is a patch that changes part by part;
//   - bound finds a number of plugs that every plan handles at least;
//   - tidy leaves out what a patch does not need, and shortens its cords;
//   - cut proves by counting that there is no plan;
//   - route builds a plan, want by want;
//   - exact finds the best of all plans, and proves that it is; where that is out of
//     reach, it searches one window of the room after the other.
package planner

import (
	"context"
	"errors"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// making is a plan while it is made.
type making struct {
	problem *problem.Problem
	ctx     context.Context
	// best is the best plan so far, nil before there is one; least is a proved
	// lower bound on the plugs of all that are as good as it in what goes before.
	best  *objective.Candidate
	least int
	// raised is the bound by prices, margins what plans may have beside it; nil where that is not known.
	raised  bound.Raised
	margins *bound.Margins
	// impossible is true once it is proved that no patch gives the session, and
	// dropped are then the wants and silences without which one gives the rest.
	impossible bool
	dropped    []exact.Wish
	// proof is why no patch gives the session, where counting proves it.
	proof *cut.Proof
	// alike is such a proof for a session like this one in the same room; nil for none.
	alike *cut.Proof
	// owned is what plans may have by what is owned, once it was looked for; nil where nothing is known.
	owned  *bound.Owned
	priced bool
	// nearest is a draft that lacks some of what is asked, where no plan was built.
	nearest graph.Patch
	// like is the target of a plan for all that is asked but a few wants, where one is known.
	like *patch.Patch
	// counted is the work that the search for it was given.
	counted int64
	// stopped says that the bound could have risen further.
	stopped bool
	// searched says that the best plan of all has been found, by all that plans are chosen by.
	searched bool
	// hasty leaves it undecided whether there is a plan where that is hard.
	hasty bool
	// unexplained leaves it at that where a session cannot be given.
	unexplained bool
	// wholly has remedies found by whole plans, so that a test can see that they are the same.
	wholly bool
	// without names the stages that are left out, so that a test can see what they
	// are worth.
	without []string
}

// newMaking begins the way from a patch to one that gives a session. An error is a
// patch that the studio cannot have.
func newMaking(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o problem.Options) (*making, error) {
	p, err := problem.New(room.For(s, from), from, s, o)
	return &making{problem: p, ctx: ctx}, err
}

// find plans the way: moves and changes, in no order of time. Where there is no plan by
// the ties between bays without places, a cord that may reach past them is better than
// none.
func (m *making) find() (*plan.Plan, error) {
	if !m.problem.GoesByTies {
		return m.findHere()
	}
	byTies := *m
	byTies.unexplained = true
	made, err := byTies.findHere()
	if err == nil && made.Given {
		*m = byTies
		return made, nil
	}
	o := m.problem.Options
	o.PastTies = true
	if m.problem, err = problem.New(m.problem.Room, m.problem.From, m.problem.Session, o); err != nil {
		return nil, err
	}
	return m.findHere()
}

// findHere plans the way with the cords that the problem allows.
func (m *making) findHere() (*plan.Plan, error) {
	if missing := m.problem.Missing(); len(missing) > 0 {
		return cannot(m.problem, missing), nil
	}
	if f := same(m.problem); f != nil {
		return given(m.problem, f, f.Score.Plugs), nil
	}
	if f := bare(m.problem); f != nil {
		return given(m.problem, f, f.Score.Plugs), nil
	}
	m.run()
	switch {
	case m.best != nil:
		p := given(m.problem, m.best, m.least)
		p.Stopped = m.stopped && p.Least < p.Plugs
		return p, nil
	case m.impossible && m.unexplained:
		return cannot(m.problem, []plan.Missing{}), nil
	case m.impossible:
		return m.explain(), nil
	case m.ctx.Err() != nil:
		return nil, errors.Join(errors.New("no plan was found before the search was stopped"), m.ctx.Err())
	}
	p := cannot(m.problem, []plan.Missing{})
	p.Stopped = true
	return p, nil
}

// same is the session's own last patch, where it is asked for and still gives
// the session.
func same(t *problem.Problem) *objective.Candidate {
	if t.Options.Prefer != plan.PreferSame || t.Session.Patch == nil {
		return nil
	}
	d, err := t.Numbered(*t.Session.Patch)
	if err != nil || !t.Sound(d) || !t.Gives(d) {
		return nil
	}
	f, ok := tidy.Complete(t, d)
	if !ok {
		return nil
	}
	return f
}

// bare is the room with nothing plugged and nothing switched, where that gives the
// session: then any other patch holds something that the session does not need, and the
// only plan is to pull and open what is in.
func bare(t *problem.Problem) *objective.Candidate {
	if t.Options.LeaveCords || !t.Gives(graph.Patch{}) {
		return nil
	}
	f, ok := objective.Of(t, graph.Patch{})
	if !ok {
		return nil
	}
	return f
}

// given writes a plan down.
func given(t *problem.Problem, f *objective.Candidate, least int) *plan.Plan {
	return &plan.Plan{
		Session: t.Session.Name, Given: true,
		Plugs: f.Score.Plugs, Least: min(least, f.Score.Plugs),
		Moves: append([]plan.Move{}, f.Moves...), Crosspoints: objective.Changes(t, f.Patch),
		Target: plan.Target(f.Target), Steps: []plan.Step{}, Missing: []plan.Missing{},
		Losses: losses(t, f.Target),
	}
}

// cannot is the plan of a session that cannot be given: it moves nothing.
func cannot(t *problem.Problem, missing []plan.Missing) *plan.Plan {
	return &plan.Plan{
		Session: t.Session.Name, Moves: []plan.Move{}, Crosspoints: []plan.Change{}, Target: plan.Target(t.From.Clone()),
		Steps: []plan.Step{}, Missing: missing, Losses: []plan.Loss{},
	}
}

// losses are the sources that destinations which the session does not name hear
// now and will not hear at the end.
func losses(t *problem.Problem, target patch.Patch) []plan.Loss {
	before, after := t.Room.Hear(t.From), t.Room.Hear(target)
	all := []plan.Loss{}
	for _, input := range t.Studio.Ends(studio.Input) {
		if at, ok := t.Number[input]; ok && !t.Asks[at].Named() {
			all = append(all, lost(input, before.Hears(input), after.Hears(input))...)
		}
	}
	return all
}

func lost(destination name.Point, before, after []name.Point) []plan.Loss {
	var losses []plan.Loss
	for _, s := range before {
		if !slices.Contains(after, s) {
			losses = append(losses, plan.Loss{Destination: destination, Source: s, Instead: after})
		}
	}
	return losses
}
