package level

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// net is joined metal: places, the cables between them, and what drives and
// listens where.
type net struct {
	places  int
	outputs []terminal
	inputs  []terminal
	cables  []cable
	// plugs are two-pole plugs: each joins the cold leg of its place with ground.
	plugs []plug
	// lacks are the cables and lines of which something is not known.
	lacks []string
}

// terminal is a port at a place, or an input or output of a matrix.
type terminal struct {
	point name.Point
	line  studio.Line
	place int
	// known is false for a port of a matrix whose kind of line nobody said: it
	// costs nothing.
	known bool
}

// cable is a run between two places; its source's end is at a.
type cable struct {
	a, b   int
	kind   studio.Cable
	length measure.Length
	cold   studio.Cold
	// ends are the points at its ends, and estimated says whether its length was
	// worked out.
	ends      [2]name.Point
	estimated bool
}

func (c cable) ohm() float64 { return float64(c.kind.Resistance) * metres(c.length) }

func (c cable) carries() bool {
	switch c.cold {
	case studio.ColdOpen:
		return false
	case studio.ColdUnsaid, studio.ColdCarried, studio.ColdGrounded:
	}
	return true
}

func metres(l measure.Length) float64 { return float64(l) / float64(measure.Metre) }

// plug is a two-pole plug in a jack, or on a wire's end.
type plug struct {
	place int
	at    name.Point
	// cord is true for one that a person can pull.
	cord bool
}

// output finds a point among the outputs; -1 for none.
func (n *net) output(p name.Point) int { return find(n.outputs, p) }

// input finds a point among the inputs; -1 for none.
func (n *net) input(p name.Point) int { return find(n.inputs, p) }

func find(all []terminal, p name.Point) int {
	for i, t := range all {
		if t.point == p {
			return i
		}
	}
	return -1
}
