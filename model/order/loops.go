package order

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
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

// mayLoop says whether anything may go round by way of some points. It never says
// no where there is a loop.
func (r *rules) mayLoop(at []name.Point) bool {
	return slices.ContainsFunc(at, func(p name.Point) bool {
		return slices.ContainsFunc(r.facts.insides, func(i inside) bool { return r.returns(p, i) })
	})
}

// returns says whether a signal from a point may come back to it. It looks no
// further than what could come back in any state.
func (r *rules) returns(at name.Point, i inside) bool {
	cycle := r.zones.cycles
	start := r.zones.at(at)
	if !cycle.cyclic(start) {
		return false
	}
	seen := map[name.Point]bool{}
	for queue := []name.Point{at}; len(queue) > 0; queue = queue[1:] {
		for _, p := range r.now.live.Net(queue[0]) {
			for _, out := range append(r.facts.carried(p, i), r.onward(p)...) {
				if r.now.live.Joined(out, at) {
					return true
				}
				if !seen[out] && cycle.same(start, r.zones.at(out)) {
					seen[out] = true
					queue = append(queue, out)
				}
			}
		}
	}
	return false
}

// onward are the outputs of amplifiers that listen to a point, without those
// through which the session allows a loop.
func (r *rules) onward(p name.Point) []name.Point {
	outs := r.now.listening[p]
	if len(outs) == 0 || len(r.facts.session.Loops) == 0 {
		return outs
	}
	if r.facts.loopAllowed(p) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(outs), r.facts.loopAllowed)
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
