package keep

import (
	"slices"

	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// overdrawn is who has the cords and dummies in use of which there are too few for a plan
// beside them; nobody where there are enough. The planner takes cords that are in for
// owned, also where a session elsewhere was promised them.
func overdrawn(p *plan.Plan, q question) []plan.InUse {
	if q.scope == nil {
		return nil
	}
	t := tally{scope: q.scope}
	return t.count(q.scope.Contested(patch.Patch(p.Target)))
}

// refuseOverdrawn refuses a plan with cords that are in use elsewhere.
func refuseOverdrawn(in Intent, session string, uses []plan.InUse) error {
	if len(uses) == 0 {
		return nil
	}
	return tell(ErrConflict, "%s", phrase.Put("{session} is not possible beside what other rooms hold; {uses}",
		"session", in.called(session), "uses", inUse(uses)))
}

// instead is a way that takes the place of sessions that have what another one lacks: of
// one of them where that is enough, else of all. It is the other one where neither is.
func (w answering) instead(in Intent, lacking way) (way, error) {
	uses := overdrawn(lacking.plan, lacking.question)
	if len(lacking.plan.Missing) > 0 {
		uses = lacking.plan.Missing[0].InUse
	}
	var tries [][]string
	var all []string
	for _, u := range uses {
		if u.Session != "" {
			tries, all = append(tries, []string{u.Session}), append(all, u.Session)
		}
	}
	if len(all) > 1 {
		tries = append(tries, slices.Clone(all))
	}
	for _, ends := range tries {
		p, q, err := w.plan(in.without(ends))
		if err != nil {
			return way{}, err
		}
		if p.Given && len(overdrawn(p, q)) == 0 {
			return way{plan: p, question: q, ends: ends}, nil
		}
	}
	return lacking, nil
}
