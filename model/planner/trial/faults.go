package trial

import (
	"slices"
)

// Hears are the sources that are heard at a point, in order.
func (r *Trial) Hears(at int) []int { return r.State.HeardAt(at) }

func (r *Trial) judgeNet(at int) int {
	total := 0
	if r.State.CountDrivers(at) > 1 {
		total += joinedWeight
	}
	for _, n := range r.State.NodesOf(at) {
		for _, in := range r.Nodes[n].Inputs {
			total += r.judgeInput(in)
		}
	}
	return total
}

func (r *Trial) judgeInput(in int) int {
	a, heard, total := &r.problem.Asks[in], r.Hears(in), 0
	for _, w := range a.Wants {
		source := r.SourceOf[r.problem.Session.Wants[w].Source]
		if _, ok := slices.BinarySearch(heard, source); ok {
			total += strayWeight * (len(heard) - 1)
		} else {
			total += missingWeight + strayWeight*len(heard)
		}
	}
	if a.Silent {
		total += strayWeight * len(heard)
	}
	if !a.Named() && !a.Anything {
		for _, s := range heard {
			if !slices.Contains(a.May, s) {
				total += strayWeight
			}
		}
	}
	return total
}
