package planner

import "slices"

// findLoops says whether a signal from one of some nets comes back to a net where
// it was. A loop that was not there before a change goes through a net that the
// change has made.
func (r *trial) findLoops(from []int) bool {
	number := map[int]int{}
	var reached []int
	reach := func(at int) int {
		n, ok := number[at]
		if !ok {
			n = len(reached)
			number[at] = n
			reached = append(reached, at)
		}
		return n
	}
	for _, at := range from {
		if r.flowsOn(at) {
			reach(at)
		}
	}
	var ways [][2]int
	for i := 0; i < len(reached); i++ {
		r.onward(reached[i], func(to int) { ways = append(ways, [2]int{i, reach(to)}) })
	}
	return len(ways) > 0 && ringed(ways, len(reached))
}

// flowsOn says whether a signal on a net could go on through gear.
func (r *trial) flowsOn(at int) bool {
	return slices.ContainsFunc(r.nets[at].nodes, func(n int) bool { return len(r.flows[n])+len(r.ahead[n]) > 0 })
}

// onward calls f with the nets that a signal on one goes on to, through gear and
// amplifiers, but for loops that are meant.
func (r *trial) onward(at int, f func(to int)) {
	for _, n := range r.nets[at].nodes {
		for _, w := range r.flows[n] {
			if !r.stolen(w.in) {
				f(r.net[w.to])
			}
		}
		for _, x := range r.ahead[n] {
			c := r.crosses[x]
			if o := r.outputs[c.output]; !r.meant[c.input] && !r.meant[o.point] {
				f(r.net[o.node])
			}
		}
	}
}

// ringed says whether one can go along ways and come back: it takes away what
// nothing leads to until nothing is left, or a ring (Kahn 1962).
func ringed(ways [][2]int, count int) bool {
	into, first, next := make([]int, count), make([]int, count), make([]int, len(ways))
	for i, w := range ways {
		into[w[1]]++
		next[i] = first[w[0]]
		first[w[0]] = i + 1
	}
	var free []int
	for at := range count {
		if into[at] == 0 && first[at] != 0 {
			free = append(free, at)
		}
	}
	left := len(ways)
	for len(free) > 0 {
		at := free[len(free)-1]
		free = free[:len(free)-1]
		for i := first[at]; i != 0; i = next[i-1] {
			left--
			if to := ways[i-1][1]; into[to] == 1 {
				into[to] = 0
				free = append(free, to)
			} else {
				into[to]--
			}
		}
	}
	return left > 0
}
