package text

import (
	"maps"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// crosspoints reads {grid: {out1: in5}}.
func (c *contentReader) crosspoints(n *node) {
	if n == nil {
		return
	}
	if n.shape != mapping {
		c.fault(n, "shape", "write {grid: {out1: in5}}", "%s stands here; crosspoints are a mapping of matrices", n.shape)
		return
	}
	for _, e := range n.entries {
		m := c.index.matrices[e.key.text]
		if m == nil {
			c.fault(e.key, "unknown-name", maybe(e.key.text, slices.Collect(maps.Keys(c.index.matrices))), "no matrix is called %s", quoteText(e.key.text))
			continue
		}
		c.matrix(m, e.value)
	}
}

func (c *contentReader) matrix(m *studio.Matrix, n *node) {
	if n.empty() {
		return
	}
	if n.shape != mapping {
		c.fault(n, "shape", "write {out1: in5}", "%s stands here; the crosspoints of a matrix are a mapping of outputs to inputs", quoteText(n.text))
		return
	}
	before, set := c.mistakes(), map[name.Point]*node{}
	for _, e := range n.entries {
		outputs, ok := c.own(e.key, m, "outputs stand before the colon", matrixOutput)
		for _, out := range outputs {
			if first := set[out]; first != nil {
				c.fault(e.key, "duplicate", "", "%s is set twice; it is in line %d already", out, first.place.Line)
				ok = false
			}
			set[out] = e.key
		}
		if ok {
			c.output(m, e, outputs)
		}
	}
	if c.mistakes() == before {
		c.completeGangs(m, set)
	}
}

// own are the ports of a matrix that a scalar names without the matrix.
func (c *contentReader) own(n *node, m *studio.Matrix, role string, wanted kind) ([]name.Point, bool) {
	if !c.isText(n) {
		return nil, false
	}
	points, err := name.Ports(m.Name, n.text)
	if err != nil {
		c.nameFault(n, err)
		return nil, false
	}
	c.spend(n, len(points))
	return c.refer(n, c.index, name.Hop{Text: n.text, Points: points}, role, wanted)
}

// output reads what one or more outputs listen to: an input, as many inputs as
// outputs, off, or, read back from contacts, several inputs on one output.
func (c *contentReader) output(m *studio.Matrix, e entry, outputs []name.Point) {
	if e.value.shape == scalar && e.value.text == "off" {
		return
	}
	inputs, ok := c.inputs(m, e.value)
	switch {
	case !ok || len(inputs) == 0:
	case len(inputs) == 1:
		for _, out := range outputs {
			c.close(e.value, m, out, inputs[0])
		}
	case len(inputs) == len(outputs) && e.value.shape == scalar:
		for i := range outputs {
			c.close(e.value, m, outputs[i], inputs[i])
		}
	case len(outputs) > 1:
		c.fault(e.value, "count", "", "%s are %d outputs and %d inputs stand here; each output takes one", e.key.text, len(outputs), len(inputs))
	case m.Kind != studio.Contacts:
		c.fault(e.value, "count", "", "%d inputs stand here; an output of the active matrix %s takes one", len(inputs), m.Name)
	default:
		for _, in := range inputs {
			c.close(e.value, m, outputs[0], in)
		}
	}
}

func (c *contentReader) inputs(m *studio.Matrix, n *node) ([]name.Point, bool) {
	if n.shape != list {
		return c.own(inFull(n), m, "inputs stand after the colon", matrixInput)
	}
	var inputs []name.Point
	ok := true
	whole := c.wholeItems(n)
	for _, item := range whole {
		more, good := c.own(item, m, "inputs stand after the colon", matrixInput)
		ok = ok && good
		for _, in := range more {
			if slices.Contains(inputs, in) {
				c.fault(item, "duplicate", "", "%s stands twice", in)
				ok = false
			}
		}
		inputs = append(inputs, more...)
	}
	return inputs, ok && len(whole) == len(n.items)
}

// inFull turns in5,in6, as plans print several inputs of one output, into in5,6.
func inFull(n *node) *node {
	if n.shape != scalar || !strings.Contains(n.text, ",in") {
		return n
	}
	short := *n
	short.text, short.inner = strings.ReplaceAll(n.text, ",in", ","), 0
	return &short
}

func (c *contentReader) close(n *node, m *studio.Matrix, out, in name.Point) {
	if c.index.missing[studio.Absent{Output: out, Input: in}] {
		c.fault(n, "missing-crosspoint", "", "the matrix %s has no crosspoint %s x %s", m.Name, in.Port(), out.Port())
		return
	}
	c.patch.Crosspoints = append(c.patch.Crosspoints, patch.Crosspoint{Output: out, Input: in})
}
