package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

// reach knows which cords of the stock go between which jacks.
type reach struct {
	*graph.Graph
	unlimited bool
	slack     measure.Length
	// kinds are those owned, shortest first.
	kinds []studio.StockCord
	// longest is the longest of them that has plugs for two kinds of jack; nowhere
	// for none.
	longest [studio.LongFrame + 1][studio.LongFrame + 1]measure.Length
}

func newReach(b *graph.Graph) reach {
	r := reach{Graph: b, unlimited: b.Studio.Stock.Unlimited, slack: b.Studio.Stock.Slack}
	for _, c := range b.Studio.Stock.Cords {
		if c.Count > 0 {
			r.kinds = append(r.kinds, c)
		}
	}
	slices.SortStableFunc(r.kinds, func(a, b studio.StockCord) int { return int(a.Length - b.Length) })
	return r
}

// measure finds the longest cords, once all kinds are known.
func (r *reach) measure() {
	for a := range r.longest {
		for b := range r.longest[a] {
			r.longest[a][b] = graph.None
			for _, k := range r.kinds {
				if layout.Fits(k.Ends, studio.Jack(a), studio.Jack(b)) {
					r.longest[a][b] = max(r.longest[a][b], k.Length)
				}
			}
		}
	}
}

// need is the least length of a cord between two jacks.
func (r *reach) need(i, j int) measure.Length {
	return r.Jacks[i].Spot.Distance(r.Jacks[j].Spot) + r.slack
}

// fits says whether a kind of cord goes between two jacks.
func (r *reach) fits(kind studio.StockCord, i, j int) bool {
	return kind.Length >= r.need(i, j) && layout.Fits(kind.Ends, r.Jacks[i].Kind, r.Jacks[j].Kind)
}

// hangs says whether a kind of cord has a plug for a jack.
func (r *reach) hangs(kind studio.StockCord, j int) bool {
	return layout.Fits(kind.Ends, r.Jacks[j].Kind, studio.JackUnknown)
}

// any says whether a cord is owned that goes between two jacks.
func (r *reach) any(i, j int) bool {
	if r.Jacks[i].Socket || r.Jacks[j].Socket {
		return false
	}
	return r.unlimited || r.need(i, j) <= r.longest[r.Jacks[i].Kind][r.Jacks[j].Kind]
}

// anyHangs says whether a cord is owned that could hang from a jack.
func (r *reach) anyHangs(j int) bool {
	if r.Jacks[j].Socket {
		return false
	}
	if r.unlimited {
		return true
	}
	return slices.ContainsFunc(r.kinds, func(k studio.StockCord) bool { return r.hangs(k, j) })
}
