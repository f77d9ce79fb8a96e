package keep

import (
	"slices"

	"bayhand/model/hand"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// put makes k the patch after a person's step. Steps that move nothing leave it
// as it is.
func (k *Known) put(s plan.Step, fact Fact) error {
	p, err := hand.Do(k.Patch(), plan.Move{ID: s.ID, Do: s.Do, Ends: s.Ends, To: s.To, Length: s.Length, Poles: s.Poles})
	if err != nil {
		return refused(err)
	}
	*k = k.holding(p, fact)
	for output, inputs := range outputsOf(s) {
		k.set(output, inputs, fact)
	}
	return nil
}

// putCord puts a cord in that was in before.
func (k *Known) putCord(c patch.Cord, fact Fact) error {
	return k.put(plan.Step{Do: plan.Plug, Ends: c.Ends(), Length: c.Length, Poles: c.Poles}, fact)
}

// holding is what is known with the plugs of a patch in: what was in before is known
// as before, and what is new comes last.
func (k Known) holding(p patch.Patch, fact Fact) Known {
	then := Known{Crosspoints: k.Crosspoints}
	then.Cords, p.Cords = stays(k.Cords, p.Cords, func(c KnownCord) patch.Cord { return c.Cord })
	then.Leads, p.Leads = stays(k.Leads, p.Leads, func(l KnownLead) patch.Lead { return l.Lead })
	then.Dummies, p.Dummies = stays(k.Dummies, p.Dummies, func(d KnownDummy) name.Point { return d.Jack })
	fresh := assume(p, fact)
	then.Cords, then.Leads = append(then.Cords, fresh.Cords...), append(then.Leads, fresh.Leads...)
	then.Dummies = append(then.Dummies, fresh.Dummies...)
	return then
}

// stays are those of what is known that are in a list, and what of the list is new, in
// time linear in both.
func stays[K any, P comparable](known []K, list []P, of func(K) P) (stay []K, fresh []P) {
	left := make(map[P]int, len(list))
	for _, p := range list {
		left[p]++
	}
	for _, one := range known {
		if p := of(one); left[p] > 0 {
			left[p]--
			stay = append(stay, one)
		}
	}
	for _, p := range slices.Backward(list) {
		if left[p] > 0 {
			left[p]--
			fresh = append(fresh, p)
		}
	}
	slices.Reverse(fresh)
	return stay, fresh
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
