package heard

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Break is one thing that somebody could do at the bay, or a matrix, that ends a
// way.
type Break struct {
	Do BreakKind
	// At is the jack or socket that takes the plug; the ends of the cord, or the
	// port and the jack of the lead; the input and the output of the crosspoint.
	At []name.Point
	// By is what the way goes through there: ByNormal, ByStrap, ByCord, ByLead or
	// ByCrosspoint; empty for a socket that takes over the input at the end.
	By string
	// Leaves is true where the destination still hears the source after the break, by
	// another way or by a normal that closes again. Room.Breaks sets it, State.Breaks not.
	Leaves bool
}

// BreakKind is what would be done.
type BreakKind uint8

const (
	// BreakUnknown is the zero value, in no Break that was found.
	BreakUnknown BreakKind = iota
	// Plugging puts a plug into a jack, and so breaks a normal.
	Plugging
	// Pulling takes a cord or a lead out.
	Pulling
	// Opening opens a crosspoint.
	Opening
)

// String is the word that programs read: plug, pull or open.
func (k BreakKind) String() string {
	switch k {
	case Plugging:
		return "plug"
	case Pulling:
		return "pull"
	case Opening:
		return "open"
	case BreakUnknown:
	}
	return "unknown"
}

// Breaks are all things that would end a way of a patch, along the way, each with
// whether it leaves another. It takes the time of as many Hears as there are.
func (r *Room) Breaks(p patch.Patch, w Way) []Break {
	breaks := r.Hear(p).Breaks(w)
	for i, b := range breaks {
		after := r.Hear(r.After(p, b))
		from, ok := r.graph.Number[w.From]
		if ok && r.graph.Kinds[from] == graph.GearOutput {
			breaks[i].Leaves = slices.Contains(after.Hears(w.To), w.From)
			continue
		}
		breaks[i].Leaves = slices.Contains(after.Reaches(w.From), w.To)
	}
	return breaks
}

// After is a patch after a break. Plugging puts a dummy into a jack, or into a socket a
// cable whose other end is free. Opening opens all crosspoints that switch together.
func (r *Room) After(p patch.Patch, b Break) patch.Patch {
	p = p.Clone()
	switch b.Do {
	case Plugging:
		if b.By == "" {
			p.Leads = append(p.Leads, patch.Lead{Port: b.At[0]})
			break
		}
		p.Dummies = append(p.Dummies, b.At[0])
	case Pulling:
		p.Cords = slices.DeleteFunc(p.Cords, patch.Cord{A: b.At[0], B: b.At[1]}.Same)
		p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return l.Port == b.At[0] && l.Jack == b.At[1] })
	case Opening:
		opened := patch.Crosspoint{Output: b.At[1], Input: b.At[0]}
		p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return c == opened || r.SwitchedWith(c, opened) })
	case BreakUnknown:
	}
	return p
}

// SwitchedWith says whether a matrix switches two crosspoints together: neither opens or
// closes without the other. It takes time linear in the outputs that are.
func (r *Room) SwitchedWith(c, d patch.Crosspoint) bool {
	for _, m := range r.studio.Matrices {
		for _, group := range m.Stereo {
			i, j := slices.Index(group, c.Output), slices.Index(group, d.Output)
			if i >= 0 && j >= 0 && c.Input.Number-d.Input.Number == i-j {
				return true
			}
		}
	}
	return false
}

// Breaks are all things that would end a way of this state, along the way. What
// is soldered cannot be broken at a bay. Another way may be left.
func (s *State) Breaks(w Way) []Break {
	var breaks []Break
	for i := 1; i < len(w.Steps); i++ {
		a, b := w.Steps[i-1].Point, w.Steps[i].Point
		switch by := w.Steps[i].By; by {
		case ByNormal, ByStrap:
			for _, jack := range s.breaking(a, b, by) {
				breaks = append(breaks, Break{Do: Plugging, At: []name.Point{jack}, By: by})
			}
		case ByCord:
			breaks = append(breaks, Break{Do: Pulling, At: []name.Point{a, b}, By: by})
		case ByLead:
			if s.room.graph.Kinds[s.room.graph.Number[a]] == graph.JackPoint {
				a, b = b, a
			}
			breaks = append(breaks, Break{Do: Pulling, At: []name.Point{a, b}, By: by})
		case ByCrosspoint:
			if s.room.graph.Kinds[s.room.graph.Number[a]] == graph.MatrixOutput {
				a, b = b, a // relays carry backwards too
			}
			breaks = append(breaks, Break{Do: Opening, At: []name.Point{a, b}, By: by})
		}
	}
	if n, ok := s.room.graph.Number[w.To]; ok {
		for _, front := range s.room.graph.Overrides[n] {
			breaks = append(breaks, Break{Do: Plugging, At: []name.Point{s.room.graph.Points[front]}})
		}
	}
	return breaks
}

// breaking are the jacks in which a plug breaks the normal between two jacks.
func (s *State) breaking(a, b name.Point, by string) []name.Point {
	g := s.room.graph
	x, y := g.JackOf[a], g.JackOf[b]
	var jacks []name.Point
	add := func(is bool, j int) {
		if p := g.Points[g.Jacks[j].Point]; is && !slices.Contains(jacks, p) {
			jacks = append(jacks, p)
		}
	}
	for _, m := range g.Jacks[x].Normals {
		n := g.Normals[m]
		if n.By == by && s.state.Holds(m) && n.Other(x) == y {
			add(n.BreaksA, n.A)
			add(n.BreaksB, n.B)
		}
	}
	return jacks
}
