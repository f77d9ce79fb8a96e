package planner

import "slices"

// listen finds what is heard on some nets and on all that they lead to. It only
// ever grows from the outputs of gear, so that a ring that nothing drives hears
// nothing.
func (r *trial) listen(nets []int) {
	stale := r.leadingFrom(nets)
	for _, at := range stale {
		r.faults -= r.nets[at].faults
		r.nets[at].heard, r.nets[at].faults = nil, 0
		r.marks[at] = true
	}
	for queue := slices.Clone(stale); len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		r.marks[at] = false
		heard := r.hearing(at)
		if len(heard) == len(r.nets[at].heard) {
			continue
		}
		r.nets[at].heard = heard
		r.following(at, func(to int) {
			if !r.marks[to] {
				r.marks[to] = true
				queue = append(queue, to)
			}
		})
	}
	for _, at := range stale {
		r.nets[at].faults = r.judgeNet(at)
		r.faults += r.nets[at].faults
	}
}

// leadingFrom are some nets and all those that they lead to through amplifiers.
func (r *trial) leadingFrom(nets []int) []int {
	for len(r.marks) < len(r.nets) {
		r.marks = append(r.marks, false)
	}
	all := slices.Clone(nets)
	for _, at := range all {
		r.marks[at] = true
	}
	for i := 0; i < len(all); i++ {
		r.following(all[i], func(to int) {
			if !r.marks[to] {
				r.marks[to] = true
				all = append(all, to)
			}
		})
	}
	for _, at := range all {
		r.marks[at] = false
	}
	return all
}

// following calls f with the nets that listen to one through amplifiers.
func (r *trial) following(at int, f func(to int)) {
	for _, n := range r.nets[at].nodes {
		for _, x := range r.ahead[n] {
			f(r.net[r.outputs[r.crosses[x].output].node])
		}
	}
}

// hearing is what a net hears, given what those before it do.
func (r *trial) hearing(at int) []int {
	var heard []int
	for _, n := range r.nets[at].nodes {
		heard = append(heard, r.nodes[n].sources...)
		for _, o := range r.nodes[n].outputs {
			if r.outputs[o].relay {
				continue
			}
			for _, x := range r.behind[o] {
				heard = append(heard, r.nets[r.net[r.crosses[x].from]].heard...)
			}
		}
	}
	if len(heard) > 1 {
		slices.Sort(heard)
		heard = slices.Compact(heard)
	}
	return heard
}

// hears are the sources that are heard at a point, in order.
func (r *trial) hears(at int) []int {
	if r.stolen(at) {
		return nil
	}
	return r.nets[r.net[r.node[at]]].heard
}

// stolen says whether something in a socket at the front has taken an input
// over.
func (r *trial) stolen(in int) bool {
	for _, port := range r.fronts[in] {
		if port == nowhere || r.leads[port] != nowhere {
			return true
		}
	}
	return false
}

func (r *trial) judgeNet(at int) int {
	total := 0
	if r.nets[at].drivers > 1 {
		total += joinedWeight
	}
	for _, n := range r.nets[at].nodes {
		for _, in := range r.nodes[n].inputs {
			total += r.judgeInput(in)
		}
	}
	return total
}

func (r *trial) judgeInput(in int) int {
	a, heard, total := &r.asks[in], r.hears(in), 0
	for _, w := range a.wants {
		source := r.sourceOf[r.session.Wants[w].Source]
		if _, ok := slices.BinarySearch(heard, source); ok {
			total += strayWeight * (len(heard) - 1)
		} else {
			total += missingWeight + strayWeight*len(heard)
		}
	}
	if a.silent {
		total += strayWeight * len(heard)
	}
	if !a.named() && !a.anything {
		for _, s := range heard {
			if !slices.Contains(a.may, s) {
				total += strayWeight
			}
		}
	}
	return total
}
