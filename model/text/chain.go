package text

import (
	"bayhand/model/name"
	"bayhand/model/session"
)

// lane is a point on the way of one of the chains that a line holds.
type lane struct {
	point name.Point
	chain int
}

func lanesOf(points []name.Point, first int) []lane {
	lanes := make([]lane, len(points))
	for i, p := range points {
		lanes[i] = lane{p, first + i}
	}
	return lanes
}

// chain reads a -> b -> [c, d -> e].
func (l *line) chain(n *node) {
	if !l.isText(n) {
		return
	}
	c, err := name.ParseChain(n.text)
	if err != nil {
		l.nameFault(n, err)
		return
	}
	l.node = n
	if c, ok := l.file.standChain(n, c); ok {
		l.wants(n, c)
	}
}

// wants notes what a chain asks for.
func (l *line) wants(n *node, c name.Chain) {
	if sources, ok := l.leave(n, c.Hops[0]); ok {
		l.follow(lanesOf(sources, l.first), c, 0)
		return
	}
	// What follows is looked at all the same, for its own mistakes.
	l.follow(nil, c, 0)
}

// follow goes along a chain from lanes, the first hop of the chain being where
// they are. Without lanes it only looks for mistakes.
func (l *line) follow(lanes []lane, c name.Chain, depth int) {
	at := c.Hops[0]
	for i, next := range c.Hops[1:] {
		last := i == len(c.Hops)-2 && len(c.Split) == 0
		lanes = l.step(lanes, at, next, last, depth+i)
		at = next
	}
	for _, branch := range c.Split {
		first := branch.Hops[0]
		last := len(branch.Hops) == 1 && len(branch.Split) == 0
		l.follow(l.step(lanes, at, first, last, depth+len(c.Hops)-1), branch, depth+len(c.Hops))
	}
}

// step asks the inputs of a hop to hear the lanes, and gives the lanes that
// leave it.
func (l *line) step(lanes []lane, from, to name.Hop, last bool, depth int) []lane {
	inputs, ok := l.enter(l.node, to)
	if !ok {
		return nil
	}
	var outputs []name.Point
	if !last {
		if outputs, ok = l.leaveHop(l.node, to); !ok {
			return nil
		}
	}
	if lanes == nil {
		return nil
	}
	entered := l.ask(l.node, from, to, lanes, inputs, depth)
	return carry(entered, outputs)
}

// carry gives each output the chain of the input that it follows: as many
// outputs as inputs, or all of one piece of gear with one input.
func carry(entered []lane, outputs []name.Point) []lane {
	if len(entered) == 0 || len(outputs) == 0 {
		return nil
	}
	lanes := make([]lane, len(outputs))
	for i, p := range outputs {
		lanes[i] = lane{p, entered[min(i, len(entered)-1)].chain}
	}
	return lanes
}

// ask notes the wants of one step: as many sources as destinations, or one
// source for all. It gives the destinations with their chains.
func (l *line) ask(n *node, from, to name.Hop, lanes []lane, inputs []name.Point, depth int) []lane {
	sources := make([]name.Point, len(lanes))
	for i, s := range lanes {
		sources[i] = s.point
	}
	pairs, ok := l.match(n, from, to, sources, inputs)
	if !ok {
		return nil
	}
	entered := make([]lane, len(pairs))
	for i, p := range pairs {
		chain := lanes[min(i, len(lanes)-1)].chain
		entered[i] = lane{p[1], chain}
		l.file.chains = max(l.file.chains, chain+1)
		w := l.want
		w.Source, w.Destination, w.Chain, w.Hop = p[0], p[1], chain, depth
		l.add(n, to, w)
	}
	return entered
}

// add takes a want unless its destination is asked for already.
func (l *line) add(n *node, to name.Hop, w session.Want) {
	if first := l.file.wanted[w.Destination]; first != nil {
		l.twice(n, to, w, first)
		return
	}
	l.file.wanted[w.Destination] = n
	l.file.session.Wants = append(l.file.session.Wants, w)
}

func (l *line) twice(n *node, to name.Hop, w session.Want, first *node) {
	for _, had := range l.file.session.Wants {
		if had.Destination == w.Destination && had.Source == w.Source {
			l.faultIn(n, to.At, "asked-twice", "take one of them out", "%s -> %s is asked for twice; line %d has it already", w.Source, w.Destination, first.place.Line)
			return
		}
	}
	l.faultIn(n, to.At, "asked-twice", "take one of them out", "%s is asked to hear %s, and line %d asks it to hear something else", w.Destination, w.Source, first.place.Line)
}
