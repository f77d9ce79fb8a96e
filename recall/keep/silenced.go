package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
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
// said that it is so still. Where a session was given since in which nothing plays there, nobody
// is told that it is down, and whoever turns it up has no reason to report that.
func (m *Memory) surelySilenced(p name.Point, do plan.Do) bool {
	return slices.ContainsFunc(m.Silenced, func(h Silenced) bool { return h.Port == p && h.Do == do && !h.Unsure && !h.Unheard })
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
	m.Intent.Left = slices.Clone(m.Intent.Left)
	for i, s := range m.Intent.Left {
		if opposite(s.Do) == "" || len(s.Ends) == 0 {
			continue
		}
		open := slices.DeleteFunc(slices.Clone(s.Ends), func(p name.Point) bool { return m.surelySilenced(p, s.Do) })
		switch {
		case len(open) == 0:
			idle = append(idle, s.ID)
		case s.Do == plan.PhantomOff: // each input has a switch of its own
			m.Intent.Left[i].Ends = open
		}
	}
	m.Intent.drop(idle...)
	for _, do := range []plan.Do{plan.PhantomOff, plan.Mute} {
		m.bringBack(do, got)
	}
}

// bringBack adds the step that undoes the mutes of one kind that the plan
// does not undo itself, after everything else; phantom power before loudspeakers come up. A session that can't be given
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
	back := plan.Step{ID: in.newID(), By: plan.Person, Do: opposite(do), Ends: ports, After: []string{}, Because: whyBack(do)}
	in.Left = slices.Clone(in.Left)
	first := len(in.Left)
	for i, s := range in.Left {
		switch {
		case q.scope != nil && leavesOut(q.scope, s):
		case do == plan.PhantomOff && bringsUp(q.ask.Studio, s):
			in.Left[i].After = append(slices.Clone(s.After), back.ID)
			first = min(first, i)
		default:
			back.After = append(back.After, s.ID)
		}
	}
	in.Left = slices.Insert(in.Left, first, back)
}

// bringsUp says whether loudspeakers or headphones may be up after a step: what thumps goes
// before it.
func bringsUp(s *studio.Studio, one plan.Step) bool {
	return one.Do == plan.Unmute || slices.ContainsFunc(one.Crosspoints, func(c plan.Change) bool {
		return !c.Input.IsZero() && slices.ContainsFunc(s.Gear, func(g studio.Gear) bool {
			return !g.Mute.Output.IsZero() && slices.Contains(s.Gang(g.Mute.Output), c.Output)
		})
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
