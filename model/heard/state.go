package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// State is a room with one patch in it. It is safe for concurrent use as long
// as nobody changes it; only a Live changes its own.
type State struct {
	room *Room
	// plugged counts the plugs in each jack: one, in a patch that was read.
	plugged []int
	// loose are the joints that the patch makes at each island: cords, leads,
	// closed relays.
	loose [][]joint
	// behind are the inputs that each amplifier output listens to; ahead are the
	// outputs that listen to each input.
	behind, ahead [][]int
	// net is the number of each island's net.
	net  []int
	nets []net
	// unused numbers of nets, to be taken again.
	unused []int
	// contended counts the nets that more than one output drives.
	contended int
}

// net is the islands that one patch makes one.
type net struct {
	islands []int
	drivers int
	// heard are the gear outputs heard here, in the order of their numbers.
	heard []int
}

// Hear computes every net of a patch and what is heard on it. Points that the
// room does not have are left out (see Unknown). It takes time linear in the
// size of the room, and in what is heard behind matrices.
func (r *Room) Hear(p patch.Patch) *State {
	s := &State{
		room:    r,
		plugged: make([]int, len(r.points)),
		loose:   make([][]joint, len(r.islands)),
		behind:  make([][]int, len(r.points)),
		ahead:   make([][]int, len(r.points)),
		net:     make([]int, len(r.islands)),
	}
	s.put(p)
	all := make([]int, len(r.islands))
	for i := range all {
		all[i], s.net[i] = i, none
	}
	s.listen(s.gather(all), &scratch{})
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

const none = -1

func (s *State) holds(p pair) bool {
	return !(p.breaksA && s.plugged[p.a] > 0) && !(p.breaksB && s.plugged[p.b] > 0)
}

// gather makes new nets of islands that are in none, and returns their numbers.
func (s *State) gather(islands []int) []int {
	var made []int
	for _, start := range islands {
		if s.net[start] != none {
			continue
		}
		n := s.newNet()
		made = append(made, n)
		s.net[start] = n
		reached := []int{start}
		for i := 0; i < len(reached); i++ {
			reached = s.spread(reached[i], n, reached)
		}
		s.nets[n].islands = reached
		s.countDrivers(n)
	}
	return made
}

func (s *State) newNet() int {
	if last := len(s.unused) - 1; last >= 0 {
		n := s.unused[last]
		s.unused = s.unused[:last]
		s.nets[n] = net{}
		return n
	}
	s.nets = append(s.nets, net{})
	return len(s.nets) - 1
}

// spread puts the islands next to one into its net.
func (s *State) spread(from, n int, reached []int) []int {
	add := func(point int) {
		if to := s.room.island[point]; s.net[to] == none {
			s.net[to] = n
			reached = append(reached, to)
		}
	}
	for _, number := range s.room.islands[from].pairs {
		if p := s.room.pairs[number]; s.holds(p) {
			add(p.a)
			add(p.b)
		}
	}
	for _, j := range s.loose[from] {
		add(j.a)
		add(j.b)
	}
	return reached
}

func (s *State) countDrivers(n int) {
	count := 0
	for _, i := range s.nets[n].islands {
		count += len(s.room.islands[i].sources)
		for _, output := range s.room.islands[i].amplifiers {
			if s.drives(output) {
				count++
			}
		}
	}
	s.nets[n].drivers = count
	if count > 1 {
		s.contended++
	}
}

// drives says whether an amplifier's output drives its net: it always does,
// unless it lets go when it is off.
func (s *State) drives(output int) bool {
	return len(s.behind[output]) > 0 || !s.room.letsGo[s.room.points[output].Owner]
}

// scratch holds marks of nets, all false between uses, so that a change that
// touches two nets of thousands need not make as many marks.
type scratch struct{ seen, waiting []bool }

func (c *scratch) grow(nets int) {
	if len(c.seen) < nets {
		c.seen, c.waiting = make([]bool, nets), make([]bool, nets)
	}
}

// listen computes what is heard on the nets named and on all that they lead to.
// What a net hears only ever grows from the outputs that drive it, so that a
// ring of nets that nothing drives hears nothing.
func (s *State) listen(nets []int, marks *scratch) {
	marks.grow(len(s.nets))
	stale := s.leadingFrom(nets, marks.seen)
	waiting := marks.waiting
	for _, n := range stale {
		s.nets[n].heard = s.nets[n].heard[:0:0]
		waiting[n] = true
	}
	for queue := stale; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		waiting[n] = false
		heard := s.hearing(n)
		if len(heard) == len(s.nets[n].heard) {
			continue
		}
		s.nets[n].heard = heard
		for _, next := range s.next(n) {
			if !waiting[next] {
				waiting[next] = true
				queue = append(queue, next)
			}
		}
	}
}

// leadingFrom are the nets named and all those that they lead to through
// amplifiers, nearest first. It leaves no mark in seen.
func (s *State) leadingFrom(nets []int, seen []bool) []int {
	var all []int
	add := func(n int) {
		if !seen[n] {
			seen[n] = true
			all = append(all, n)
		}
	}
	for _, n := range nets {
		add(n)
	}
	for i := 0; i < len(all); i++ {
		for _, next := range s.next(all[i]) {
			add(next)
		}
	}
	for _, n := range all {
		seen[n] = false
	}
	return all
}

// next are the nets that listen to a net through amplifiers.
func (s *State) next(n int) []int {
	var nets []int
	for _, i := range s.nets[n].islands {
		for _, p := range s.room.islands[i].points {
			for _, output := range s.ahead[p] {
				nets = append(nets, s.netOf(output))
			}
		}
	}
	return nets
}

// hearing is what a net hears, given what those behind it do.
func (s *State) hearing(n int) []int {
	var heard []int
	for _, i := range s.nets[n].islands {
		heard = append(heard, s.room.islands[i].sources...)
		for _, output := range s.room.islands[i].amplifiers {
			for _, input := range s.behind[output] {
				heard = append(heard, s.nets[s.netOf(input)].heard...)
			}
		}
	}
	slices.Sort(heard)
	return slices.Compact(heard)
}

func (s *State) netOf(point int) int { return s.net[s.room.island[point]] }
