package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// growing looks in a window for a set of wishes that can be had together and that none can
// be added to, wish by wish, the heaviest first (Marques-Silva and others 2013, "On
// computing minimal correction subsets").
type growing struct {
	repairer *repairer
	enc      *encoding
	lits     []clause.Lit // of the wishes
	had      []clause.Lit // those that are held to
}

// workOfWish is how much work is spent on adding one wish, refusalsOfWish how many
// answers are refused for it. Most wishes take less than 2e6; of a split by a mult, with
// all other wants of its source, one may take several times as much.
const (
	workOfWish     = 4e6
	refusalsOfWish = 10
)

func newGrowing(r *repairer, w *window) *growing {
	e := newEncoding(r.problem, scope{soft: true, window: w}, r.draft)
	e.Stop = func() bool { return r.ctx.Err() != nil }
	return &growing{r, e, slices.Concat(e.wantLits, e.silentLits), nil}
}

// grow begins with one wish and adds others, until what is lacking is enough.
func (g *growing) grow(first int, enough func(lacking []int) bool) (d graph.Patch, ok bool) {
	d, lacking, ok := g.with(first)
	tried := map[int]bool{}
	for ok && !enough(lacking) {
		rest := slices.DeleteFunc(slices.Clone(lacking), func(w int) bool { return tried[w] })
		if len(rest) == 0 {
			return d, false
		}
		next := g.repairer.heaviest(rest)
		tried[next] = true
		if more, less, better := g.with(next); better {
			d, lacking = more, less
		}
	}
	return d, ok
}

// with looks for an answer with one wish more, and holds to all that it has.
func (g *growing) with(wish int) (d graph.Patch, lacking []int, ok bool) {
	asked := append(slices.Clone(g.had), g.lits[wish])
	for range refusalsOfWish {
		if g.enc.Solve(asked, workOfWish) != clause.Yes {
			break
		}
		d = g.enc.decode()
		if g.enc.refusal.refine(d) || g.enc.refusal.refineStock(d) {
			continue
		}
		if !g.repairer.problem.Sound(d) {
			break
		}
		lacking = g.repairer.lacking(d)
		g.had = g.had[:0]
		for w, l := range g.lits {
			if !slices.Contains(lacking, w) {
				g.had = append(g.had, l)
			}
		}
		return d, lacking, !slices.Contains(lacking, wish)
	}
	return d, nil, false
}
