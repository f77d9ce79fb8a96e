package route

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// cleaner keeps sources away from where they must not be heard: it takes out what
// brings them, or breaks a normal.
type cleaner struct {
	*graph.Graph
	*draft
}

// cleanAll keeps away what should not be heard; false if it keeps nothing away.
func (c *cleaner) cleanAll() bool {
	any := false
	for at := range c.trial.State.Nets() {
		if c.trial.FaultsOf[at] > 0 && c.clean(at) {
			any = true
		}
	}
	return any
}

// forceClean keeps something away that should not come to a net, by taking out
// what the builder put in.
func (c *cleaner) forceClean(at int) bool {
	for _, n := range c.trial.State.NodesOf(at) {
		for _, in := range c.Nodes[n].Inputs {
			for _, s := range c.trial.Hears(in) {
				if !c.mayHear(in, s) && c.takeBack(c.trial.State.WayFrom(n, s)) {
					return true
				}
			}
		}
	}
	return false
}

// takeBack takes out what the builder put in on a way: of that the last part that was in the
// way least often, so that it is not always the same one that is put in again.
func (c *cleaner) takeBack(way []graph.Step) bool {
	least := graph.Part{}
	for _, s := range way {
		if c.placed[s.Part] && (least.Kind == 0 || c.oustedSoFar(s.Part) < c.oustedSoFar(least)) {
			least = s.Part
		}
	}
	if least.Kind == 0 {
		return false
	}
	out := c.trial.WithGang(least)
	c.trial.Change(out, nil)
	c.changes++
	for _, q := range out {
		delete(c.placed, q)
		c.oust(q)
	}
	return true
}

// clean keeps something away that should not come to a net.
func (c *cleaner) clean(at int) bool {
	for _, n := range slices.Clone(c.trial.State.NodesOf(at)) {
		for _, in := range c.Nodes[n].Inputs {
			for _, s := range c.trial.Hears(in) {
				if !c.mayHear(in, s) && c.keepAway(s, n) {
					return true
				}
			}
		}
	}
	return c.trial.State.CountDrivers(at) > 1 && c.partOutputs(at)
}

// keepAway keeps a source away from a node: it takes out what is on the way, or
// breaks a normal there.
func (c *cleaner) keepAway(source, node int) bool {
	return c.breakWay(c.trial.State.WayFrom(node, source))
}

// partOutputs parts outputs that are joined.
func (c *cleaner) partOutputs(at int) bool {
	var first int
	count := 0
	for _, n := range slices.Clone(c.trial.State.NodesOf(at)) {
		drives := len(c.Nodes[n].Sources) > 0 || slices.ContainsFunc(c.Nodes[n].Outputs, c.trial.State.Drives)
		if !drives {
			continue
		}
		if count++; count == 1 {
			first = n
			continue
		}
		if c.breakWay(c.trial.State.Path(n, func(m int) bool { return m == first })) {
			return true
		}
	}
	return false
}

// breakWay breaks a way at one of its joints, the first that will do.
func (c *cleaner) breakWay(way []graph.Step) bool {
	for _, s := range way {
		if s.Part.Kind == graph.HeldNormal {
			if c.breakNormal(s.Part.A) {
				return true
			}
		} else if c.takeOut(s.Part) {
			return true
		}
	}
	return false
}

// takeOut takes out a part, unless the builder put it in.
func (c *cleaner) takeOut(p graph.Part) bool {
	if c.placed[p] {
		return false
	}
	out := c.trial.WithGang(p)
	return out != nil && c.attempt(out, nil)
}

// breakNormal puts a dummy in a jack that breaks a normal, or lets a cord hang
// there where no dummy is left and the objective allows it.
func (c *cleaner) breakNormal(m int) bool {
	n := c.Normals[m]
	for _, j := range []int{n.B, n.A} {
		if !n.Breaks(j) || !c.problem.Usable(j) || c.trial.Plugs[j].Kind != 0 {
			continue
		}
		p := graph.Part{Kind: graph.Dummy, A: j}
		if c.dummiesLeft() <= 0 {
			if c.problem.Options.Prefer != plan.PreferFewest || !problem.MayHang(c.problem, c.trial.State, j) || !c.problem.Stock.AnyHangs(j) {
				continue
			}
			p = graph.Part{Kind: graph.Cord, A: j, B: graph.None}
		}
		if c.attempt(nil, []graph.Part{p}) {
			c.placed[p] = true
			return true
		}
	}
	return false
}
