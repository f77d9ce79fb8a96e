package planner

import "slices"

// hears are the sources that are heard at a point, in order.
func (r *trial) hears(at int) []int { return r.state.HeardAt(at) }

func (r *trial) judgeNet(at int) int {
	total := 0
	if r.state.CountDrivers(at) > 1 {
		total += joinedWeight
	}
	for _, n := range r.state.NodesOf(at) {
		for _, in := range r.Nodes[n].Inputs {
			total += r.judgeInput(in)
		}
	}
	return total
}

func (r *trial) judgeInput(in int) int {
	a, heard, total := &r.task.asks[in], r.hears(in), 0
	for _, w := range a.wants {
		source := r.SourceOf[r.task.session.Wants[w].Source]
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
