// Package planner finds the patch that gives a session with the fewest plugs
// handled, from the patch that is in.
//
// Its words are those of package plan: a want is one destination that must hear
// one source; a move is something a person's hand does; a change is something a
// matrix does.
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
	"bayhand/model/session"
)

// find plans the way from a patch to one that gives a session: moves and changes,
// in no order of time.
func find(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o options) (*plan.Plan, error) {
	t, err := newTask(room.For(s, from), from, s, o)
	if err != nil {
		return nil, err
	}
	if missing := t.missing(); len(missing) > 0 {
		return t.cannot(missing), nil
	}
	if f := t.same(); f != nil {
		return t.plan(f, f.score.plugs), nil
	}
	m := making{task: t, ctx: ctx}
	m.run()
	switch {
	case m.best != nil:
		p := t.plan(m.best, m.least)
		p.Stopped = m.stopped && p.Least < p.Plugs
		return p, nil
	case m.impossible && o.unexplained:
		return t.cannot([]plan.Missing{}), nil
	case m.impossible:
		return t.explain(ctx)
	case ctx.Err() != nil:
		return nil, errors.Join(errors.New("no plan was found before the search was stopped"), ctx.Err())
	}
	p := t.cannot([]plan.Missing{})
	p.Stopped = true
	return p, nil
}

// small is how many jacks a room has in which a proof is mostly within reach.
const small = 200

// large is how many jacks a room has in which building it twice takes long.
const large = 1000

// same is the session's own last patch, where it is asked for and still gives
// the session.
func (t *task) same() *candidate {
	if t.options.Prefer != plan.PreferSame || t.session.Patch == nil {
		return nil
	}
	d, err := t.Numbered(*t.session.Patch)
	if err != nil || !t.sound(d) || !t.gives(d) {
		return nil
	}
	f, ok := t.prunedCandidate(d)
	if !ok {
		return nil
	}
	return f
}

// sound says whether a draft could be plugged today: no faulty jack, no relay
// output with two inputs, no more dummies than are owned.
func (t *task) sound(d graph.Patch) bool {
	if slices.ContainsFunc(d.Plugs(), func(j int) bool { return !t.usable(j) }) {
		return false
	}
	outputs := map[int]bool{}
	for _, x := range d.Crosses {
		if outputs[t.Crosses[x].Output] {
			return false
		}
		outputs[t.Crosses[x].Output] = true
	}
	owned := t.Studio.Dummies
	return owned < 0 || len(d.Dummies) <= max(owned, len(t.present.Dummies))
}

// plan writes a plan down.
func (t *task) plan(f *candidate, least int) *plan.Plan {
	return &plan.Plan{
		Session: t.session.Name, Given: true,
		Plugs: f.score.plugs, Least: min(least, f.score.plugs),
		Moves: append([]plan.Move{}, f.moves...), Crosspoints: t.changes(f.patch),
		Target: plan.Target(f.target), Steps: []plan.Step{}, Missing: []plan.Missing{},
		Loses: t.loses(f.target), FirstID: t.options.FirstID,
	}
}

// cannot is the plan of a session that cannot be given: it moves nothing.
func (t *task) cannot(missing []plan.Missing) *plan.Plan {
	return &plan.Plan{
		Session: t.session.Name, Moves: []plan.Move{}, Crosspoints: []plan.Change{}, Target: plan.Target(t.from.Clone()),
		Steps: []plan.Step{}, Missing: missing, Loses: []plan.Loss{}, FirstID: t.options.FirstID,
	}
}

// loses are the sources that destinations which the session does not name hear
// now and will not hear at the end.
func (t *task) loses(target patch.Patch) []plan.Loss {
	before, after := t.room.Hear(t.from), t.room.Hear(target)
	losses := []plan.Loss{}
	for _, g := range t.Studio.Gear {
		for _, p := range g.Ports {
			at, ok := t.Number[p.Point]
			if !ok || !t.isInput(p.Point) || t.asks[at].named() {
				continue
			}
			losses = append(losses, lost(p.Point, before.Hears(p.Point), after.Hears(p.Point))...)
		}
	}
	return losses
}

func lost(destination name.Point, before, after []name.Point) []plan.Loss {
	var losses []plan.Loss
	for _, s := range before {
		if !slices.Contains(after, s) {
			losses = append(losses, plan.Loss{Destination: destination, Source: s})
		}
	}
	return losses
}

// strip plans the way from a patch back to the room at rest.
func strip(ctx context.Context, room *heard.Room, from patch.Patch, o options) (*plan.Plan, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	t, err := newTask(room.For(nil, from), from, &session.Session{Name: "rest"}, o)
	if err != nil {
		return nil, err
	}
	d, err := t.Graph.Numbered(t.Studio.Rest)
	if err != nil {
		return nil, err
	}
	if o.LeaveCords {
		d = t.leaving(d)
	}
	moves, target, ok := t.moves(d)
	if !ok {
		return nil, errors.New("the cords owned do not suffice for the patch that is to be in; look at cords and rest in the studio file")
	}
	f := &candidate{patch: d, moves: moves, target: target, score: score{plugs: plugs(moves)}}
	return t.plan(f, f.score.plugs), nil
}

// leaving adds what is in to a draft, where its jacks are free.
func (t *task) leaving(d graph.Patch) graph.Patch {
	d = d.Clone()
	taken := map[int]bool{}
	for _, j := range d.Plugs() {
		taken[j] = true
	}
	for _, c := range t.present.Cords {
		if !taken[c[0]] && (c[1] == graph.None || !taken[c[1]]) {
			d.Cords = append(d.Cords, c)
		}
	}
	for _, l := range t.present.Leads {
		if !taken[l[1]] {
			d.Leads = append(d.Leads, l)
		}
	}
	for _, j := range t.present.Dummies {
		if !taken[j] {
			d.Dummies = append(d.Dummies, j)
		}
	}
	d.Sort()
	return d
}
