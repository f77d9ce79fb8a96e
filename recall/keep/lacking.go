package keep

import (
	"errors"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// Where a session is not possible beside those that other rooms are in, it may be so
// without them: what it lacks is in use then. Which of it that is, a plan says that is
// made as if nothing were held.

// lacking is a plan with what others use of what it lacks. It asks the planner again where
// others use anything at all.
func (w answering) lacking(in Intent, p *plan.Plan) (*plan.Plan, error) {
	of := w.main(in)
	if p.Given || len(p.Missing) == 0 || len(of.rooms) == 0 {
		return p, nil
	}
	u, err := w.uses(in, of)
	if err != nil || u.none() {
		return p, nil
	}
	free, err := w.make(u.unheld)
	if err != nil || free == nil || !free.Given {
		return p, nil
	}
	all := u.of(free)
	if len(all) == 0 {
		return p, nil
	}
	own := *p
	own.Missing = slices.Clone(p.Missing)
	for i := range own.Missing {
		own.Missing[i].InUse = all
		own.Missing[i].Because += "; " + inUse(all)
	}
	return &own, nil
}

// uses is what sessions in other rooms have.
type uses struct {
	held *scope.Scope
	// unheld is the question for a plan as if they had nothing.
	unheld  question
	holders []scope.Holder
}

func (w answering) uses(in Intent, of part) (uses, error) {
	of.options.Partly = false
	u := uses{holders: w.holders(in, of.rooms)}
	b := w.site().building
	var err error
	ended := w.inTurn(func() {
		var ask plan.Request
		if ask, err = w.request(in, of); err != nil {
			return
		}
		rooms := b.Widened(ask.Studio, of.rooms, u.holders, ask.From)
		target, _ := w.memory.Intent.target()
		u.held = b.Scope(ask.Studio, rooms, of.wanted, u.holders, ask.From, target)
		free := b.Scope(ask.Studio, rooms, of.wanted, nil, patch.Patch{})
		u.unheld = question{ask: w.cut(in, of, ask, free), scope: free}
	})
	return u, errors.Join(ended, err)
}

// none is true where nothing is held.
func (u uses) none() bool {
	return len(u.holders) == 0 || len(u.held.Held)+len(u.held.InUse.Plugs())+len(u.held.InUse.Crosspoints) == 0
}

// of are the uses that a plan made as if nothing were held would take: the places, and
// where there are too few of them without the others', cords and dummies.
func (u uses) of(free *plan.Plan) []plan.InUse {
	at := map[string]*plan.InUse{}
	use := func(p name.Point) *plan.InUse {
		h, ok := u.held.HolderOf(p)
		if !ok {
			return &plan.InUse{} // of a line that nobody uses
		}
		if at[h.Session] == nil {
			at[h.Session] = &plan.InUse{Session: h.Session, Rooms: h.Rooms}
		}
		return at[h.Session]
	}
	for _, p := range placesIn(patch.Patch(free.Target)) {
		if one := use(p); !u.held.Has(p) && !slices.Contains(one.Places, p) {
			one.Places = append(one.Places, p)
		}
	}
	s := u.held.Studio
	left := 0
	for _, k := range s.Stock.Cords {
		left += k.Count
	}
	if !s.Stock.Unlimited && (len(free.Target.Cords) > left || len(at) == 0) {
		for _, c := range u.held.InUse.Cords {
			use(u.end(c.Ends())).Cords++
		}
	}
	if s.Dummies >= 0 && len(free.Target.Dummies) > s.Dummies {
		for _, j := range u.held.InUse.Dummies {
			use(j).Dummies++
		}
	}
	var all []plan.InUse
	for _, h := range u.holders {
		if one := at[h.Session]; one != nil && len(one.Places)+one.Cords+one.Dummies > 0 {
			all = append(all, *one)
		}
	}
	return all
}

// end is that of some places which somebody holds; the first where nobody does.
func (u uses) end(points []name.Point) name.Point {
	for _, p := range points {
		if _, held := u.held.HolderOf(p); held {
			return p
		}
	}
	return points[0]
}

// placesIn are the places that a patch takes.
func placesIn(p patch.Patch) []name.Point {
	all := p.Plugs()
	for _, l := range p.Leads {
		all = append(all, l.Port)
	}
	for _, c := range p.Crosspoints {
		all = append(all, c.Output)
	}
	return all
}

// inUse says in words who uses what.
func inUse(all []plan.InUse) string {
	var texts []string
	for _, u := range all {
		var what []string
		for _, p := range u.Places {
			what = append(what, p.String())
		}
		if len(what) > 0 {
			what = []string{some(what)}
		}
		if u.Cords > 0 {
			what = append(what, phrase.Count(u.Cords, "1 cord", "{n} cords"))
		}
		if u.Dummies > 0 {
			what = append(what, phrase.Count(u.Dummies, "1 dummy", "{n} dummies"))
		}
		texts = append(texts, phrase.Count(len(u.Places)+u.Cords+u.Dummies, "{what} is in use by {session}", "{what} are in use by {session}",
			"what", strings.Join(what, " and "), "session", holder(u.Session, u.Rooms)))
	}
	return strings.Join(texts, "; ")
}
