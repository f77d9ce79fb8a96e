// Package shared says which lines of a studio several rooms can take: ties from one room
// to another, and gear and jacks in no room. Rooms on several hosts agree on these before
// a plug goes in; all else belongs to one room.
//
// Vocabulary: a line is metal that is joined for good, by wires, ties, mults and parallel
// pairs; it belongs to a room where it leads to parts of that room alone, and is shared
// where it leads to several rooms or to none. A place is the name of a shared line, the
// same on every machine that reads the same studio: the gear that it leads to, or its
// jacks.
package shared

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Lines are the shared lines of a studio.
type Lines struct {
	place map[name.Point]string
	rooms map[string][]string
	jacks []name.Point // with a place, sorted
	kinds map[string]string
}

// Of finds the shared lines of a studio, in time linear in its joints; none where all is
// one room.
func Of(s *studio.Studio) Lines {
	l := Lines{place: map[name.Point]string{}, rooms: map[string][]string{}, kinds: map[string]string{}}
	if len(s.Rooms) == 0 {
		return l
	}
	part, gear := owners(s)
	for _, points := range joined(s) {
		rooms, units := unique(points, part), unique(points, gear)
		if len(rooms) == 1 {
			continue
		}
		place := strings.Join(units, " + ")
		if len(rooms) > 1 || place == "" {
			place = named(points, gear)
		}
		l.rooms[place] = rooms
		if len(units) == 0 {
			l.kinds[place] = kind(s, points)
		}
		for _, p := range points {
			l.place[p] = place
			if gear[p.Owner] == "" {
				l.jacks = append(l.jacks, p)
			}
		}
	}
	slices.SortFunc(l.jacks, name.Point.Compare)
	return l
}

// owners are the room of each part, and the gear that is in no room, by name.
func owners(s *studio.Studio) (part, gear map[string]string) {
	part, gear = map[string]string{}, map[string]string{}
	for _, r := range s.Rooms {
		for _, p := range r.Parts {
			part[p] = r.Name
		}
	}
	for _, g := range s.Gear {
		gear[g.Name] = g.Name
	}
	for _, m := range s.Matrices {
		gear[m.Name] = m.Name
	}
	return part, gear
}

// unique are what the owners of points are in, sorted, each once.
func unique(points []name.Point, in map[string]string) []string {
	var all []string
	for _, p := range points {
		if to := in[p.Owner]; to != "" {
			all = append(all, to)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// named is a line by its jacks: far/t1 = main/b40.
func named(points []name.Point, gear map[string]string) string {
	var all []string
	for _, p := range points {
		if gear[p.Owner] == "" {
			all = append(all, p.String())
		}
	}
	slices.Sort(all)
	return strings.Join(all, " = ")
}

// Place is the shared line that a point is on; empty where it is on none.
func (l Lines) Place(p name.Point) string { return l.place[p] }

// Rooms are those that a shared line leads to, sorted.
func (l Lines) Rooms(place string) []string { return l.rooms[place] }

// Taken are the shared lines that plugs and closed crosspoints of patches are on, sorted.
func (l Lines) Taken(patches ...patch.Patch) []string {
	var all []string
	add := func(p name.Point) {
		if place := l.place[p]; place != "" {
			all = append(all, place)
		}
	}
	for _, one := range patches {
		for _, p := range one.Plugs() {
			add(p)
		}
		for _, lead := range one.Leads {
			add(lead.Port)
		}
		for _, x := range one.Crosspoints {
			add(x.Input)
			add(x.Output)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// Jacks are those on shared lines for which shut is true, sorted.
func (l Lines) Jacks(shut func(place string) bool) []name.Point {
	var all []name.Point
	for _, p := range l.jacks {
		if shut(l.place[p]) {
			all = append(all, p)
		}
	}
	return all
}

// joined are the points of a studio that are joined for good, and single jacks of bays and
// sockets of boxes, each set in the order of the file.
func joined(s *studio.Studio) [][]name.Point {
	m := metal{above: map[name.Point]name.Point{}}
	for _, w := range s.Wires {
		m.join(w.From, w.To)
	}
	for _, t := range s.Ties {
		m.join(t.A, t.B)
	}
	for _, all := range s.Mults {
		for _, p := range all.Jacks {
			m.join(all.Jacks[0], p)
		}
	}
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			top, bottom := m.top(b.TopJack(n)), m.top(b.BottomJack(n))
			if b.Modes[n-1] == studio.Parallel {
				m.join(top, bottom)
			}
		}
	}
	for _, b := range s.Boxes {
		for n := 1; n <= b.Sockets; n++ {
			m.top(b.Socket(n))
		}
	}
	return m.sets()
}

// metal is a forest of joined points.
type metal struct {
	above map[name.Point]name.Point
	order []name.Point
}

func (m *metal) top(p name.Point) name.Point {
	if _, known := m.above[p]; !known {
		m.above[p] = p
		m.order = append(m.order, p)
	}
	for m.above[p] != p {
		m.above[p] = m.above[m.above[p]]
		p = m.above[p]
	}
	return p
}

func (m *metal) join(a, b name.Point) {
	x, y := m.top(a), m.top(b)
	m.above[y] = x
}

func (m *metal) sets() [][]name.Point {
	at := map[name.Point]int{}
	var all [][]name.Point
	for _, p := range m.order {
		top := m.top(p)
		i, known := at[top]
		if !known {
			i = len(all)
			at[top] = i
			all = append(all, nil)
		}
		all[i] = append(all[i], p)
	}
	return all
}
