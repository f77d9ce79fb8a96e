package planner

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// moves are what a person does to come from the present draft to another, with
// as few plugs handled as possible, and the patch with the lengths of its cords.
// ok is false where the cords owned do not suffice.
func (t *task) moves(d draft) (moves []plan.Move, target patch.Patch, ok bool) {
	m := mover{task: t, to: d, from: make([]int, len(d.cords)), gone: make([]bool, len(t.present.cords))}
	m.keep()
	m.pair()
	if !m.provide() {
		return nil, patch.Patch{}, false
	}
	m.cords()
	m.singles()
	return m.list, m.target(), true
}

type mover struct {
	*task
	to draft
	// from is the old cord that each new cord is made from; -1 for none.
	from []int
	// gone are the old cords that are pulled.
	gone  []bool
	kinds []int // of each new cord
	list  []plan.Move
}

// keep finds the cords that stay as they are.
func (m *mover) keep() {
	for c, ends := range m.to.cords {
		m.from[c] = slices.Index(m.present.cords, ends)
	}
	for i := range m.gone {
		m.gone[i] = !slices.Contains(m.from, i)
	}
}

// pair gives each new cord an old one that shares a jack with it, as many as
// can be (Kuhn 1955). A cord of the file's own length keeps it.
func (m *mover) pair() {
	takenBy := make([]int, len(m.present.cords))
	for i := range takenBy {
		takenBy[i] = nowhere
	}
	for c := range m.to.cords {
		if m.from[c] == nowhere {
			m.augment(c, takenBy, make([]bool, len(m.present.cords)))
		}
	}
	for i, c := range takenBy {
		if c != nowhere {
			m.from[c], m.gone[i] = i, false
		}
	}
}

func (m *mover) augment(c int, takenBy []int, seen []bool) bool {
	for i, old := range m.present.cords {
		if seen[i] || !m.gone[i] || !m.makes(i, old, m.to.cords[c]) {
			continue
		}
		seen[i] = true
		if takenBy[i] == nowhere || m.augment(takenBy[i], takenBy, seen) {
			takenBy[i] = c
			return true
		}
	}
	return false
}

// makes says whether an old cord becomes a new one by the move of one end.
func (m *mover) makes(i int, old, to [2]int) bool {
	if old[1] == nowhere && to[1] == nowhere {
		return false
	}
	shared := old[0] == to[0] || old[0] == to[1] || old[1] != nowhere && (old[1] == to[0] || old[1] == to[1])
	return shared && (to[1] == nowhere || m.oldReaches(i, to[0], to[1]))
}

// provide finds a kind of the stock for each cord that is new. Where the stock
// does not suffice, old cords that are longer than they need be are changed for
// shorter ones.
func (m *mover) provide() bool {
	for m.shelf.unlimited || !m.trySeats() {
		if m.shelf.unlimited {
			m.kinds = make([]int, len(m.to.cords))
			return true
		}
		worst := nowhere
		for c, i := range m.from {
			if i != nowhere && (worst == nowhere || m.waste(c) > m.waste(worst)) {
				worst = c
			}
		}
		if worst == nowhere {
			return false
		}
		m.gone[m.from[worst]] = true
		m.from[worst] = nowhere
	}
	return true
}

// waste is how much longer than it needs to be a cord is that was in before.
func (m *mover) waste(c int) measure.Length {
	kind := m.shelf.kinds[m.shelf.old[m.from[c]]]
	if ends := m.to.cords[c]; ends[1] != nowhere {
		return kind.Length - m.shelf.need(ends[0], ends[1])
	}
	return 0
}

func (m *mover) trySeats() bool {
	taken := make([][]int, len(m.shelf.kinds))
	rest := shelf{reach: m.shelf.reach, counts: slices.Clone(m.shelf.counts)}
	m.kinds = make([]int, len(m.to.cords))
	var fresh [][2]int
	var which []int
	for c, i := range m.from {
		if i != nowhere {
			m.kinds[c] = m.shelf.old[i]
			rest.counts[m.kinds[c]]--
			continue
		}
		fresh, which = append(fresh, m.to.cords[c]), append(which, c)
	}
	// The longest ways choose first, each the shortest that reaches.
	order := make([]int, len(fresh))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(m.needOf(fresh[b]) - m.needOf(fresh[a])) })
	for _, f := range order {
		if !rest.seat(fresh, f, taken, make([]bool, len(rest.kinds))) {
			return false
		}
	}
	for k, list := range taken {
		for _, f := range list {
			m.kinds[which[f]] = k
		}
	}
	return true
}

