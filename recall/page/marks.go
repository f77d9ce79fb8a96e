package page

import (
	"slices"
	"sync"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Mark is what both ends of a cord carry: a letter in a shape, so that it reads
// without colour.
type Mark struct {
	Letter string
	// Shape is one of Shapes.
	Shape string
}

// Shapes are outlines that are told apart at a glance and leave room for a letter.
var Shapes = []string{"round", "square", "diamond", "house", "keel"}

func markNumber(n int) Mark {
	letter := string(rune('A' + n%26))
	if n >= 26 {
		letter = string(rune('A'+(n/26-1)%26)) + letter
	}
	return Mark{Letter: letter, Shape: Shapes[n%len(Shapes)]}
}

// joint is what a mark belongs to: the two ends of a cord or lead in the order of
// names, whichever way they were plugged.
type joint [2]name.Point

func jointOf(ends []name.Point) joint {
	var j joint
	copy(j[:], ends)
	if j[1].Compare(j[0]) < 0 && !j[1].IsZero() {
		j[0], j[1] = j[1], j[0]
	}
	return j
}

// marks remembers which cord has which mark, so that a letter stays with its cord
// while others come and go, and from the moment a cord is asked for until it is
// out again.
type marks struct {
	mu sync.Mutex
	// given is guarded by mu.
	given map[joint]int
}

func newMarks() *marks { return &marks{given: map[joint]int{}} }

// assign gives every cord of the room and of the moves left a mark, and forgets
// those of cords that are gone.
func (m *marks) assign(s keep.Status) map[joint]Mark {
	m.mu.Lock()
	defer m.mu.Unlock()
	now, moved := cords(s)
	// A moved cord keeps its letter where it goes.
	for to, from := range moved {
		if n, ok := m.given[from]; ok && !m.has(to) {
			m.given[to] = n
		}
	}
	for j := range m.given {
		if !slices.Contains(now, j) {
			delete(m.given, j)
		}
	}
	all := map[joint]Mark{}
	for _, j := range now {
		if from, ok := moved[j]; ok && !m.has(j) && m.has(from) {
			m.given[j] = m.given[from]
		}
		if !m.has(j) {
			m.given[j] = m.free()
		}
		all[j] = markNumber(m.given[j])
	}
	return all
}

func (m *marks) has(j joint) bool { _, ok := m.given[j]; return ok }

// free is the lowest number that no cord has.
func (m *marks) free() int {
	taken := map[int]bool{}
	for _, n := range m.given {
		taken[n] = true
	}
	n := 0
	for taken[n] {
		n++
	}
	return n
}

// cords are the joints that are in, then those that are asked for; moved says
// from which joint a moved cord comes.
func cords(s keep.Status) (now []joint, moved map[joint]joint) {
	moved = map[joint]joint{}
	for _, c := range s.Known.Cords {
		now = append(now, jointOf(c.Ends()))
	}
	for _, l := range s.Known.Leads {
		now = append(now, jointOf([]name.Point{l.Port, l.Jack}))
	}
	for _, step := range s.Left {
		switch step.Do {
		case plan.Plug, plan.PlugLead:
			now = append(now, jointOf(step.Ends))
		case plan.MoveEnd:
			now = append(now, jointOf(step.To))
			moved[jointOf(step.To)] = jointOf(step.Ends)
		case plan.Pull, plan.PullLead, plan.PlugDummy, plan.PullDummy,
			plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
		}
	}
	return now, moved
}
