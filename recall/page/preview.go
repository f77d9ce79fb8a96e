package page

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// foresee draws the bays as they are, with what a plan would take out and put in, and
// gives the marks of its cords. They are those that the cords get once it is recalled.
func (h sessionsHandler) foresee(v *sessionView, s keep.Status, made *plan.Plan) map[joint]Mark {
	s.Left = made.Steps
	marks := h.page.marks.foresee(s)
	plugs := plugReader(h).plugs(s, nil, marks)
	plugs.brokenNormals = follower(h).broken(h.page.heard.Hear(s.Known.Patch()))
	touched := map[string]bool{}
	for _, step := range made.Steps {
		for _, end := range slices.Concat(step.Ends, step.To) {
			touched[end.Owner] = true
		}
	}
	for _, b := range (drawer(h)).standing() {
		if touched[b.Name] {
			one := drawer(h).bay(b, 1, b.Pairs(), plainTouch, plugs)
			one.Left = -h.page.sides[b.Name].indent
			one.Width -= one.Left
			v.Bays = append(v.Bays, one)
		}
	}
	return marks
}

// foresee gives the marks that assign would, and remembers none of them.
func (m *marks) foresee(s keep.Status) map[joint]Mark {
	m.mu.Lock()
	defer m.mu.Unlock()
	then := newMarks()
	for j, n := range m.given {
		then.given[j] = n
	}
	return then.assign(s)
}
