package keep

import (
	"cmp"
	"errors"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// Where a session is not possible beside those that other rooms are in, it may be so
// without them: what it lacks is in use then. Which of it that is, a plan says that is
// made as if nothing were held.

// lacking is a plan for a part of an intent, with what others use of what it lacks. It asks
// the planner again where others use anything at all.
func (w answering) lacking(in Intent, of part, p *plan.Plan) (*plan.Plan, error) {
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

// tooFew is why there are too few cords for a patch that was chosen before: that of rest, or
// the one that an undo goes back to. It says who has them, where that is why.
func (w answering) tooFew(in Intent, why error) error {
	of := w.main(in)
	if len(of.rooms) == 0 {
		return why
	}
	u, err := w.uses(in, of)
	if err != nil || u.none() {
		return why
	}
	free, err := w.make(u.unheld)
	if err != nil || free == nil {
		return why
	}
	return cmp.Or(refuseOverdrawn(in, main, u.of(free)), why)
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

// none is true where nothing is in use elsewhere.
func (u uses) none() bool {
	return len(u.held.Held)+len(u.held.InUse.Plugs())+len(u.held.InUse.Crosspoints) == 0
}

// of are the uses that a plan made as if nothing were held would take: the places, and
// where there are too few of them without the others', cords and dummies.
func (u uses) of(free *plan.Plan) []plan.InUse {
	t := tally{scope: u.held}
	for _, p := range placesIn(patch.Patch(free.Target)) {
		if _, held := u.held.HolderOf(p); held && !u.held.Has(p) {
			t.place(p)
		}
	}
	cords, dummies := u.held.Contested(patch.Patch(free.Target))
	if len(cords) == 0 && len(t.all) == 0 && !u.held.Studio.Stock.Unlimited {
		cords = u.held.InUse.Cords // which of them, no kind alone says
	}
	return t.count(cords, dummies)
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
