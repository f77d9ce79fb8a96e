package objective

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/matching"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Moves are what a person does to come from the present draft to another, with
// as few plugs handled as possible, and the patch with the lengths of its cords.
// ok is false where the cords owned do not suffice.
func Moves(t *problem.Problem, d graph.Patch) (moves []plan.Move, target patch.Patch, ok bool) {
	m, ok := moving(t, d)
	if !ok {
		return nil, patch.Patch{}, false
	}
	return m.list, m.target(), true
}

// moving is a mover that has found the moves to a draft; ok is false where the cords
// owned do not suffice.
func moving(t *problem.Problem, d graph.Patch) (m *mover, ok bool) {
	m = &mover{Graph: t.Graph, problem: t, to: d, from: make([]int, len(d.Cords)), gone: make([]bool, len(t.Present.Cords))}
	m.keep()
	m.pair()
	if !m.provide() {
		return nil, false
	}
	m.cords()
	m.singles()
	return m, true
}

type mover struct {
	*graph.Graph
	problem *problem.Problem
	to      graph.Patch
	// from is the old cord that each new cord is made from; -1 for none.
	from []int
	// gone are the old cords that are pulled.
	gone  []bool
	kinds []int // of each new cord
	list  []plan.Move
}

// keep finds the cords that stay as they are.
func (m *mover) keep() {
	for c, ends := range m.to.Cords {
		m.from[c] = slices.Index(m.problem.Present.Cords, ends)
	}
	for i := range m.gone {
		m.gone[i] = !slices.Contains(m.from, i)
	}
}

// pair gives each new cord an old one that shares a jack with it, as many as
// can be. A cord of the file's own length keeps it.
func (m *mover) pair() {
	one := make([]int, len(m.problem.Present.Cords))
	for i := range one {
		one[i] = 1
	}
	pairs := matching.New(one, func(c, i int) bool { return m.gone[i] && m.makes(i, m.problem.Present.Cords[i], m.to.Cords[c]) })
	for c := range m.to.Cords {
		if m.from[c] == graph.None {
			pairs.Add(c)
		}
	}
	for i := range one {
		for _, c := range pairs.At(i) {
			m.from[c], m.gone[i] = i, false
		}
	}
}

// makes says whether an old cord becomes a new one by the move of one end.
func (m *mover) makes(i int, old, to [2]int) bool {
	if old[1] == graph.None && to[1] == graph.None {
		return false
	}
	shared := old[0] == to[0] || old[0] == to[1] || old[1] != graph.None && (old[1] == to[0] || old[1] == to[1])
	return shared && (to[1] == graph.None || m.problem.Stock.OldReaches(i, to[0], to[1]))
}

// provide finds a kind of the stock for each cord that is new. Where the stock
// does not suffice, old cords that are longer than they need be are changed for
// shorter ones.
func (m *mover) provide() bool {
	for m.problem.Stock.Unlimited || !m.assignKinds() {
		if m.problem.Stock.Unlimited {
			m.kinds = make([]int, len(m.to.Cords))
			return true
		}
		worst := graph.None
		for c, i := range m.from {
			if i != graph.None && (worst == graph.None || m.lessOf(c, worst)) {
				worst = c
			}
		}
		if worst == graph.None {
			return false
		}
		m.gone[m.from[worst]] = true
		m.from[worst] = graph.None
	}
	return true
}

// lessOf says whether one cord that was in is rather changed for another than a second one:
// of a kind of which some are owed, else the longer one for what it has to reach.
func (m *mover) lessOf(c, d int) bool {
	if owed := m.owed(c); owed != m.owed(d) {
		return owed
	}
	return m.waste(c) > m.waste(d)
}

// owed says whether more cords of the kind of one that stays are in than are owned.
func (m *mover) owed(c int) bool {
	kind, count := m.problem.Stock.Old[m.from[c]], 0
	for _, i := range m.from {
		if i != graph.None && m.problem.Stock.Old[i] == kind {
			count++
		}
	}
	return count > m.problem.Stock.Counts[kind]
}

// waste is how much longer than it needs to be a cord is that was in before.
func (m *mover) waste(c int) measure.Length {
	kind := m.problem.Stock.Kinds[m.problem.Stock.Old[m.from[c]]]
	if ends := m.to.Cords[c]; ends[1] != graph.None {
		return kind.Length - m.problem.Stock.NeedOf(ends)
	}
	return 0
}

func (m *mover) names(ends [2]int) []name.Point {
	points := []name.Point{m.Points[m.Jacks[ends[0]].Point]}
	if ends[1] != graph.None {
		points = append(points, m.Points[m.Jacks[ends[1]].Point])
	}
	return points
}

