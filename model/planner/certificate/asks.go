package certificate

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/planner/stock"
)

// ask is what an input of gear asks for: the sources that it wants, or, where it asks
// for none and not for silence, those that it may hear.
type ask struct {
	wants    []int
	silent   bool
	may      []int
	anything bool
}

func (c *checker) readAsks(room *heard.Room) {
	for _, w := range c.session.Wants {
		s := c.SourceOf[w.Source]
		c.wanted[s] = true
		a := &c.asks[c.Number[w.Destination]]
		a.wants = append(a.wants, s)
	}
	if len(c.Ganged) > 0 {
		for s := range c.Sources {
			c.wanted[s] = true // switched together, an output may carry any
		}
	}
	for _, p := range c.session.Silent {
		if at, ok := c.Number[p]; ok {
			c.asks[at].silent = true
		}
	}
	rest := room.Hear(c.Studio.Rest)
	for at, kind := range c.Kinds {
		if kind != graph.GearInput {
			continue
		}
		c.asks[at].anything = slices.Contains(c.session.Cut, c.Points[at].Owner)
		for _, p := range rest.Hears(c.Points[at]) {
			c.asks[at].may = append(c.asks[at].may, c.SourceOf[p])
		}
	}
}

// mayBe says whether a source may be on a node: nothing else drives it there, and no
// input there is the worse for it. One that a socket could take over may hear nothing.
func (c *checker) mayBe(n, source int) bool {
	for _, s := range c.Nodes[n].Sources {
		if s != source {
			return false
		}
	}
	for _, in := range c.Nodes[n].Inputs {
		a := c.asks[in]
		switch {
		case slices.Contains(a.wants, source):
		case len(c.Overrides[in]) > 0 && len(a.wants) == 0:
		case len(a.wants) > 0 || a.silent:
			return false
		case !a.anything && !slices.Contains(a.may, source):
			return false
		}
	}
	return true
}

func (c *checker) usable(j int) bool { return !c.Jacks[j].Faulty }

// leastBreak is what a normal costs that has to be broken by a plug which carries
// nothing: a dummy, or one end of a cord that hangs. An error is a normal that need not
// be broken, or that what carries something else could break.
func (c *checker) leastBreak(ends [2]name.Point) (float64, error) {
	normal, ok := c.normalOf(ends)
	if !ok {
		return 0, fmt.Errorf("%s and %s have no normal", ends[0], ends[1])
	}
	if !c.mustBreak(normal) {
		return 0, fmt.Errorf("the normal of %s and %s may hold", ends[0], ends[1])
	}
	least := math.Inf(1)
	for _, j := range []int{normal.A, normal.B} {
		if !normal.Breaks(j) || !c.usable(j) {
			continue
		}
		if c.usedJack[j] || c.couldCarry(j) {
			return 0, fmt.Errorf("the plug in %s counts elsewhere, or could carry something", c.Points[c.Jacks[j].Point])
		}
		c.usedJack[j] = true
		least = min(least, c.ofJack[j]+c.leastPlug(j))
	}
	return least, nil
}

func (c *checker) normalOf(ends [2]name.Point) (graph.Normal, bool) {
	for _, n := range c.Normals {
		if c.Points[c.Jacks[n.A].Point] == ends[0] && c.Points[c.Jacks[n.B].Point] == ends[1] {
			return n, true
		}
	}
	return graph.Normal{}, false
}

// leastPlug is the cheapest plug that carries nothing and could be in a jack.
func (c *checker) leastPlug(j int) float64 {
	least := math.Inf(1)
	if stock.Dummies(c.Studio, c.present) != 0 {
		least = c.ofDummy
	}
	hangsNow := slices.Contains(c.present.Cords, [2]int{j, graph.None})
	if c.Jacks[j].Socket || c.Nodes[c.Jacks[j].Node].Mic && !hangsNow {
		return least
	}
	if c.stock.Unlimited {
		return 0
	}
	return min(least, c.leastCord([2]int{j, graph.None}))
}

// leastCord is the cheapest cord that could be between two jacks, or hang from one.
func (c *checker) leastCord(ends [2]int) float64 {
	if c.stock.Unlimited {
		if ends[1] != graph.None && !c.stock.Any(ends[0], ends[1]) {
			return math.Inf(1)
		}
		return 0
	}
	least := math.Inf(1)
	for k, count := range c.stock.Counts {
		if count > 0 && c.stock.Goes(k, ends) {
			least = min(least, c.ofKind[k])
		}
	}
	return least
}

// mustBreak says whether the sources at one end of a normal must not come to the other.
func (c *checker) mustBreak(n graph.Normal) bool {
	a, b := c.Jacks[n.A].Node, c.Jacks[n.B].Node
	if a == b {
		return false
	}
	for _, way := range [][2]int{{a, b}, {b, a}} {
		for _, s := range c.Nodes[way[0]].Sources {
			if !c.mayBe(way[1], s) {
				return true
			}
		}
	}
	return false
}

// couldCarry says whether a plug in a jack could carry what is asked for, or take over
// an input.
func (c *checker) couldCarry(j int) bool {
	n := c.Jacks[j].Node
	for s := range c.wanted {
		if c.mayBe(n, s) {
			return true
		}
	}
	for port, at := range c.Ports {
		if len(c.Overridden[at]) > 0 && c.stock.LeadGoes(port, j) {
			return true
		}
	}
	return false
}
