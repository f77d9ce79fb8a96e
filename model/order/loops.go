package order

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/patch"
)

// loops are those of the state that neither the old nor the new patch has.
func (r *rules) loops() []hazard {
	r.looped = true
	var found []hazard
	for _, i := range r.facts.insides {
		for _, l := range r.now.live.Loops(i.passes, r.facts.session.Loops) {
			if !r.loopAtEnds(l) {
				found = append(found, hazard{weighsClash, fmt.Sprintf("there is a loop through %s", l.Through[0]), r.audibleAt(r.now, l.Through...)})
			}
		}
	}
	return found
}

// mayLoop says whether anything may go round by way of some nodes. It never says
// no where there is a loop.
func (r *rules) mayLoop(nodes []int) bool {
	return slices.ContainsFunc(nodes, func(n int) bool {
		at := r.zones.ringOf(n)
		return at != noRing && slices.ContainsFunc(r.carried, func(c carried) bool { return r.returns(n, at, c) })
	})
}

// returns says whether a signal from a node may come back to its net, where the software
// carries so much. It looks no further than what could come back in any state: the nodes of
// one ring.
func (r *rules) returns(node, ring int, c carried) bool {
	s := r.now.numbers
	home, back := s.NetOf(node), false
	nets := []int{home}
	visit := func(out int) {
		n := s.Graph.Node[out]
		at := s.NetOf(n)
		back = back || at == home
		if !slices.Contains(nets, at) && r.zones.ringOf(n) == ring {
			nets = append(nets, at)
		}
	}
	for i := 0; i < len(nets) && !back; i++ {
		for _, n := range s.NodesOf(nets[i]) {
			for _, in := range s.Graph.Nodes[n].Inputs {
				for _, out := range c.from(in) {
					visit(out)
				}
			}
			for _, x := range s.Ahead(n) {
				if !r.allowed[s.Graph.Crosses[x].Input] && !r.allowed[s.Graph.Outputs[s.Graph.Crosses[x].Output].Point] {
					visit(s.Graph.Outputs[s.Graph.Crosses[x].Output].Point)
				}
			}
		}
	}
	return back
}

// carried are the outputs that a signal at each input goes on to, through gear and one of what
// the software carries, but for loops that the session allows; by number, once they are known.
type carried struct {
	facts  *facts
	inside inside
	known  [][]int
}

func (c carried) from(in int) []int {
	if c.known[in] == nil {
		g := c.facts.room.Graph()
		c.known[in] = numbersOf(g, c.facts.carried(g.Points[in], c.inside))
	}
	return c.known[in]
}

// loopAtEnds says whether the old or the new patch has a loop, whatever else goes
// round there: metal from each output to the next input, and each crosspoint
// between.
func (r *rules) loopAtEnds(l heard.Loop) bool {
	before, after := r.ends()
	return r.hasLoop(before, r.facts.from, l) || r.hasLoop(after, r.facts.target, l)
}

func (r *rules) hasLoop(s *heard.State, p patch.Patch, l heard.Loop) bool {
	for i := 0; i < len(l.Through); i += 2 {
		in, out := l.Through[i], l.Through[i+1]
		if r.facts.amplifiers[in.Owner] && !slices.Contains(p.Crosspoints, patch.Crosspoint{Output: out, Input: in}) {
			return false
		}
		if !s.Joined(out, l.Through[(i+2)%len(l.Through)]) {
			return false
		}
		if r.facts.gear[in.Owner] != nil && len(s.Hears(in)) == 0 {
			return false // a plug in a socket has not overridden it yet
		}
	}
	return true
}
