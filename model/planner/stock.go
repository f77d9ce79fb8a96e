package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/matching"
	"bayhand/model/studio"
)

// stock is the stock with the cords of the present patch counted in: what is
// plugged is owned, even where the file forgot it.
type stock struct {
	reach  reach
	counts []int // by kind
	// old is the kind of each cord of the present draft, lengths what the present
	// patch says of it, by its ends.
	old     []int
	lengths map[[2]int]measure.Length
}

// addStock finds what kind each present cord is.
func (t *task) addStock() {
	t.stock = stock{reach: newReach(t.Graph), lengths: map[[2]int]measure.Length{}}
	for _, c := range t.from.Cords {
		t.stock.lengths[t.cordEnds(c)] = c.Length
	}
	for _, k := range t.stock.reach.kinds {
		t.stock.counts = append(t.stock.counts, k.Count)
	}
	used := make([]int, len(t.stock.reach.kinds))
	for _, c := range t.present.Cords {
		k := t.stock.kindOf(t.lengthOf(c), c, used)
		t.stock.old = append(t.stock.old, k)
		for len(used) < len(t.stock.reach.kinds) {
			used = append(used, 0)
		}
		used[k]++
		t.stock.counts[k] = max(t.stock.counts[k], used[k])
	}
	t.stock.reach.measure()
}

// lengthOf is the length that the present patch gives for a cord.
func (t *task) lengthOf(ends [2]int) measure.Length { return t.stock.lengths[ends] }

// cordEnds are the jacks of a cord of a patch.
func (t *task) cordEnds(c patch.Cord) [2]int {
	if c.B.IsZero() {
		return [2]int{t.JackOf[c.A], graph.None}
	}
	return graph.Ordered([2]int{t.JackOf[c.A], t.JackOf[c.B]})
}

// cordIn finds a cord of a patch by its jacks.
func (t *task) cordIn(p patch.Patch, ends [2]int) (patch.Cord, bool) {
	for _, c := range p.Cords {
		if t.cordEnds(c) == ends {
			return c, true
		}
	}
	return patch.Cord{}, false
}

// kindOf is the kind of a cord that is in: one of its length that fits and is
// not all in use yet; without a length the shortest that reaches. A cord that is
// of no kind owned makes a kind of its own.
func (s *stock) kindOf(length measure.Length, ends [2]int, used []int) int {
	best := -1
	for k, kind := range s.reach.kinds {
		if length != 0 && kind.Length != length || !s.goes(kind, ends) {
			continue
		}
		if best < 0 || used[best] >= s.counts[best] && used[k] < s.counts[k] {
			best = k
		}
	}
	if best >= 0 {
		return best
	}
	if length == 0 && ends[1] != graph.None {
		length = s.reach.need(ends[0], ends[1])
	}
	kind := studio.StockCord{Length: length, Ends: [2]studio.Jack{s.reach.Jacks[ends[0]].Kind, s.reach.Jacks[ends[0]].Kind}}
	if ends[1] != graph.None {
		kind.Ends[1] = s.reach.Jacks[ends[1]].Kind
	}
	s.reach.kinds = append(s.reach.kinds, kind)
	s.counts = append(s.counts, 0)
	return len(s.reach.kinds) - 1
}

// goes says whether a kind of cord can be where a cord of a draft is.
func (s *stock) goes(kind studio.StockCord, ends [2]int) bool {
	if ends[1] == graph.None {
		return layout.Fits(kind.Ends, s.reach.Jacks[ends[0]].Kind, studio.JackUnknown)
	}
	return s.reach.fits(kind, ends[0], ends[1])
}

// oldReaches says whether an old cord reaches between two jacks. Where the
// stock has no limit and the cord no length, it does.
func (t *task) oldReaches(old, i, j int) bool {
	if t.stock.reach.unlimited && t.lengthOf(t.present.Cords[old]) == 0 {
		return true
	}
	return t.stock.goes(t.stock.reach.kinds[t.stock.old[old]], graph.Ordered([2]int{i, j}))
}

// shortage is a set of kinds that more cords of a draft depend on than are owned;
// nil if the stock suffices for all.
func (s *stock) shortage(cords [][2]int) []bool {
	if s.reach.unlimited {
		return nil
	}
	kinds := s.assignment(cords, s.counts)
	for c := range cords {
		if !kinds.Add(c) {
			return kinds.Short()
		}
	}
	return nil
}

// assignment gives cords a kind each, of which there are so many.
func (s *stock) assignment(cords [][2]int, counts []int) *matching.Matching {
	return matching.New(counts, func(c, k int) bool { return s.goes(s.reach.kinds[k], cords[c]) })
}

// refineStock counts the cords that only some kinds will do for, once a draft
// asks for more than there are of those.
func (e *encoding) refineStock(d graph.Patch) bool {
	kinds := e.task.stock.shortage(d.Cords)
	if kinds == nil {
		return false
	}
	owned := 0
	for k, in := range kinds {
		if in {
			owned += e.task.stock.counts[k]
		}
	}
	only := func(ends [2]int) bool {
		for k, kind := range e.task.stock.reach.kinds {
			if !kinds[k] && e.task.stock.counts[k] > 0 && e.task.stock.goes(kind, ends) {
				return false
			}
		}
		return true
	}
	byJack := make([][]clause.Lit, len(e.Jacks))
	for _, c := range e.cords {
		if only(c.ends) {
			byJack[c.charge] = append(byJack[c.charge], c.lit)
		}
	}
	var lits []clause.Lit
	for j := range e.Jacks {
		if e.loose[j] != clause.False && only([2]int{j, graph.None}) {
			byJack[j] = append(byJack[j], e.loose[j])
		}
		if len(byJack[j]) > 0 {
			lits = append(lits, e.either(slices.Clone(byJack[j])))
		}
	}
	e.atMost(lits, owned)
	return true
}
