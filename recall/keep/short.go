package keep

import (
	"slices"

	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// No plan takes a cord that another room still has to plug. A hand can, by what nobody
// planned: then both rooms are told, as long as the cord is not there.

// shortProblems are the cords that what is left to do in some room lacks by now.
func (v view) shortProblems() []Problem {
	m, s := v.k.memory, v.k.studio
	if s == nil || len(s.Rooms) == 0 || s.Stock.Unlimited || !m.aside() {
		return nil
	}
	called, works, freed := m.works(v.k.planning())
	var all []Problem
	for _, short := range scope.TooFew(s, m.Known.Patch(), works, freed) {
		var who, took []string
		for _, n := range short.Of {
			who = append(who, called[n])
		}
		target, _ := m.Intent.target()
		for _, c := range short.Has {
			if !slices.ContainsFunc(target.Cords, c.Same) {
				took = append(took, joined(c.Ends()))
			}
		}
		if len(took) == 0 {
			continue
		}
		all = append(all, Problem{Code: "cords-short", Severity: "warning", Since: v.k.woke, Message: phrase.Count(short.Lacks,
			"1 cord of {length} is missing for what is left to plug of {sessions}: {cords} took it. Unplug one and report it, or recall the session again.",
			"{n} cords of {length} are missing for what is left to plug of {sessions}: {cords} took them. Unplug some and report it, or recall the session again.",
			"length", short.Length.String(), "sessions", some(who), "cords", some(took))})
	}
	return all
}

// aside says whether a cord is in that no plan leaves in.
func (m Memory) aside() bool {
	target, planned := m.Intent.target()
	if !planned {
		return false
	}
	has := make(map[[2]string]bool, len(target.Cords))
	for _, c := range target.Cords {
		a, b := c.A.String(), c.B.String()
		has[[2]string{min(a, b), max(a, b)}] = true
	}
	return slices.ContainsFunc(m.Known.Cords, func(c KnownCord) bool {
		a, b := c.A.String(), c.B.String()
		return !has[[2]string{min(a, b), max(a, b)}]
	})
}

// works is what is left for hands of each session, with what it is called, and the cords
// that come out where no session is, for whoever needs them.
func (m Memory) works(w planning) (called []string, works []scope.Work, freed []patch.Cord) {
	in := m.Intent
	held := in.held(w.studio)
	for _, h := range held {
		called = append(called, holder(h.Session, h.Rooms))
	}
	called = append(called, in.title()) // what is in no room of a session
	works = make([]scope.Work, len(called))
	for _, s := range in.Left {
		if len(s.Ends) == 0 {
			continue
		}
		at := slices.IndexFunc(held, func(h Held) bool { return slices.Contains(h.Rooms, scope.PartOf(w.studio, s.Ends[0].Owner)) })
		if at < 0 {
			at = len(held)
		}
		cord := cordOf(s.Ends, s.Length)
		cord.Poles = s.Poles
		switch s.Do {
		case plan.Plug:
			works[at].In = append(works[at].In, cord)
		case plan.Pull:
			if at == len(held) {
				freed = append(freed, m.inAs(cord))
				continue
			}
			works[at].Out = append(works[at].Out, m.inAs(cord))
		case plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead, plan.Mute, plan.Unmute,
			plan.PhantomOff, plan.PhantomOn, plan.ChangeOver, plan.Switch:
		}
	}
	return called, works, freed
}

// inAs is a cord as it is known to be in.
func (m Memory) inAs(c patch.Cord) patch.Cord {
	if i := slices.IndexFunc(m.Known.Cords, func(k KnownCord) bool { return k.Same(c) }); i >= 0 {
		return m.Known.Cords[i].Cord
	}
	return c
}
