package order

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/plan"
	counted "bayhand/model/planner/stock"
)

// stock is what lies ready: cords by their kind, and dummies.
type stock struct {
	unlimited bool
	cords     []int
	dummies   int
	// pulled are the places of the actions that have brought cords, by kind, and
	// dummies.
	pulled        [][]int
	pulledDummies []int
}

const plenty = 1 << 30

// anyKind is that of a cord of which there is always one.
const anyKind = graph.None

// owned is the stock before anything is done.
func owned(f *facts, cords []int) *stock {
	own := &stock{unlimited: f.studio.Stock.Unlimited, cords: cords, pulled: make([][]int, len(cords)), dummies: plenty}
	if f.studio.Dummies >= 0 {
		own.dummies = max(f.studio.Dummies-len(f.from.Dummies), 0)
	}
	return own
}

// clone is another stock of the same things.
func (s *stock) clone() *stock {
	own := *s
	own.cords, own.pulled, own.pulledDummies = slices.Clone(s.cords), make([][]int, len(s.cords)), nil
	return &own
}

// readStock is what lies ready beside the patch that is in; it finds the kind of each
// cord that is pulled or plugged, as the planner counts them.
func readStock(f *facts, actions []*action) (*stock, error) {
	if f.studio.Stock.Unlimited {
		return owned(f, make([]int, setLengths(f, actions))), nil
	}
	present, err := f.room.Graph().Numbered(f.from)
	if err != nil {
		return nil, err
	}
	var kept []patch.Patch
	if f.session.Patch != nil {
		kept = append(kept, *f.session.Patch)
	}
	all := counted.New(f.room.Graph(), f.from, present, kept...)
	kindIn := map[[2]int]int{}
	for c, ends := range present.Cords {
		kindIn[ends] = all.Old[c]
	}
	setKinds(f.room.Graph(), &all, kindIn, actions)
	return owned(f, all.Ready()), nil
}

// setLengths gives each action its kind where there is no end to the cords: those of a
// length are of a kind, of which it is the number.
func setLengths(f *facts, actions []*action) int {
	var lengths []measure.Length
	for _, a := range actions {
		c := a.move.Length
		if c == 0 && len(a.move.Ends) == 2 {
			c, _ = layout.Shortest(f.studio, a.move.Ends[0], a.move.Ends[1])
		}
		if a.kind = slices.Index(lengths, c); a.kind < 0 {
			a.kind = len(lengths)
			lengths = append(lengths, c)
		}
	}
	return len(lengths)
}

// setKinds gives each action its kind: the pulls those of the cords that are in, the
// others what lies ready then.
func setKinds(g *graph.Graph, all *counted.Stock, kindIn map[[2]int]int, actions []*action) {
	out := make([]int, len(all.Kinds))
	var fresh []*action
	var cords []patch.Cord
	for _, a := range actions {
		switch {
		case a.move.Do == plan.Pull:
			a.kind = kindIn[g.Ends(cordOf(a.move))]
			out[a.kind]++
		case a.move.Do == plan.Plug:
			fresh, cords = append(fresh, a), append(cords, cordOf(a.move))
		}
	}
	for i, kind := range all.Fresh(g, cords, out) {
		fresh[i].kind = kind
	}
}

// cordOf is the cord that a move plugs or pulls.
func cordOf(m plan.Move) patch.Cord {
	c := cords(m.Ends...).Cords[0]
	c.Length, c.Poles = m.Length, m.Poles
	return c
}

// lacks says whether nothing lies ready that an action plugs.
func (s *stock) lacks(a *action) bool {
	switch {
	case a.move.Do == plan.Plug:
		return a.kind != anyKind && !s.unlimited && s.cords[a.kind] <= 0
	case a.move.Do == plan.PlugDummy:
		return s.dummies <= 0
	}
	return false
}

// supplies says whether an action brings what another lacks.
func (a *action) supplies(lacking *action) bool {
	switch {
	case a.move.Do == plan.Pull && lacking.move.Do == plan.Plug:
		return a.kind == lacking.kind
	case a.move.Do == plan.PullDummy:
		return lacking.move.Do == plan.PlugDummy
	}
	return false
}

// take counts what an action takes from the stock and gives back; by is -1 to undo
// it.
func (s *stock) take(a *action, by int) {
	switch {
	case a.kind == anyKind && (a.move.Do == plan.Plug || a.move.Do == plan.Pull):
	case a.move.Do == plan.Plug:
		s.cords[a.kind] -= by
	case a.move.Do == plan.Pull:
		s.cords[a.kind] += by
	case a.move.Do == plan.PlugDummy:
		s.dummies -= by
	case a.move.Do == plan.PullDummy:
		s.dummies += by
	}
}

// supplier takes what an action plugs from the stock, and is the place of the action
// that brings it there where nothing lies ready.
func (s *stock) supplier(a *action) (at int, ok bool) {
	if !s.lacks(a) {
		if a.move.Do == plan.Plug || a.move.Do == plan.PlugDummy {
			s.take(a, 1)
		}
		return 0, false
	}
	if a.move.Do == plan.PlugDummy {
		return next(&s.pulledDummies)
	}
	return next(&s.pulled[a.kind])
}

// next takes the first of some places; there is none where the plan has counted
// a cord that is of a length of its own.
func next(places *[]int) (at int, ok bool) {
	if len(*places) == 0 {
		return 0, false
	}
	at, *places = (*places)[0], (*places)[1:]
	return at, true
}

// bring notes the place of an action that brings a cord or a dummy.
func (s *stock) bring(a *action, place int) {
	switch {
	case a.move.Do == plan.Pull && a.kind != anyKind:
		s.pulled[a.kind] = append(s.pulled[a.kind], place)
	case a.move.Do == plan.PullDummy:
		s.pulledDummies = append(s.pulledDummies, place)
	}
}
