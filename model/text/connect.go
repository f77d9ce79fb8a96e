package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
)

// line is one line of connect or keep.
type line struct {
	*sessionReader
	node *node
	// want holds what all wants of the line share.
	want session.Want
	// first is the number of the line's first chain.
	first int
}

// connect reads lines of what must be heard where.
func (s *sessionReader) connect(n *node, keep bool) {
	for _, item := range s.wholeItems(n) {
		l := &line{sessionReader: s, node: item, first: s.chains, want: session.Want{Keep: keep, Key: item.key}}
		switch {
		case item.shape == mapping && !s.tornLine(item, wantFields):
			l.labelled(item)
		case item.shape == mapping:
		default:
			l.chain(item)
		}
	}
}

// labelled reads vocal: a -> b, or the long form, with or without a label.
func (l *line) labelled(n *node) {
	if len(n.entries) != 1 || isWantKey(n.entries[0].key.text) {
		l.long(n)
		return
	}
	e := n.entries[0]
	l.want.Label = e.key.text
	if e.value.shape == mapping {
		l.long(e.value)
		return
	}
	l.chain(e.value)
}

func isWantKey(text string) bool {
	_, ok := wantFields.Field(text)
	return ok
}

// long reads {from: a, to: b, via: grid}.
func (l *line) long(n *node) {
	v := l.fields(n, wantFields)
	l.want.Via, l.want.Avoid = l.ways(v.of["via"]), l.ways(v.of["avoid"])
	for _, w := range l.want.Via {
		if slices.Contains(l.want.Avoid, w) {
			l.fault(v.of["avoid"], "way", "", "%s stands in via and in avoid", w)
		}
	}
	from, to := v.of["from"], v.of["to"]
	if from == nil || to == nil {
		return
	}
	left, ok := l.hop(from)
	right, ok2 := l.hop(to)
	if !ok || !ok2 {
		return
	}
	sources, ok := l.leave(from, left)
	targets, ok2 := l.enter(to, right)
	if ok && ok2 {
		l.ask(to, left, right, lanesOf(sources, l.first), targets, 0)
	}
}

// ways are the matrices or bays that via and avoid name, one or a list.
func (l *line) ways(n *node) []string {
	if n == nil {
		return nil
	}
	items := []*node{n}
	if n.shape == list {
		items = n.items
	}
	var names []string
	for _, item := range items {
		if !l.isText(item) {
			continue
		}
		x := l.index
		if x.bays[item.text] == nil && x.matrices[item.text] == nil {
			l.fault(item, "unknown-name", maybe(item.text, x.wayNames()), "no bay or matrix is called %s", quoteText(item.text))
			continue
		}
		names = append(names, item.text)
	}
	return names
}

func (x *index) wayNames() []string {
	var names []string
	for _, owner := range x.owners() {
		if x.gear[owner] == nil {
			names = append(names, owner)
		}
	}
	return names
}

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
		l.chains = max(l.chains, chain+1)
		w := l.want
		w.Source, w.Destination, w.Chain, w.Hop = p[0], p[1], chain, depth
		l.add(n, to, w)
	}
	return entered
}

// add takes a want unless its destination is asked for already.
func (l *line) add(n *node, to name.Hop, w session.Want) {
	if first := l.wanted[w.Destination]; first != nil {
		l.twice(n, to, w, first)
		return
	}
	l.wanted[w.Destination] = n
	l.session.Wants = append(l.session.Wants, w)
}

func (l *line) twice(n *node, to name.Hop, w session.Want, first *node) {
	for _, had := range l.session.Wants {
		if had.Destination == w.Destination && had.Source == w.Source {
			l.faultIn(n, to.At, "duplicate", "take one of them out", "%s -> %s is asked for twice; line %d has it already", w.Source, w.Destination, first.place.Line)
			return
		}
	}
	l.faultIn(n, to.At, "duplicate", "take one of them out", "%s is asked to hear %s, and line %d asks it to hear something else", w.Destination, w.Source, first.place.Line)
}
