package text

import (
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// wiringReader reads what is soldered, or fixed to a jack, between what has a name.
type wiringReader struct {
	*reader
	studio *studio.Studio
	index  *index
	cables *cableReader
}

func (r *wiringReader) read(v values) {
	r.readWiring(v.of["wiring"])
	r.readTies(v.of["ties"])
	r.readMults(v.of["mults"])
	r.readNormals(v.of["normals"])
	r.readFaulty(v.of["faulty"])
}

func (r *wiringReader) readWiring(n *node) {
	for _, item := range r.wholeItems(n) {
		if item.shape != mapping {
			r.wire(item, studio.Wire{Key: item.key})
			continue
		}
		if r.tornLine(item, wireFields) {
			continue
		}
		r.longWire(item)
	}
}

// tornLine reports a line that YAML reads as a key with a value, since a colon
// with a space stands in it.
func (r *reader) tornLine(n *node, t Table) bool {
	if len(n.entries) != 1 {
		return false
	}
	e := n.entries[0]
	if _, known := t.Field(e.key.text); known || !isLine(e.key.text) {
		return false
	}
	r.fault(n, "colon", `put quotes around the line, or take the colon out`, "a colon with a space after it ends a key, so that %s is read as the name of a line", quoteText(e.key.text))
	return true
}

// isLine says whether the text of a key is a line of names of its own, and no
// label such as Bass - DI.
func isLine(text string) bool {
	if strings.Contains(text, "->") {
		return true
	}
	p, err := name.ParsePair(text, name.Cord, name.Tied)
	return err == nil && p.Left.Points[0].Port() != "" && p.Right.Points[0].Port() != ""
}

func (r *wiringReader) longWire(n *node) {
	v := r.fields(n, wireFields)
	w := studio.Wire{Run: r.cables.run(v), Key: n.key}
	if !v.has("from") || !v.has("to") {
		return
	}
	from, ok := r.hop(v.of["from"])
	to, ok2 := r.hop(v.of["to"])
	if ok && ok2 {
		r.addWires(v.of["from"], v.of["to"], from, to, w)
	}
}

// wire reads a -> b, or a -> [b, c].
func (r *wiringReader) wire(n *node, w studio.Wire) {
	if !r.isText(n) {
		return
	}
	c, err := name.ParseChain(n.text)
	if err != nil {
		r.nameFault(n, err)
		return
	}
	targets, ok := r.oneArrow(n, c)
	if !ok {
		return
	}
	for _, to := range targets {
		r.addWires(n, n, c.Hops[0], to, w)
	}
}

// oneArrow are the hops on the right of a wire's one arrow.
func (r *wiringReader) oneArrow(n *node, c name.Chain) ([]name.Hop, bool) {
	targets := c.Hops[1:]
	for _, branch := range c.Split {
		targets = append(targets, branch.Hops[0])
		if len(branch.Hops) > 1 || len(branch.Split) > 0 {
			r.faultIn(n, branch.Hops[0].At, "wire", "write one line for each", "a wire goes from one place to another; several arrows stand here")
			return nil, false
		}
	}
	if len(c.Hops) > 2 || len(c.Hops) == 2 && len(c.Split) > 0 {
		r.faultIn(n, c.Hops[1].At, "wire", "write one line for each", "a wire goes from one place to another; several arrows stand here")
		return nil, false
	}
	return targets, true
}

func (r *wiringReader) addWires(fromNode, toNode *node, from, to name.Hop, w studio.Wire) {
	left, ok := r.refer(fromNode, r.index, from, "a wire comes from an output or a jack", gearOutput, matrixOutput, jack, socket)
	right, ok2 := r.refer(toNode, r.index, to, "a wire goes to an input or a jack", gearInput, matrixInput, jack, socket)
	if !ok || !ok2 {
		return
	}
	if r.index.bays[left[0].Owner] != nil && r.index.bays[right[0].Owner] != nil {
		r.faultIn(fromNode, from.At, "direction", phrase.Put("write it under ties: {jack} = {other}", "jack", from.Text, "other", to.Text), "%s and %s are both jacks; a wire between the rears of jacks is a tie", from.Text, to.Text)
		return
	}
	pairs, _ := r.match(toNode, from, to, left, right)
	if r.index.isBay(left[0].Owner) && r.index.isBay(right[0].Owner) {
		// A socket of a box that is wired to a jack carries either way.
		for _, p := range pairs {
			r.studio.Ties = append(r.studio.Ties, studio.Tie{A: p[0], B: p[1], Run: w.Run, Key: w.Key})
		}
		return
	}
	for _, p := range pairs {
		w.From, w.To = p[0], p[1]
		r.studio.Wires = append(r.studio.Wires, w)
	}
}
