package route

import "bayhand/model/graph"

// idle are parts that are worth nothing to the session where they are, by the places that they
// take.
type idle struct {
	crosses []bool
	at      []graph.Part // by jack
}

func newIdle(g *graph.Graph) idle {
	return idle{make([]bool, len(g.Crosses)), make([]graph.Part, len(g.Jacks))}
}

func (i *idle) add(p graph.Part) {
	if p.Kind == graph.Cross {
		i.crosses[p.A] = true
	}
	for _, j := range p.Jacks() {
		i.at[j] = p
	}
}

// hasIn says whether the part that a jack holds is one of them.
func (i *idle) hasIn(j int, p graph.Part) bool { return i.at[j] == p }
