package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Live is a state that changes with the room: after one plug, pull or
// crosspoint only the nets that it touches, and those that they lead to, are
// computed again. It is for one user at a time.
type Live struct {
	*State
	marks scratch
}

// Live makes a state that can be changed.
func (r *Room) Live(p patch.Patch) *Live { return &Live{State: r.Hear(p)} }

// Change takes out and puts in, as one change. What is taken out must be in,
// each cord with the same jacks either way round; what is not in is left
// alone. Points that the room does not have are left out. It takes time linear
// in the nets touched and those they lead to, whatever the size of the room.
func (l *Live) Change(out, in patch.Patch) {
	touched := append(l.take(out), l.put(in)...)
	var nets, islands []int
	for _, i := range touched {
		if n := l.net[i]; n != none {
			nets = append(nets, n)
			islands = append(islands, l.dissolve(n)...)
		}
	}
	made := l.gather(islands)
	l.unused = append(l.unused, nets...)
	l.listen(made, &l.marks)
}

// dissolve takes a net apart into islands that are in none.
func (l *Live) dissolve(n int) []int {
	gone := l.nets[n]
	for _, i := range gone.islands {
		l.net[i] = none
	}
	if gone.drivers > 1 {
		l.contended--
	}
	l.nets[n] = net{}
	return gone.islands
}

// Contended says in constant time whether any two outputs are joined.
func (s *State) Contended() bool { return s.contended > 0 }

// put adds a patch and returns the islands that it touches.
func (s *State) put(p patch.Patch) []int {
	touched := s.count(p, 1)
	for _, j := range s.joints(p) {
		for _, i := range s.ends(j) {
			s.loose[i] = append(s.loose[i], j)
			touched = append(touched, i)
		}
	}
	for _, r := range s.routes(p) {
		s.behind[r.out] = append(s.behind[r.out], r.in)
		s.ahead[r.in] = append(s.ahead[r.in], r.out)
		touched = append(touched, s.room.island[r.out])
	}
	return touched
}

// take is the inverse of put.
func (s *State) take(p patch.Patch) []int {
	touched := s.count(p, -1)
	for _, j := range s.joints(p) {
		for _, i := range s.ends(j) {
			s.loose[i] = without(s.loose[i], func(k joint) bool {
				return k.by == j.by && (k.a == j.a && k.b == j.b || k.a == j.b && k.b == j.a)
			})
			touched = append(touched, i)
		}
	}
	for _, r := range s.routes(p) {
		s.behind[r.out] = without(s.behind[r.out], func(in int) bool { return in == r.in })
		s.ahead[r.in] = without(s.ahead[r.in], func(out int) bool { return out == r.out })
		touched = append(touched, s.room.island[r.out])
	}
	return touched
}

// without leaves out the first element that fits.
func without[T any](list []T, fits func(T) bool) []T {
	at := slices.IndexFunc(list, fits)
	if at < 0 {
		return list
	}
	return slices.Delete(list, at, at+1)
}

// count puts plugs in or takes them out, at both ends of leads, and returns the
// islands of the pairs that may have been made or broken.
func (s *State) count(p patch.Patch, by int) []int {
	var touched []int
	plugs := p.Plugs()
	for _, l := range p.Leads {
		plugs = append(plugs, l.Port)
	}
	for _, at := range plugs {
		n, ok := s.room.number[at]
		if !ok || s.plugged[n]+by < 0 {
			continue
		}
		s.plugged[n] += by
		for _, number := range s.room.brokenBy[n] {
			p := s.room.pairs[number]
			touched = append(touched, s.room.island[p.a], s.room.island[p.b])
		}
	}
	return touched
}

// joints are the metal that a patch makes.
func (s *State) joints(p patch.Patch) []joint {
	var joints []joint
	for _, c := range p.Cords {
		joints = s.joint(joints, c.A, c.B, ByCord)
	}
	for _, l := range p.Leads {
		joints = s.joint(joints, l.Port, l.Jack, ByLead)
	}
	for _, c := range p.Crosspoints {
		if s.room.contacts[c.Output.Owner] {
			joints = s.joint(joints, c.Input, c.Output, ByCrosspoint)
		}
	}
	return joints
}

// ends are the islands that a joint joins: two, or one if it stays within it.
func (s *State) ends(j joint) []int {
	a, b := s.room.island[j.a], s.room.island[j.b]
	if a == b {
		return []int{a}
	}
	return []int{a, b}
}

type route struct{ in, out int }

// routes are the closed crosspoints of amplifiers.
func (s *State) routes(p patch.Patch) []route {
	var routes []route
	for _, c := range p.Crosspoints {
		in, okIn := s.room.number[c.Input]
		out, okOut := s.room.number[c.Output]
		if okIn && okOut && !s.room.contacts[c.Output.Owner] {
			routes = append(routes, route{in, out})
		}
	}
	return routes
}

func (s *State) joint(joints []joint, p, q name.Point, by string) []joint {
	a, okA := s.room.number[p]
	b, okB := s.room.number[q]
	if !okA || !okB {
		return joints
	}
	return append(joints, joint{a, b, by})
}
