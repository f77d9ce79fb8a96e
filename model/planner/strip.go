package planner

import (
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// strip plans the way from a patch back to the rest patch. What would have to be plugged
// into a faulty jack stays out, and is missing.
func strip(ctx context.Context, room *heard.Room, from patch.Patch, o problem.Options) (*plan.Plan, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	t, err := problem.New(room.For(nil, from), from, &session.Session{Name: "rest"}, o)
	if err != nil {
		return nil, err
	}
	rest, missing := pluggable(t.Studio.Rest, from, t.Studio.Faulty, o.Held)
	d, err := t.Numbered(rest)
	if err != nil {
		return nil, err
	}
	if o.LeaveCords {
		d = leaving(t, d)
	}
	moves, target, ok := objective.Moves(t, d)
	if !ok {
		return nil, plan.ErrTooFewCords
	}
	f := &objective.Candidate{Patch: d, Moves: moves, Target: target, Score: objective.Score{Plugs: objective.Plugs(moves)}}
	made := given(t, f, f.Score.Plugs)
	made.Given, made.Missing = len(missing) == 0, missing
	return made, nil
}

// pluggable is a patch without the plugs that are not in yet and would go into jacks that
// take none: faulty ones, some of which others hold. These plugs are missing.
func pluggable(p, from patch.Patch, faulty, held []name.Point) (patch.Patch, []plan.Missing) {
	missing := []plan.Missing{}
	p = p.Clone()
	out := func(in bool, want string, plugs ...name.Point) bool {
		at := slices.IndexFunc(plugs, func(q name.Point) bool { return slices.Contains(faulty, q) })
		if in || at < 0 {
			return false
		}
		missing = append(missing, barred(want, plugs[at], held))
		return true
	}
	p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool {
		return out(slices.ContainsFunc(from.Cords, c.Same), joined(c.Ends()), c.Ends()...)
	})
	p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool {
		return out(slices.Contains(from.Leads, l), joined([]name.Point{l.Port, l.Jack}), l.Jack)
	})
	p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool {
		return out(slices.Contains(from.Dummies, j), phrase.Put("a dummy plug in {jack}", "jack", j.String()), j)
	})
	return p, missing
}

// barred is what is missing since a jack takes no plug.
func barred(want string, jack name.Point, held []name.Point) plan.Missing {
	if slices.Contains(held, jack) {
		return plan.Missing{Want: want, Because: phrase.Put("{jack} is in use in another room", "jack", jack.String())}
	}
	return plan.Missing{Want: want, Because: phrase.Put("{jack} is faulty", "jack", jack.String()), Mended: []name.Point{jack}}
}

// joined is a cord or lead in words.
func joined(ends []name.Point) string {
	if len(ends) == 1 {
		return ends[0].String()
	}
	return ends[0].String() + " - " + ends[1].String()
}

// leaving adds what is in to a draft, where its jacks are free.
func leaving(t *problem.Problem, d graph.Patch) graph.Patch {
	d = d.Clone()
	taken := map[int]bool{}
	for _, j := range d.Plugs() {
		taken[j] = true
	}
	for _, c := range t.Present.Cords {
		if !taken[c[0]] && (c[1] == graph.None || !taken[c[1]]) {
			d.Cords = append(d.Cords, c)
		}
	}
	for _, l := range t.Present.Leads {
		if !taken[l[1]] {
			d.Leads = append(d.Leads, l)
		}
	}
	for _, j := range t.Present.Dummies {
		if !taken[j] {
			d.Dummies = append(d.Dummies, j)
		}
	}
	d.Sort()
	return d
}
