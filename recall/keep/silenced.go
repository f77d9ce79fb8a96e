package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// silence notes the ports made silent by the step, or brought back by it.
func (m *Memory) silence(s plan.Step, fact Fact) {
	switch s.Do {
	case plan.Mute, plan.PhantomOff:
		for _, p := range s.Ends {
			m.quiet(p, s.Do, fact)
		}
	case plan.Unmute, plan.PhantomOn:
		m.Silenced = slices.DeleteFunc(slices.Clone(m.Silenced), func(h Silenced) bool {
			return opposite(h.Do) == s.Do && slices.Contains(s.Ends, h.Port)
		})
	case plan.Switch, plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead, plan.ChangeOver:
	}
}

func (m *Memory) quiet(p name.Point, do plan.Do, fact Fact) {
	if !m.surelySilenced(p, do) {
		others := slices.DeleteFunc(slices.Clone(m.Silenced), func(h Silenced) bool { return h.Port == p && h.Do == do })
		m.Silenced = append(others, Silenced{Port: p, Do: do, Fact: fact})
	}
}

// surelySilenced says whether somebody has made a port silent since bayhand was off, or has
// said that it is so still.
func (m *Memory) surelySilenced(p name.Point, do plan.Do) bool {
	return slices.ContainsFunc(m.Silenced, func(h Silenced) bool { return h.Port == p && h.Do == do && !h.Unsure })
}

// unsure notes that nobody knows whether what was silenced is so still, or that somebody
// does.
func (m *Memory) unsure(is bool) {
	m.Silenced = slices.Clone(m.Silenced)
	for i := range m.Silenced {
		m.Silenced[i].Unsure = is
	}
}

// asSilenced fits a new plan to what is silent already: nobody is asked to mute
// twice, and what was muted on the way of an earlier plan is brought back at the
// end of this one.
func (m *Memory) asSilenced(got way) {
	var idle []string
	for _, s := range m.Intent.Left {
		if opposite(s.Do) == "" || len(s.Ends) == 0 {
			continue
		}
		if !slices.ContainsFunc(s.Ends, func(p name.Point) bool { return !m.surelySilenced(p, s.Do) }) {
			idle = append(idle, s.ID)
		}
	}
	m.Intent.drop(idle...)
	for _, do := range []plan.Do{plan.PhantomOff, plan.Mute} {
		m.bringBack(do, got)
	}
}

// bringBack appends the step that undoes the mutes of one kind that the plan
// does not undo itself, after everything else. A session that can't be given
// moves nothing, what is cut in the session stays down, loudspeakers do where nothing
// plays, and phantom power stays off where no microphone is.
func (m *Memory) bringBack(do plan.Do, got way) {
	in, q := &m.Intent, got.question
	if got.plan == nil || !q.goneBy(got.plan) {
		return
	}
	var ports []name.Point
	for _, h := range m.Silenced {
		if h.Do == do && q.has(h.Port) && !in.cut(h.Port) && !in.undoes(h) && !got.staysOff(h) {
			ports = append(ports, h.Port)
		}
	}
	if len(ports) == 0 {
		return
	}
	after := []string{}
	for _, s := range in.Left {
		if q.scope == nil || !leavesOut(q.scope, s) {
			after = append(after, s.ID)
		}
	}
	in.Left = append(slices.Clone(in.Left), plan.Step{
		ID: in.newID(), By: plan.Person, Do: opposite(do), Ends: ports, After: after,
		Because: whyBack(do),
	})
}

// whyBack is the reason of a step that undoes what an earlier recall did.
func whyBack(do plan.Do) string {
	if do == plan.PhantomOff {
		return "phantom off in an earlier recall; nobody reported it on"
	}
	return "muted in an earlier recall; nobody reported it unmuted"
}

func (in *Intent) cut(p name.Point) bool {
	theirs := func(h Held) bool { return slices.Contains(h.Wanted.Cut, p.Owner) }
	return in.Wanted != nil && slices.Contains(in.Wanted.Cut, p.Owner) || slices.ContainsFunc(in.Others, theirs)
}

func (in *Intent) undoes(h Silenced) bool {
	return slices.ContainsFunc(in.Left, func(s plan.Step) bool {
		return s.Do == opposite(h.Do) && slices.Contains(s.Ends, h.Port)
	})
}
