package planner

import "slices"

// path is a shortest way by metal from a node to one that will do; nil if there
// is none.
func (r *trial) path(from int, there func(n int) bool) []stride {
	type came struct {
		by   thing
		from int
	}
	seen := map[int]came{from: {from: nowhere}}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		if there(n) {
			var way []stride
			for n != from {
				c := seen[n]
				way = append(way, stride{thing: c.by, to: n})
				n = c.from
			}
			slices.Reverse(way)
			return way
		}
		r.next(n, func(by thing, to int) {
			if _, ok := seen[to]; !ok {
				seen[to] = came{by, n}
				queue = append(queue, to)
			}
		})
	}
	return nil
}

// wayFrom is a way from a node back to a source that is heard there, through
// amplifiers; nil where it stands at the node itself.
func (r *trial) wayFrom(node, source int) []stride {
	var way []stride
	for range len(r.outputs) + 1 {
		at := r.node[r.sources[source]]
		if r.net[at] == r.net[node] {
			return append(way, r.path(node, func(n int) bool { return n == at })...)
		}
		x := r.feeding(node, source)
		if x == nowhere {
			return way
		}
		c := r.crosses[x]
		way = append(way, r.path(node, func(n int) bool { return n == r.outputs[c.output].node })...)
		way = append(way, stride{thing: thing{aCross, x, 0}, to: c.from})
		node = c.from
	}
	return way
}

// feeding is a closed crosspoint of an amplifier that brings a source to the net
// of a node; -1 if none does.
func (r *trial) feeding(node, source int) int {
	for _, n := range r.nets[r.net[node]].nodes {
		for _, o := range r.nodes[n].outputs {
			if r.outputs[o].relay {
				continue
			}
			for _, x := range r.behind[o] {
				if _, ok := slices.BinarySearch(r.nets[r.net[r.crosses[x].from]].heard, source); ok {
					return x
				}
			}
		}
	}
	return nowhere
}
