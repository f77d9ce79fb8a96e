package keep

import (
	"slices"

	"bayhand/model/hand"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// free is an error where the jack has a plug.
func (k Known) free(jacks ...name.Point) error {
	in := k.Patch()
	for _, jack := range jacks {
		if has := hand.Holds(in, jack); has != "" {
			return tell(ErrConflict, "%s holds %s as far as is known; say first that it was pulled or moved", jack, has)
		}
	}
	return nil
}

func (k *Known) addCord(c patch.Cord, fact Fact) error {
	if err := k.free(c.Ends()...); err != nil {
		return err
	}
	if c.A == c.B {
		return tell(ErrConflict, "%s already holds the other end of this cord", c.A)
	}
	k.Cords = append(slices.Clone(k.Cords), KnownCord{c, fact})
	return nil
}

func (k *Known) addLead(l patch.Lead, fact Fact) error {
	if err := k.free(l.Jack); err != nil {
		return err
	}
	k.Leads = append(slices.Clone(k.Leads), KnownLead{l, fact})
	return nil
}

func (k *Known) addDummy(jack name.Point, fact Fact) error {
	if err := k.free(jack); err != nil {
		return err
	}
	k.Dummies = append(slices.Clone(k.Dummies), KnownDummy{jack, fact})
	return nil
}

// takeCord takes the cord with just these ends out, and gives it back.
func (k *Known) takeCord(ends []name.Point) (patch.Cord, error) {
	want := cordOf(ends, 0)
	for i, c := range k.Cords {
		if c.Same(want) {
			k.Cords = slices.Delete(slices.Clone(k.Cords), i, i+1)
			return c.Cord, nil
		}
	}
	return patch.Cord{}, tell(ErrConflict, "no cord %s is in as far as is known", joined(ends))
}

func (k *Known) takeLead(l patch.Lead) error {
	for i, had := range k.Leads {
		if had.Lead == l {
			k.Leads = slices.Delete(slices.Clone(k.Leads), i, i+1)
			return nil
		}
	}
	return tell(ErrConflict, "no lead %s - %s is in as far as is known", l.Port, l.Jack)
}

func (k *Known) takeDummy(jack name.Point) error {
	for i, d := range k.Dummies {
		if d.Jack == jack {
			k.Dummies = slices.Delete(slices.Clone(k.Dummies), i, i+1)
			return nil
		}
	}
	return tell(ErrConflict, "no dummy is in %s as far as is known", jack)
}

// put makes k the patch after a person's step. Steps that move nothing leave it
// as it is.
func (k *Known) put(s plan.Step, fact Fact) error {
	next := k.clone()
	if err := next.move(s, fact); err != nil {
		return err
	}
	*k = next
	return nil
}

func (k *Known) move(s plan.Step, fact Fact) error {
	if err := sane(s); err != nil {
		return err
	}
	switch s.Do {
	case plan.Plug:
		return k.addCord(cordOf(s.Ends, s.Length), fact)
	case plan.Pull:
		_, err := k.takeCord(s.Ends)
		return err
	case plan.MoveEnd:
		return k.moveCord(s.Ends, s.To, fact)
	case plan.PlugDummy:
		return k.addDummy(s.Ends[0], fact)
	case plan.PullDummy:
		return k.takeDummy(s.Ends[0])
	case plan.PlugLead:
		return k.addLead(patch.Lead{Port: s.Ends[0], Jack: s.Ends[1]}, fact)
	case plan.PullLead:
		return k.takeLead(patch.Lead{Port: s.Ends[0], Jack: s.Ends[1]})
	case plan.Switch:
		for output, inputs := range outputsOf(s) {
			k.set(output, inputs, fact)
		}
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn:
	}
	return nil
}

func (k *Known) moveCord(from, to []name.Point, fact Fact) error {
	cord, err := k.takeCord(from)
	if err != nil {
		return err
	}
	moved := cordOf(to, cord.Length)
	moved.Poles = cord.Poles
	return k.addCord(moved, fact)
}

// sane refuses a step whose ends do not fit what it does.
func sane(s plan.Step) error {
	ends := map[plan.Do][2]int{
		plan.Plug: {1, 2}, plan.Pull: {1, 2}, plan.MoveEnd: {1, 2},
		plan.PlugDummy: {1, 1}, plan.PullDummy: {1, 1},
		plan.PlugLead: {2, 2}, plan.PullLead: {2, 2},
	}
	bounds, ok := ends[s.Do]
	if !ok {
		return nil
	}
	if len(s.Ends) < bounds[0] || len(s.Ends) > bounds[1] {
		return tell(ErrUsage, "step %s (%s) has %d ends", s.ID, s.Do, len(s.Ends))
	}
	if s.Do == plan.MoveEnd && (len(s.To) < 1 || len(s.To) > 2) {
		return tell(ErrUsage, "step %s (%s) goes to %d jacks", s.ID, s.Do, len(s.To))
	}
	return nil
}

// inverse is the step that takes s back, and true; false for one that cannot be
// taken back by changing what is known of the bay.
func inverse(s plan.Step) (plan.Step, bool) {
	back := map[plan.Do]plan.Do{
		plan.Plug: plan.Pull, plan.Pull: plan.Plug, plan.MoveEnd: plan.MoveEnd,
		plan.PlugDummy: plan.PullDummy, plan.PullDummy: plan.PlugDummy,
		plan.PlugLead: plan.PullLead, plan.PullLead: plan.PlugLead,
	}
	do, ok := back[s.Do]
	if !ok {
		return s, false
	}
	s.Do = do
	if do == plan.MoveEnd {
		s.Ends, s.To = s.To, s.Ends
	}
	return s, true
}

func cordOf(ends []name.Point, length measure.Length) patch.Cord {
	c := patch.Cord{A: ends[0], Length: length}
	if len(ends) > 1 {
		c.B = ends[1]
	}
	return c
}

func joined(ends []name.Point) string {
	text := ""
	for i, e := range ends {
		if i > 0 {
			text += " - "
		}
		text += e.String()
	}
	return text
}
