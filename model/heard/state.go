package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// State is a room with one patch in it. It is immutable and safe for
// concurrent use.
type State struct {
	room    *Room
	patch   patch.Patch
	plugged []bool
	// loose are the joints that the patch makes: cords, leads, relays.
	loose []joint
	// routes are the closed crosspoints of amplifiers.
	routes []route
	// net is the number of each point's net; members lists a net's points.
	net     []int
	members [][]int
	drivers [][]int
	// heard holds, for each net, the gear outputs that are heard there, sorted
	// by number.
	heard [][]int
}

type route struct{ in, out int }

// Hear computes every net of a patch and what is heard on it. Points that the
// room does not have are left out (see Unknown). It takes time linear in the
// size of the room, and in what each source reaches through matrices.
func (r *Room) Hear(p patch.Patch) *State {
	s := &State{room: r, patch: p, plugged: make([]bool, len(r.points))}
	for _, at := range p.Plugs() {
		if n, ok := r.number[at]; ok {
			s.plugged[n] = true
		}
	}
	s.join()
	s.gather(s.union())
	s.listen()
	return s
}

// Unknown lists the points of a patch that the room does not have, such as
// after a bay was taken out of the studio's file.
func (r *Room) Unknown(p patch.Patch) []name.Point {
	points := p.Plugs()
	for _, l := range p.Leads {
		points = append(points, l.Port)
	}
	for _, c := range p.Crosspoints {
		points = append(points, c.Output, c.Input)
	}
	return slices.DeleteFunc(points, r.Has)
}

// join collects the joints that the patch makes.
func (s *State) join() {
	for _, c := range s.patch.Cords {
		if !c.B.IsZero() {
			s.addLoose(c.A, c.B, ByCord)
		}
	}
	for _, l := range s.patch.Leads {
		s.addLoose(l.Port, l.Jack, ByLead)
	}
	for _, c := range s.patch.Crosspoints {
		if s.room.contacts[c.Output.Owner] {
			s.addLoose(c.Input, c.Output, ByCrosspoint)
			continue
		}
		in, okIn := s.room.number[c.Input]
		out, okOut := s.room.number[c.Output]
		if okIn && okOut {
			s.routes = append(s.routes, route{in, out})
		}
	}
}

func (s *State) addLoose(p, q name.Point, by string) {
	a, okA := s.room.number[p]
	b, okB := s.room.number[q]
	if okA && okB {
		s.loose = append(s.loose, joint{a, b, by})
	}
}

func (s *State) holds(p pair) bool {
	return !(p.breaksA && s.plugged[p.a]) && !(p.breaksB && s.plugged[p.b])
}

func (s *State) union() forest {
	nets := s.room.base.clone()
	for _, p := range s.room.pairs {
		if s.holds(p) {
			nets.join(p.a, p.b)
		}
	}
	for _, j := range s.loose {
		nets.join(j.a, j.b)
	}
	return nets
}

// gather numbers the nets in the order of their first points, and finds who
// drives each.
func (s *State) gather(nets forest) {
	count := len(s.room.points)
	s.net = make([]int, count)
	numbers := make([]int, count)
	for i := range count {
		root := nets.root(i)
		if numbers[root] == 0 {
			s.members = append(s.members, nil)
			numbers[root] = len(s.members)
		}
		n := numbers[root] - 1
		s.net[i] = n
		s.members[n] = append(s.members[n], i)
	}
	s.drivers = make([][]int, len(s.members))
	on := s.on()
	for i, k := range s.room.kinds {
		if k == gearOutput || k == matrixOutput && s.drives(i, on) {
			s.drivers[s.net[i]] = append(s.drivers[s.net[i]], i)
		}
	}
}

func (s *State) on() map[int]bool {
	on := map[int]bool{}
	for _, r := range s.routes {
		on[r.out] = true
	}
	return on
}

// drives says whether a matrix output drives its net: an amplifier always
// does, unless it lets go when it is off.
func (s *State) drives(output int, on map[int]bool) bool {
	matrix := s.room.points[output].Owner
	return !s.room.contacts[matrix] && (on[output] || !s.room.letsGo[matrix])
}

// listen carries each gear output from its net through the amplifiers. Going
// forward from the outputs, a ring of nets that nothing drives hears nothing.
func (s *State) listen() {
	leads := make([][]int, len(s.members))
	for _, r := range s.routes {
		leads[s.net[r.in]] = append(leads[s.net[r.in]], s.net[r.out])
	}
	s.heard = make([][]int, len(s.members))
	last := make([]int, len(s.members))
	var queue []int
	for source, k := range s.room.kinds {
		if k != gearOutput {
			continue
		}
		queue = append(queue[:0], s.net[source])
		last[s.net[source]] = source + 1
		for len(queue) > 0 {
			n := queue[0]
			queue = queue[1:]
			s.heard[n] = append(s.heard[n], source)
			for _, next := range leads[n] {
				if last[next] != source+1 {
					last[next] = source + 1
					queue = append(queue, next)
				}
			}
		}
	}
}
