package contacts

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Howls says whether a signal goes round for ever: through the metal, through
// amplifiers, and through gear from its inputs to the outputs that it passes
// them to, always or (inside) in what the software carries now. After as many
// rounds as there are outputs only such a signal is left.
func (r *Readings) Howls(inside []studio.Pass) bool {
	fed := r.feeds(inside)
	alive := make([]bool, len(r.panel.outputs))
	for k := range alive {
		alive[k] = true
	}
	for range r.panel.outputs {
		next := make([]bool, len(alive))
		for k := range next {
			next[k] = slices.ContainsFunc(fed[k], func(by int) bool { return alive[by] })
		}
		if !slices.Contains(next, true) {
			return false
		}
		alive = next
	}
	return len(alive) > 0
}

// feeds lists, for each output, the sources that arrive at the inputs that come
// out of it.
func (r *Readings) feeds(inside []studio.Pass) [][]int {
	fed := make([][]int, len(r.panel.outputs))
	for k, out := range r.panel.outputs {
		for _, in := range r.panel.selects[out] {
			fed[k] = append(fed[k], r.present(in)...)
		}
		for _, in := range r.panel.passes[out] {
			fed[k] = append(fed[k], r.present(in)...)
		}
		for _, p := range inside {
			if p.Out == out {
				fed[k] = append(fed[k], r.present(p.In)...)
			}
		}
	}
	return fed
}

// present are the sources that are at a point. Among outputs that fight, a weak
// one is drowned by the strong ones that it is joined with: where one of them
// arrives, all are.
func (r *Readings) present(at name.Point) []int {
	var all []int
	for k := range r.panel.outputs {
		if r.arrives(at, k) {
			all = append(all, r.rivals(k)...)
		}
	}
	return all
}

// Origins are the gear outputs whose signal comes to a point, sorted: through the
// metal, through amplifiers, and out of gear that they went into before. A signal
// that outputs in a fight drown counts as there.
func (r *Readings) Origins(at name.Point, inside []studio.Pass) []name.Point {
	fed := r.feeds(inside)
	seen := make([]bool, len(r.panel.outputs))
	var origins []name.Point
	for queue := r.present(at); len(queue) > 0; queue = queue[1:] {
		k := queue[0]
		if seen[k] {
			continue
		}
		seen[k] = true
		queue = append(queue, fed[k]...)
		if out := r.panel.outputs[k]; r.panel.isGear[out] {
			origins = append(origins, out)
		}
	}
	slices.SortFunc(origins, name.Point.Compare)
	return origins
}
