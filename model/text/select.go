package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// selects reads [[mix1-2, alt1-2]]: a list of switches, each with its choices.
// A choice is a range of ports, or a list of them.
func (g *gearReader) selects(n *node) {
	if n == nil {
		return
	}
	if n.shape != list {
		g.fault(n, "shape", "write [[mix1-2, alt1-2]]", "%s stands here; select is a list of switches, each a list of choices", n.shape)
		return
	}
	taken := map[name.Point]*node{}
	for _, item := range n.items {
		if item.shape != list {
			g.fault(item, "shape", "write [[mix1-2, alt1-2]]", "%s stands here; each switch is a list of choices", quoteText(item.text))
			continue
		}
		if s, ok := g.oneSwitch(item, taken); ok {
			g.gear.Selects = append(g.gear.Selects, s)
		}
	}
}

func (g *gearReader) oneSwitch(n *node, taken map[name.Point]*node) (s studio.Select, ok bool) {
	ok = true
	choices := g.wholeItems(n)
	for _, item := range choices {
		ports, good := g.ownPorts(item)
		ok = ok && good
		for _, p := range ports {
			if first := taken[p]; first != nil {
				g.fault(item, "duplicate", "", "%s stands in two choices; it is in line %d already", p.Port(), first.place.Line)
				ok = false
			}
			taken[p] = item
		}
		s.Choices = append(s.Choices, ports)
	}
	if len(n.items) < 2 {
		g.fault(n, "count", "write [mix1-2, alt1-2]", "a switch has two choices or more")
		return s, false
	}
	return s, ok && len(choices) == len(n.items)
}

// ownPorts are ports of the gear that stand without its name: one text, or a
// list of them.
func (g *gearReader) ownPorts(n *node) (ports []name.Point, ok bool) {
	items := g.oneOrMore(n)
	ok = len(items) > 0 && (n.shape != list || len(items) == len(n.items))
	for _, item := range items {
		for _, p := range g.portsNamed(item) {
			if !g.hasPort(p) {
				g.fault(item, "unknown-name", phrase.Put("it has {ports}", "ports", ranges(g.gear.Ports)), "%s has no %s", g.gear.Name, p.Port())
				return ports, false
			}
			ports = append(ports, p)
		}
	}
	return ports, ok && len(ports) > 0
}

func (g *gearReader) hasPort(p name.Point) bool { return g.portAt(p) >= 0 }

func (g *gearReader) portAt(p name.Point) int {
	return slices.IndexFunc(g.gear.Ports, func(q studio.Port) bool { return q.Point == p })
}

// steals reads {front1: in1}: sockets before the colon, inputs after it.
func (g *gearReader) steals(n *node) {
	for _, e := range n.eachEntry() {
		if !g.isText(e.value) {
			continue
		}
		fronts, rears := g.portsNamed(e.key), g.portsNamed(e.value)
		switch {
		case len(fronts) == 0 || len(rears) == 0:
		case len(fronts) != len(rears):
			g.fault(e.value, "count", "", "before the colon stands %d and after it %d; each socket takes over one input", len(fronts), len(rears))
		default:
			for i := range fronts {
				if !g.steal(e, fronts[i], rears[i]) {
					break
				}
			}
		}
	}
}

// steal notes one socket. A socket that is no port yet is an input of the kind of
// the one that it takes over, and passes where that one passes.
func (g *gearReader) steal(e entry, front, rear name.Point) bool {
	at := g.portAt(rear)
	switch {
	case at < 0:
		g.fault(e.value, "unknown-name", phrase.Put("it has {ports}", "ports", ranges(g.gear.Ports)), "%s has no %s", g.gear.Name, rear.Port())
		return false
	case g.gear.Ports[at].Direction != studio.Input:
		g.fault(e.value, "direction", "", "%s is an output; a socket takes over an input", rear)
		return false
	case front == rear:
		g.fault(e.value, "duplicate", "", "%s takes over itself", front.Port())
		return false
	}
	switch own := g.portAt(front); {
	case own < 0:
		g.named[front.Port()] = e.key
		g.gear.Ports = append(g.gear.Ports, studio.Port{Point: front, Direction: studio.Input, Line: g.gear.Ports[at].Line})
		g.gear.Passes = alike(g.gear.Passes, rear, front)
		g.gear.CanPass = alike(g.gear.CanPass, rear, front)
	case g.gear.Ports[own].Direction != studio.Input:
		g.fault(e.key, "direction", "", "%s is an output; a socket that takes over an input is an input", front)
		return false
	}
	g.gear.Overrides = append(g.gear.Overrides, studio.Override{Front: front, Rear: rear})
	return true
}

// alike gives one input the passes of another.
func alike(passes []studio.Pass, from, to name.Point) []studio.Pass {
	for _, p := range passes {
		if p.In == from {
			passes = append(passes, studio.Pass{In: to, Out: p.Out})
		}
	}
	return passes
}
