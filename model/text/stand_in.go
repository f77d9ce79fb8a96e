package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// substitutes reads {opto: vari}: units that are away, and their stand-ins.
func (s *sessionReader) substitutes(n *node) map[string]string {
	away := map[string]string{}
	for _, e := range n.eachEntry() {
		if s.isText(e.value) {
			away[e.key.text] = e.value.text
		}
	}
	return away
}

// checkSubstitutes looks for gear that is not there, and for circles.
func (s *sessionReader) checkSubstitutes(n *node) {
	for _, e := range n.eachEntry() {
		if e.value.shape != scalar || e.value.empty() || s.gearNamed(e.key) == nil || s.gearNamed(e.value) == nil {
			delete(s.head.away, e.key.text)
			continue
		}
		if s.standIn(e.key.text) == "" {
			s.fault(e.value, "substitute", "take one of them out", "%s stands in for %s, and is away itself with nothing else in its place", e.value.text, e.key.text)
			delete(s.head.away, e.key.text)
		}
	}
}

// standIn is the gear that stands in for another, which may be away itself; the
// gear itself where it is not away, and nothing where they go round in a circle.
func (s *sessionReader) standIn(gear string) string {
	for range len(s.head.away) + 1 {
		to, away := s.head.away[gear]
		if !away {
			return gear
		}
		gear = to
	}
	return ""
}

// stand puts stand-ins in the place of gear that is away.
func (s *sessionReader) stand(n *node, h name.Hop) (name.Hop, bool) {
	if len(s.head.away) == 0 {
		return h, true
	}
	points := slices.Clone(h.Points)
	for i, p := range points {
		q := p
		if q.Owner = s.standIn(p.Owner); q.Owner == p.Owner {
			continue
		}
		if !s.index.alike(p, q) {
			hint := phrase.Put("it has {ports}", "ports", ranges(s.index.gear[q.Owner].Ports))
			s.faultIn(n, h.At, "substitute", hint, "%s stands in for %s, and has nothing like %s", q.Owner, p.Owner, p)
			return h, false
		}
		points[i] = q
	}
	h.Points = points
	return h, true
}

// alike says whether a point of a stand-in is what the point of the gear is that
// is away: a port of the same direction, a channel, or gear with one input.
func (x *index) alike(away, standIn name.Point) bool {
	for _, d := range []studio.Direction{studio.Input, studio.Output} {
		was, ok := x.hop(away, d)
		is, ok2 := x.hop(standIn, d)
		if ok && (!ok2 || len(was) != len(is)) {
			return false
		}
	}
	was, ok := x.ports[away]
	is, ok2 := x.ports[standIn]
	return !ok || ok2 && was.Direction == is.Direction
}

func (s *sessionReader) standChain(n *node, c name.Chain) (name.Chain, bool) {
	to := name.Chain{}
	for _, h := range c.Hops {
		h, ok := s.stand(n, h)
		if !ok {
			return c, false
		}
		to.Hops = append(to.Hops, h)
	}
	for _, branch := range c.Split {
		b, ok := s.standChain(n, branch)
		if !ok {
			return c, false
		}
		to.Split = append(to.Split, b)
	}
	return to, true
}

// selections reads {bus: alt1-2}, or a list of choices for gear with several
// switches.
func (s *sessionReader) selections(n *node) {
	if n == nil {
		return
	}
	if n.shape != mapping {
		s.fault(n, "shape", "write {bus: alt1-2}", "%s stands here; select is a mapping of gear to its choices", n.shape)
		return
	}
	for _, e := range n.entries {
		g := s.gearNamed(e.key)
		switch {
		case g == nil:
		case len(g.Selects) == 0:
			s.fault(e.key, "select", "give it select: [[mix1-2, alt1-2]] where it is described", "%s has no switch", g.Name)
		default:
			s.choices(g, e.value)
		}
	}
}

func (s *sessionReader) choices(g *studio.Gear, n *node) {
	set := map[int]*node{}
	for _, item := range s.oneOrMore(n) {
		ports, err := name.Ports(g.Name, item.text)
		if err != nil {
			s.nameFault(item, err)
			continue
		}
		at, choice := choiceOf(g, ports)
		switch {
		case choice == nil:
			s.fault(item, "select", maybe(item.text, choiceTexts(g)), "%s has no choice %s; it has %s", g.Name, quoteText(item.text), oneOf(choiceTexts(g)))
		case set[at] != nil:
			s.fault(item, "duplicate", "take one of them out", "%s is a choice of the same switch as %s in line %d", item.text, set[at].text, set[at].place.Line)
		default:
			set[at] = item
			s.session.Selections = append(s.session.Selections, session.Selection{Gear: g.Name, Ports: choice})
		}
	}
}

// choiceOf finds the choice with the ports, in any order, or with the first of
// them where that says it.
func choiceOf(g *studio.Gear, ports []name.Point) (at int, choice []name.Point) {
	for i, s := range g.Selects {
		for _, c := range s.Choices {
			all := !slices.ContainsFunc(ports, func(p name.Point) bool { return !slices.Contains(c, p) })
			if all && (len(ports) == len(c) || slices.Equal(ports, firstRange(c))) {
				return i, c
			}
		}
	}
	return 0, nil
}

// firstRange are the ports of a choice that stand in its first range.
func firstRange(choice []name.Point) []name.Point {
	first, err := name.List(name.Fold(choice)[0])
	if err != nil {
		return nil
	}
	return first
}

func choiceTexts(g *studio.Gear) []string {
	var texts []string
	for _, s := range g.Selects {
		for _, c := range s.Choices {
			texts = append(texts, portsText(firstRange(c)))
		}
	}
	return texts
}

// portsText is a range of ports without their owner.
func portsText(ports []name.Point) string {
	if len(ports) == 0 {
		return ""
	}
	return name.Fold(ports)[0][len(ports[0].Owner)+1:]
}

// mergeSelections: a choice replaces the base's of the same switch.
func (s *sessionReader) mergeSelections(base, own []session.Selection) []session.Selection {
	type id struct {
		gear string
		at   int
	}
	of := func(c session.Selection) id {
		at := -1
		if g := s.index.gear[c.Gear]; g != nil {
			at, _ = choiceOf(g, c.Ports)
		}
		return id{c.Gear, at}
	}
	replaced := map[id]bool{}
	for _, c := range own {
		replaced[of(c)] = true
	}
	return append(slices.DeleteFunc(slices.Clone(base), func(c session.Selection) bool { return replaced[of(c)] }), own...)
}
