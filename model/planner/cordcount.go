package planner

import (
	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/stock"
)

// countCords finds of which kind each cord is that moves plug and pull, and how many of
// each kind lie ready.
func countCords(room *heard.Room, r plan.Request, moves []plan.Move) (order.Cords, error) {
	if r.Studio.Stock.Unlimited {
		return order.Cords{}, nil
	}
	g := room.Graph()
	present, err := g.Numbered(r.From)
	if err != nil {
		return order.Cords{}, err
	}
	var kept []patch.Patch
	if r.Session != nil && r.Session.Patch != nil {
		kept = append(kept, *r.Session.Patch)
	}
	all := stock.New(g, r.From, present, kept...)
	return order.Cords{Of: kinds(g, &all, moves), Ready: all.Ready()}, nil
}

// kinds are those of the cords of moves: of one that is pulled the kind that it was
// counted as, of one that is plugged what lies ready then.
func kinds(g *graph.Graph, all *stock.Stock, moves []plan.Move) []int {
	of, out := make([]int, len(moves)), make([]int, len(all.Kinds))
	var plugs []int
	var cords []patch.Cord
	for i, m := range moves {
		switch cord := cordOf(m); {
		case m.Do == plan.Pull:
			of[i] = all.KindIn(g.Ends(cord))
			out[of[i]]++
		case m.Do == plan.Plug:
			plugs, cords = append(plugs, i), append(cords, cord)
		}
	}
	for c, kind := range all.Fresh(g, cords, out) {
		of[plugs[c]] = kind
	}
	return of
}

// cordOf is the cord that a move plugs or pulls.
func cordOf(m plan.Move) patch.Cord {
	c := patch.Cord{Length: m.Length, Poles: m.Poles}
	if len(m.Ends) > 0 {
		c.A = m.Ends[0]
	}
	if len(m.Ends) > 1 {
		c.B = m.Ends[1]
	}
	return c
}
