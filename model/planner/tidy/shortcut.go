package tidy

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
)

// shorten lets new cords go straight to where a relay takes their signal: the cord is
// plugged all the same, and the crosspoint need not close. It says whether it could.
func (s *straightener) shorten() bool {
	any := false
	for _, c := range slices.Clone(s.best.Patch.Cords) {
		if c[1] == graph.None || slices.Contains(s.problem.Present.Cords, c) {
			continue
		}
		for i := range c {
			if s.shortenAt(c[1-i], c[i]) {
				any = true
				break
			}
		}
	}
	return any
}

// shortenAt takes the end of a cord out of a jack from which a relay leads on, and puts
// it in one behind the relay.
func (s *straightener) shortenAt(stays, leaves int) bool {
	n := s.Jacks[leaves].Node
	for _, x := range s.closedRelays(n) {
		beyond := s.Crosses[x].From
		if beyond == n {
			beyond = s.Outputs[s.Crosses[x].Output].Node
		}
		out := []graph.Part{s.trial.PartAt(leaves), {Kind: graph.Cross, A: x}}
		s.trial.Change(out, nil)
		jacks := s.freeJacks(s.trial.State.NodesOf(s.trial.State.NetOf(beyond)), stays)
		s.trial.Change(nil, out)
		for _, j := range jacks {
			if ends := graph.Ordered([2]int{stays, j}); s.improves(out, []graph.Part{{Kind: graph.Cord, A: ends[0], B: ends[1]}}) {
				return true
			}
		}
	}
	return false
}

// closedRelays are the crosspoints by which relays join a node with another.
func (s *straightener) closedRelays(n int) []int {
	var closed []int
	for _, x := range s.best.Patch.Crosses {
		if o := s.Outputs[s.Crosses[x].Output]; o.Relay && (s.Crosses[x].From == n || o.Node == n) && len(s.Ganged[x]) == 0 {
			closed = append(closed, x)
		}
	}
	return closed
}

// freeJacks are those of some nodes that hold nothing and that a cord from a jack
// reaches, the nearest first.
func (s *straightener) freeJacks(nodes []int, from int) []int {
	var jacks []int
	for _, n := range nodes {
		for _, j := range s.Nodes[n].Jacks {
			if s.problem.Usable(j) && s.trial.Plugs[j].Kind == 0 && s.problem.Stock.Any(from, j) {
				jacks = append(jacks, j)
			}
		}
	}
	slices.SortFunc(jacks, func(i, j int) int {
		return cmp.Or(cmp.Compare(s.problem.Stock.Need(from, i), s.problem.Stock.Need(from, j)), i-j)
	})
	return jacks
}

// improves changes the plan where it is worth more by that.
func (s *straightener) improves(out, in []graph.Part) bool {
	was := s.best
	s.trial.Change(out, in)
	if s.keeps(false) && s.best.Score.Less(was.Score) {
		return true
	}
	s.best = was
	s.trial.Change(in, out)
	return false
}