func (m *mover) needOf(ends [2]int) measure.Length {
	if ends[1] == nowhere {
		return 0
	}
	return m.shelf.need(ends[0], ends[1])
}

func (m *mover) names(ends [2]int) []name.Point {
	points := []name.Point{m.points[m.jacks[ends[0]].point]}
	if ends[1] != nowhere {
		points = append(points, m.points[m.jacks[ends[1]].point])
	}
	return points
}

func (m *mover) cords() {
	for i, gone := range m.gone {
		if gone {
			c := m.present.cords[i]
			m.list = append(m.list, plan.Move{Do: plan.Pull, Ends: m.names(c), Length: m.lengthOf(c)})
		}
	}
	for c, i := range m.from {
		ends := m.to.cords[c]
		switch {
		case i == nowhere:
			m.list = append(m.list, plan.Move{Do: plan.Plug, Ends: m.names(ends), Length: m.length(c)})
		case m.present.cords[i] != ends:
			from, to := m.aligned(m.present.cords[i], ends)
			m.list = append(m.list, plan.Move{Do: plan.MoveEnd, Ends: from, To: to, Length: m.lengthOf(m.present.cords[i])})
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
	case m.shelf.unlimited:
		return 0
	default:
		return m.shelf.kinds[m.kinds[c]].Length
	}
}

func (m *mover) singles() {
	jack := func(j int) name.Point { return m.points[m.jacks[j].point] }
	lead := func(l [2]int) []name.Point { return []name.Point{m.points[m.ports[l[0]]], jack(l[1])} }
	for _, j := range m.present.dummies {
		if !slices.Contains(m.to.dummies, j) {
			m.list = append(m.list, plan.Move{Do: plan.PullDummy, Ends: []name.Point{jack(j)}})
		}
	}
	for _, l := range m.present.leads {
		if !slices.Contains(m.to.leads, l) {
			m.list = append(m.list, plan.Move{Do: plan.PullLead, Ends: lead(l)})
		}
	}
	for _, j := range m.to.dummies {
		if !slices.Contains(m.present.dummies, j) {
			m.list = append(m.list, plan.Move{Do: plan.PlugDummy, Ends: []name.Point{jack(j)}})
		}
	}
	for _, l := range m.to.leads {
		if !slices.Contains(m.present.leads, l) {
			m.list = append(m.list, plan.Move{Do: plan.PlugLead, Ends: lead(l)})
		}
	}
}

// target is the patch at the end; cords that stay keep what was known of them.
func (m *mover) target() patch.Patch {
	p := m.patch(m.to)
	p.Cords = nil
	for c, i := range m.from {
		ends := m.names(m.to.cords[c])
		cord := patch.Cord{A: ends[0], Length: m.length(c)}
		if len(ends) == 2 {
			cord.B = ends[1]
		}
		if i != nowhere {
			old, _ := m.cordIn(m.task.from, m.present.cords[i])
			cord.Length, cord.Poles = old.Length, old.Poles
		} else if !m.shelf.unlimited && m.shelf.kinds[m.kinds[c]].Poles == 2 {
			cord.Poles = 2
		}
		p.Cords = append(p.Cords, cord)
	}
	p.Sort()
	return p
}

// plugs is how many plugs the moves handle.
func plugs(moves []plan.Move) int {
	total := 0
	for _, m := range moves {
		total += m.Plugs()
	}
	return total
}

// changes are the outputs that listen to something else in another draft.
func (t *task) changes(to draft) []plan.Change {
	list := []plan.Change{}
	inputs := func(d draft) map[int][]int {
		byOutput := map[int][]int{}
		for _, x := range d.crosses {
			byOutput[t.crosses[x].output] = append(byOutput[t.crosses[x].output], x)
		}
		return byOutput
	}
	before, after := inputs(t.present), inputs(to)
	for o := range t.outputs {
		if slices.Equal(before[o], after[o]) {
			continue
		}
		// A relay output that was read back with several inputs is opened at each.
		was, is := before[o], after[o]
		change := plan.Change{Output: t.points[t.outputs[o].point]}
		if len(is) > 0 {
			change.Input = t.points[t.crosses[is[0]].input]
		}
		for _, x := range was {
			if len(was) > 1 && len(is) > 0 && x == is[0] {
				continue
			}
			change.Was = t.points[t.crosses[x].input]
			list = append(list, change)
		}
		if len(was) == 0 {
			list = append(list, change)
		}
	}
	return list
}
