package text

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// stereo reads [[out1, out2]]: groups of outputs that are switched together.
func (r *matrixReader) stereo(n *node, m studio.Matrix) [][]name.Point {
	var groups [][]name.Point
	c := &contentReader{reader: r.reader, index: newIndex(&studio.Studio{Matrices: []studio.Matrix{m}})}
	taken := map[name.Point]*node{}
	for _, item := range n.all() {
		if item.shape != list {
			r.fault(item, "shape", "write [[out1, out2]]", "%s stands here; each group is a list of outputs", quoteText(item.text))
			continue
		}
		if group, ok := c.group(item, &m, taken); ok {
			groups = append(groups, group)
		}
	}
	return groups
}

func (c *contentReader) group(n *node, m *studio.Matrix, taken map[name.Point]*node) (group []name.Point, ok bool) {
	ok = true
	whole := c.wholeItems(n)
	for _, item := range whole {
		outputs, good := c.own(item, m, "outputs are switched together", matrixOutput)
		ok = ok && good
		for _, out := range outputs {
			if first := taken[out]; first != nil {
				c.fault(item, "duplicate", "", "%s is switched together with others in line %d already", out, first.place.Line)
				ok = false
			}
			taken[out] = item
			group = append(group, out)
		}
	}
	if ok && len(group) < 2 {
		c.fault(n, "count", "write [out1, out2]", "two outputs or more are switched together")
		return nil, false
	}
	return group, ok && len(whole) == len(n.items)
}

// completeGangs adds the crosspoints that follow from those that were named where
// outputs are switched together, and refuses a patch that parts them.
func (c *contentReader) completeGangs(m *studio.Matrix, set map[name.Point]*node) {
	for _, group := range m.Stereo {
		for k, out := range group {
			for _, in := range c.patch.Inputs(out) {
				if set[out] != nil && !c.follow(m, group, in.Number-k, set, set[out]) {
					return
				}
			}
		}
	}
}

// follow closes the crosspoints of a group whose first output listens to the
// input of a number; false after a problem.
func (c *contentReader) follow(m *studio.Matrix, group []name.Point, first int, set map[name.Point]*node, by *node) bool {
	for i, out := range group {
		in := m.In(first + i)
		switch {
		case slices.Contains(c.patch.Inputs(out), in):
			continue
		case in.Number < 1 || in.Number > m.Inputs:
			c.fault(by, "parted", "", "%s is switched together with %s, and there is no input for %s beside this one", by.text, listText(group), out)
			return false
		case c.index.missing[studio.Absent{Output: out, Input: in}]:
			c.fault(by, "missing-crosspoint", "", "%s is switched together with %s, and the matrix %s has no crosspoint %s x %s", by.text, listText(group), m.Name, in.Port(), out.Port())
			return false
		case set[out] != nil:
			c.fault(set[out], "parted", phrase.Put("write {output}: {input}, or leave it out", "output", out.Port(), "input", in.Port()), "%s is switched together with %s in line %d, so that its input is %s", out, by.text, by.place.Line, in)
			return false
		}
		c.patch.Crosspoints = append(c.patch.Crosspoints, patch.Crosspoint{Output: out, Input: in})
	}
	return true
}

func listText(points []name.Point) string { return strings.Join(name.Fold(points), ", ") }
