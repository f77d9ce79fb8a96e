package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// straight decides where microphone lines go in a room that is not wired yet: to the
// smallest bay that they fill alone, where the other lines have room without it; else
// straight to their preamplifiers, since no bay that carries lines should carry phantom
// power (common practice, no published source). It takes those that go straight out of
// what comes to the bays, and is them.
func (r *room) straight(q *Request) []port {
	r.microphones = none
	is := func(p port) bool { return p.kind == studio.MicLevel || p.phantom }
	outputs, inputs := countOf(r.outputs, is), countOf(r.inputs, is)
	lines := max(len(r.outputs)-outputs, len(r.inputs)-inputs)
	if r.wired || slices.Contains(q.Waived, KindsApart) || outputs+inputs == 0 || lines == 0 {
		return nil
	}
	columns := map[int]int{}
	for _, s := range r.slots {
		columns[s.bay]++
	}
	for bay := range r.studio.Bays {
		n := columns[bay]
		if n >= max(outputs, inputs) && len(r.slots)-n >= lines && (r.microphones == none || n < columns[r.microphones]) {
			r.microphones = bay
		}
	}
	pairs, ok := r.microphonePairs(q, is)
	if r.microphones != none || !ok {
		return nil // on a bay; of what changes from session to session it is the only place
	}
	var left []port
	for _, row := range []*[]port{&r.outputs, &r.inputs} {
		for _, p := range *row {
			if _, fed := pairs[p.point]; is(p) && !fed {
				p.straight = true
				left = append(left, p)
			}
		}
		*row = slices.DeleteFunc(*row, is)
	}
	r.findInserts(q)
	r.link()
	return left
}

// microphonePairs finds the one input of each microphone, and the one microphone of each
// input, both ways, and keeps them as cables that go straight; ok is false where sessions
// want it now here, now there.
func (r *room) microphonePairs(q *Request, is func(port) bool) (pairs map[name.Point]name.Point, ok bool) {
	pairs, has := map[name.Point]name.Point{}, map[name.Point]bool{}
	for _, p := range slices.Concat(r.outputs, r.inputs) {
		has[p.point] = is(p)
	}
	var straight []Straight
	sessions := q.Sessions
	if q.all != nil {
		sessions = q.all
	}
	for _, s := range sessions {
		for _, w := range s.Session.Wants {
			if !has[w.Source] && !has[w.Destination] {
				continue
			}
			to, led := pairs[w.Source]
			from, fed := pairs[w.Destination]
			if led && to != w.Destination || fed && from != w.Source || !has[w.Source] || !has[w.Destination] {
				return nil, false
			}
			if !led {
				straight = append(straight, Straight{w.Source, w.Destination})
			}
			pairs[w.Source], pairs[w.Destination] = w.Destination, w.Source
		}
	}
	if r.microphones == none {
		r.straights = straight
	}
	return pairs, true
}

// Straight is a cable that goes to no bay.
type Straight struct {
	From name.Point `json:"from"`
	To   name.Point `json:"to"`
}

// Straight are the cables that go to no bay: those of microphones, where the bays carry
// lines.
func (l *Layout) Straight() []Straight { return append([]Straight{}, l.columns.room.straights...) }

func countOf(ports []port, is func(port) bool) int {
	count := 0
	for _, p := range ports {
		if is(p) {
			count++
		}
	}
	return count
}