func (m *mover) cords() {
	for i, gone := range m.gone {
		if gone {
			c := m.problem.Present.Cords[i]
			m.list = append(m.list, plan.Move{Do: plan.Pull, Ends: m.names(c), Length: m.problem.Stock.LengthOf(c), Poles: m.cordIn(c).Poles})
		}
	}
	for c, i := range m.from {
		ends := m.to.Cords[c]
		switch {
		case i == graph.None:
			m.list = append(m.list, plan.Move{Do: plan.Plug, Ends: m.names(ends), Length: m.length(c), Poles: m.poles(c)})
		case m.problem.Present.Cords[i] != ends:
			old := m.problem.Present.Cords[i]
			from, to := m.aligned(old, ends)
			m.list = append(m.list, plan.Move{Do: plan.MoveEnd, Ends: from, To: to, Length: m.problem.Stock.LengthOf(old), Poles: m.cordIn(old).Poles})
		}
	}
}

// aligned names the ends of a moved cord so that the one that stays is first.
func (m *mover) aligned(from, to [2]int) (a, b []name.Point) {
	if from[0] != to[0] && from[0] != to[1] {
		from[0], from[1] = from[1], from[0]
	}
	if to[0] != from[0] {
		to[0], to[1] = to[1], to[0]
	}
	return m.names(from), m.names(to)
}

// length of a new cord; where the stock has no limit, what is needed.
func (m *mover) length(c int) measure.Length {
	switch {
	case m.problem.Stock.Unlimited:
		return 0
	default:
		return m.problem.Stock.Kinds[m.kinds[c]].Length
	}
}

// poles are 2 of a new cord without a ring, and 0 of any other.
func (m *mover) poles(c int) int {
	if !m.problem.Stock.Unlimited && m.problem.Stock.Kinds[m.kinds[c]].Poles == 2 {
		return 2
	}
	return 0
}

func (m *mover) singles() {
	jack := func(j int) name.Point { return m.Points[m.Jacks[j].Point] }
	lead := func(l [2]int) []name.Point { return []name.Point{m.Points[m.Ports[l[0]]], jack(l[1])} }
	for _, j := range m.problem.Present.Dummies {
		if !slices.Contains(m.to.Dummies, j) {
			m.list = append(m.list, plan.Move{Do: plan.PullDummy, Ends: []name.Point{jack(j)}})
		}
	}
	for _, l := range m.problem.Present.Leads {
		if !slices.Contains(m.to.Leads, l) {
			m.list = append(m.list, plan.Move{Do: plan.PullLead, Ends: lead(l)})
		}
	}
	for _, j := range m.to.Dummies {
		if !slices.Contains(m.problem.Present.Dummies, j) {
			m.list = append(m.list, plan.Move{Do: plan.PlugDummy, Ends: []name.Point{jack(j)}})
		}
	}
	for _, l := range m.to.Leads {
		if !slices.Contains(m.problem.Present.Leads, l) {
			m.list = append(m.list, plan.Move{Do: plan.PlugLead, Ends: lead(l)})
		}
	}
}

// target is the patch at the end; cords that stay keep what was known of them.
func (m *mover) target() patch.Patch {
	p := m.Named(m.to)
	p.Cords = nil
	for c, i := range m.from {
		ends := m.names(m.to.Cords[c])
		cord := patch.Cord{A: ends[0], Length: m.length(c), Poles: m.poles(c)}
		if len(ends) == 2 {
			cord.B = ends[1]
		}
		if i != graph.None {
			old := m.cordIn(m.problem.Present.Cords[i])
			cord.Length, cord.Poles = old.Length, old.Poles
		}
		p.Cords = append(p.Cords, cord)
	}
	p.Sort()
	return p
}

// cordIn is the cord of the patch that is in between some jacks.
func (m *mover) cordIn(ends [2]int) patch.Cord { return m.problem.Stock.In(ends) }

// Plugs is how many plugs the moves handle.
func Plugs(moves []plan.Move) int {
	total := 0
	for _, m := range moves {
		total += m.Plugs()
	}
	return total
}

// Changes are the outputs that listen to something else in another draft.
func Changes(t *problem.Problem, to graph.Patch) []plan.Change {
	list := []plan.Change{}
	inputs := func(d graph.Patch) map[int][]int {
		byOutput := map[int][]int{}
		for _, x := range d.Crosses {
			byOutput[t.Crosses[x].Output] = append(byOutput[t.Crosses[x].Output], x)
		}
		return byOutput
	}
	before, after := inputs(t.Present), inputs(to)
	for o := range t.Outputs {
		if slices.Equal(before[o], after[o]) {
			continue
		}
		// A relay output that was read back with several inputs is opened at each.
		was, is := before[o], after[o]
		change := plan.Change{Output: t.Points[t.Outputs[o].Point]}
		if len(is) > 0 {
			change.Input = t.Points[t.Crosses[is[0]].Input]
		}
		for _, x := range was {
			if len(was) > 1 && len(is) > 0 && x == is[0] {
				continue
			}
			change.Was = t.Points[t.Crosses[x].Input]
			list = append(list, change)
		}
		if len(was) == 0 {
			list = append(list, change)
		}
	}
	return list
}
