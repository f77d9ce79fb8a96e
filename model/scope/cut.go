package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// cut makes the studio of the scope. The patch is the one that is in.
func (c *Scope) cut(in patch.Patch) {
	s := *c.whole
	s.Gear = c.gear(in)
	s.Bays = slices.DeleteFunc(slices.Clone(s.Bays), func(b studio.Bay) bool { return c.out(b.Name) })
	s.Boxes = slices.DeleteFunc(slices.Clone(s.Boxes), func(b studio.Box) bool { return c.out(b.Name) })
	s.Matrices = c.matrices()
	c.cutMetal(&s)
	c.tagHeld(&s)
	owned := owned(c.whole, c.in.Cords)
	s.Stock.Cords, s.Stock.Counted = left(c.whole, owned, c.InUse.Cords), true
	c.Elsewhere.Cords = inUse(owned, s.Stock.Cords)
	if s.Dummies >= 0 {
		s.Dummies = max(s.Dummies, len(c.in.Dummies))
		c.Elsewhere.Dummies = min(s.Dummies, len(c.InUse.Dummies))
		s.Dummies -= c.Elsewhere.Dummies
	}
	s.Rest, _ = c.Split(s.Rest)
	c.Studio = &s
}

// gear is what of the gear is in the scope: of gear in no room, the ports that are
// wired to nothing outside it and that no lead of others is in.
func (c *Scope) gear(in patch.Patch) []studio.Gear {
	far := map[name.Point]bool{}
	for _, w := range c.whole.Wires {
		switch from, to := c.out(w.From.Owner), c.out(w.To.Owner); {
		case from && !to:
			far[w.To] = true
		case to && !from:
			far[w.From] = true
		}
	}
	for _, l := range in.Leads {
		if !c.Has(l.Jack) {
			far[l.Port] = true
		}
	}
	lacks := func(p name.Point) bool { return far[p] || !c.Has(p) }
	var all []studio.Gear
	for _, g := range c.whole.Gear {
		if c.out(g.Name) {
			continue
		}
		if slices.ContainsFunc(g.Ports, func(p studio.Port) bool { return lacks(p.Point) }) {
			g = without(g, lacks)
		}
		if len(g.Ports) > 0 {
			all = append(all, g)
		}
	}
	return all
}

// without is gear without some of its ports, nor what goes through them.
func without(g studio.Gear, lacks func(name.Point) bool) studio.Gear {
	pass := func(p studio.Pass) bool { return lacks(p.In) || lacks(p.Out) }
	g.Ports = slices.DeleteFunc(slices.Clone(g.Ports), func(p studio.Port) bool { return lacks(p.Point) })
	g.Passes = slices.DeleteFunc(slices.Clone(g.Passes), pass)
	g.CanPass = slices.DeleteFunc(slices.Clone(g.CanPass), pass)
	g.Overrides = slices.DeleteFunc(slices.Clone(g.Overrides), func(o studio.Override) bool { return lacks(o.Front) || lacks(o.Rear) })
	return g
}

// matrices are those of the scope, without the crosspoints that others hold.
func (c *Scope) matrices() []studio.Matrix {
	var all []studio.Matrix
	for _, m := range c.whole.Matrices {
		if c.out(m.Name) {
			continue
		}
		m.Missing = slices.Clone(m.Missing)
		for o := 1; o <= m.Outputs; o++ {
			for i := 1; i <= m.Inputs; i++ {
				if !c.Has(m.Out(o)) || m.Kind == studio.Contacts && !c.Has(m.In(i)) {
					m.Missing = append(m.Missing, studio.Absent{Output: m.Out(o), Input: m.In(i)})
				}
			}
		}
		all = append(all, m)
	}
	return all
}

// cutMetal leaves out what leads to places outside.
func (c *Scope) cutMetal(s *studio.Studio) {
	ports := s.PortsByPoint()
	has := func(p name.Point) bool { _, ok := ports[p]; return ok }
	isGear := map[string]bool{}
	for _, g := range c.whole.Gear {
		isGear[g.Name] = true
	}
	out := func(p name.Point) bool { return c.out(p.Owner) || isGear[p.Owner] && !has(p) }
	s.Wires = slices.DeleteFunc(slices.Clone(s.Wires), func(w studio.Wire) bool { return out(w.From) || out(w.To) })
	s.Ties = slices.DeleteFunc(slices.Clone(s.Ties), func(t studio.Tie) bool { return out(t.A) || out(t.B) })
	s.Normals = slices.DeleteFunc(slices.Clone(s.Normals), func(n studio.Normal) bool { return !c.Has(n.From) || !c.Has(n.To) })
	s.Mults = nil
	for _, m := range c.whole.Mults {
		m.Jacks = slices.DeleteFunc(slices.Clone(m.Jacks), out)
		if len(m.Jacks) > 1 {
			s.Mults = append(s.Mults, m)
		}
	}
	s.Faulty = slices.DeleteFunc(slices.Clone(s.Faulty), out)
	s.FaultyNormals = slices.DeleteFunc(slices.Clone(s.FaultyNormals), out)
}

// tagHeld has the planner plan around the jacks that others hold, and around the
// normals from and to them.
func (c *Scope) tagHeld(s *studio.Studio) {
	faulty, normals := setOf(s.Faulty), setOf(s.FaultyNormals)
	hold := func(p name.Point) (held bool) {
		if held = !c.Has(p); held && !faulty[p] {
			c.Held = append(c.Held, p)
		}
		return held
	}
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			top, bottom := hold(b.TopJack(n)), hold(b.BottomJack(n))
			if (top || bottom) && !normals[b.TopJack(n)] {
				s.FaultyNormals = append(s.FaultyNormals, b.TopJack(n))
			}
		}
	}
	for _, b := range s.Boxes {
		for n := 1; n <= b.Sockets; n++ {
			hold(b.Socket(n))
		}
	}
	s.Faulty = append(s.Faulty, c.Held...)
}

func setOf(points []name.Point) map[name.Point]bool {
	set := make(map[name.Point]bool, len(points))
	for _, p := range points {
		set[p] = true
	}
	return set
}

// inUse are the cords of a stock that are not among those left of it.
func inUse(all, left []studio.StockCord) []studio.StockCord {
	var used []studio.StockCord
	for i, k := range all {
		if k.Count -= left[i].Count; k.Count > 0 {
			used = append(used, k)
		}
	}
	return used
}

// Session is a session as far as the scope goes: with the patch that gave it last cut
// to it.
func (c *Scope) Session(wanted *session.Session) *session.Session {
	if wanted == nil {
		return nil
	}
	cut := *wanted
	if wanted.Patch != nil {
		p, _ := c.Split(*wanted.Patch)
		cut.Patch = &p
	}
	return &cut
}

// Passes are those of which both ends are in the scope.
func (c *Scope) Passes(all []studio.Pass) []studio.Pass {
	ports := c.Studio.PortsByPoint()
	return slices.DeleteFunc(slices.Clone(all), func(p studio.Pass) bool {
		_, in := ports[p.In]
		_, out := ports[p.Out]
		return !in || !out
	})
}
