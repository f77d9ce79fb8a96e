package hand

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// Plug is a cord between two jacks, a lead between a port and a jack or a socket, in
// either order, or without b a dummy in a.
func (b Bay) Plug(a, other name.Point) ([]plan.Move, error) {
	if b.Port(other) && (!b.Port(a) || b.looseInput(a)) {
		a, other = other, a
	}
	if b.Port(a) && !TakesPlug(b.Studio, a) {
		return b.plugLead(a, other)
	}
	ends := []name.Point{a}
	do := plan.PlugDummy
	if !other.IsZero() {
		ends, do = append(ends, other), plan.Plug
	}
	for _, p := range ends {
		if err := b.cordFits(p); err != nil {
			return nil, err
		}
	}
	if a == other {
		return nil, refuse(ErrNever, "a cord cannot have both its ends in %s", a)
	}
	return []plan.Move{{Do: do, Ends: ends}}, b.free(ends...)
}

func (b Bay) plugLead(port, at name.Point) ([]plan.Move, error) {
	if at.IsZero() {
		return nil, refuse(ErrNever, "%s is a port of gear; say which jack its gear cable goes into", port)
	}
	if err := b.leadFits(port, at); err != nil {
		return nil, err
	}
	return []plan.Move{{Do: plan.PlugLead, Ends: []name.Point{port, at}}}, b.free(port, at)
}

// Hang is a cord of which one end is in a, and the other hangs loose.
func (b Bay) Hang(a name.Point) ([]plan.Move, error) {
	if err := b.cordFits(a); err != nil {
		return nil, err
	}
	return []plan.Move{{Do: plan.Plug, Ends: []name.Point{a}}}, b.free(a)
}

// Pull takes out what is in a, a jack, a socket or the port of a lead, with both its
// ends.
func (b Bay) Pull(a name.Point) ([]plan.Move, error) {
	for _, c := range b.Patch.Cords {
		if slices.Contains(c.Ends(), a) {
			return []plan.Move{{Do: plan.Pull, Ends: c.Ends(), Length: c.Length, Poles: c.Poles}}, nil
		}
	}
	for _, l := range b.Patch.Leads {
		if l.Jack == a || l.Port == a {
			return []plan.Move{{Do: plan.PullLead, Ends: []name.Point{l.Port, l.Jack}}}, nil
		}
	}
	if slices.Contains(b.Patch.Dummies, a) {
		return []plan.Move{{Do: plan.PullDummy, Ends: []name.Point{a}}}, nil
	}
	return nil, b.nothingIn(a)
}

func (b Bay) nothingIn(a name.Point) error {
	if !TakesPlug(b.Studio, a) && !b.Port(a) {
		return refuse(ErrNowhere, "%s is no jack of this studio", a)
	}
	return refuse(ErrTaken, "there is no plug in %s", a)
}

// Move takes the plug out of a and puts it into to. Without to it is left hanging
// where it is one end of a cord, and pulled where it is not.
func (b Bay) Move(a, to name.Point) ([]plan.Move, error) {
	if a == to {
		return nil, refuse(ErrNever, "%s is where it was", a)
	}
	if to.IsZero() {
		return b.loosen(a)
	}
	for _, c := range b.Patch.Cords {
		if slices.Contains(c.Ends(), a) {
			return b.moveEnd(c, a, to)
		}
	}
	for _, l := range b.Patch.Leads {
		if l.Jack == a {
			if err := b.leadFits(l.Port, to); err != nil {
				return nil, err
			}
			return b.pullAndPlug(plan.PullLead, plan.PlugLead, to, []name.Point{l.Port, a}, []name.Point{l.Port, to})
		}
	}
	if slices.Contains(b.Patch.Dummies, a) {
		if err := b.cordFits(to); err != nil {
			return nil, err
		}
		return b.pullAndPlug(plan.PullDummy, plan.PlugDummy, to, []name.Point{a}, []name.Point{to})
	}
	return nil, b.nothingIn(a)
}

func (b Bay) moveEnd(c patch.Cord, a, to name.Point) ([]plan.Move, error) {
	if err := b.cordFits(to); err != nil {
		return nil, err
	}
	ends := c.Ends()
	if slices.Contains(ends, to) {
		return nil, refuse(ErrTaken, "%s already has the other end of this cord", to)
	}
	moved := slices.Clone(ends)
	moved[slices.Index(moved, a)] = to
	return []plan.Move{{Do: plan.MoveEnd, Ends: ends, To: moved}}, b.free(to)
}

func (b Bay) pullAndPlug(pull, plug plan.Do, to name.Point, from, into []name.Point) ([]plan.Move, error) {
	return []plan.Move{{Do: pull, Ends: from}, {Do: plug, Ends: into}}, b.free(to)
}

// loosen leaves one end of a cord hanging. One that hung from a alone is out then,
// and so is a lead or a dummy.
func (b Bay) loosen(a name.Point) ([]plan.Move, error) {
	for _, c := range b.Patch.Cords {
		if ends := c.Ends(); len(ends) == 2 && slices.Contains(ends, a) {
			stays := slices.DeleteFunc(slices.Clone(ends), func(p name.Point) bool { return p == a })
			return []plan.Move{{Do: plan.MoveEnd, Ends: ends, To: stays}}, nil
		}
	}
	return b.Pull(a)
}

// Apply is a patch after moves by hand. Moves that no hand makes at the bay leave it
// as it is.
func Apply(p patch.Patch, moves ...plan.Move) patch.Patch {
	p = p.Clone()
	for _, m := range moves {
		apply(&p, m)
	}
	return p
}

func apply(p *patch.Patch, m plan.Move) {
	switch m.Do {
	case plan.Plug:
		p.Cords = append(p.Cords, cord(m.Ends, patch.Cord{Length: m.Length, Poles: m.Poles}))
	case plan.Pull:
		p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool { return c.Same(cord(m.Ends, c)) })
	case plan.MoveEnd:
		i := slices.IndexFunc(p.Cords, func(c patch.Cord) bool { return c.Same(cord(m.Ends, c)) })
		if i >= 0 {
			p.Cords[i] = cord(m.To, p.Cords[i])
		}
	case plan.PlugDummy:
		p.Dummies = append(p.Dummies, m.Ends[0])
	case plan.PullDummy:
		p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool { return j == m.Ends[0] })
	case plan.PlugLead:
		p.Leads = append(p.Leads, patch.Lead{Port: m.Ends[0], Jack: m.Ends[1]})
	case plan.PullLead:
		p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return l == patch.Lead{Port: m.Ends[0], Jack: m.Ends[1]} })
	case plan.Switch, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
	}
}

// cord is one with other ends.
func cord(ends []name.Point, like patch.Cord) patch.Cord {
	like.A, like.B = ends[0], name.Point{}
	if len(ends) > 1 {
		like.B = ends[1]
	}
	return like
}
