package plan

// floor is a number of plugs that every plan handles at least, found without any
// search. A want that cannot be had by normals, by the cords that are in and by
// crosspoints alone needs a cord more, or one end of a cord elsewhere; both are
// two plugs. A cord carries one source, and brings it to one more of the parts
// that the room falls into while no plug is moved. It takes one walk over the
// room for each source that is asked for.
func (t *task) floor() int {
	bySource := map[int][]int{}
	for _, w := range t.session.Wants {
		s := t.sourceOf[w.Source]
		bySource[s] = append(bySource[s], t.node[t.number[w.Destination]])
	}
	least, f := 0, t.newFloor()
	for _, s := range sortedKeys(bySource) {
		least += f.of(s, bySource[s])
	}
	for _, c := range t.present.cords {
		if c[1] == nowhere {
			least-- // its other end is plugged for one
		}
	}
	return max(0, least)
}

// floorer knows the ways from node to node that are there, or could be, without
// a plug put anywhere: by all normals, the cords and leads that are in, and every
// crosspoint. On has them as a signal can go, joined in both directions.
type floorer struct {
	*task
	on, joined [][]int
}

func (t *task) newFloor() *floorer {
	f := &floorer{t, make([][]int, len(t.nodes)), make([][]int, len(t.nodes))}
	for _, m := range t.normals {
		f.both(t.jacks[m.a].node, t.jacks[m.b].node)
	}
	for _, c := range t.present.cords {
		if c[1] != nowhere {
			f.both(t.jacks[c[0]].node, t.jacks[c[1]].node)
		}
	}
	for _, l := range t.present.leads {
		f.both(t.node[t.ports[l[0]]], t.jacks[l[1]].node)
	}
	for _, x := range t.crosses {
		from, to := x.from, t.outputs[x.output].node
		if t.outputs[x.output].relay {
			f.both(from, to)
			continue
		}
		f.on[from] = append(f.on[from], to)
		f.joined[from], f.joined[to] = append(f.joined[from], to), append(f.joined[to], from)
	}
	return f
}

func (f *floorer) both(n, m int) {
	f.on[n], f.on[m] = append(f.on[n], m), append(f.on[m], n)
	f.joined[n], f.joined[m] = append(f.joined[n], m), append(f.joined[m], n)
}

// of is the floor of one source and the nodes that ask for it.
func (f *floorer) of(source int, destinations []int) int {
	at := f.node[f.sources[source]]
	comes, near := f.walk(at, source, f.on), f.walk(at, source, f.joined)
	parts, lacking, leads := 0, false, len(f.nodes[at].ports)
	for _, n := range destinations {
		if comes[n] {
			continue
		}
		lacking = true
		leads += len(f.nodes[n].ports)
		if near[n] {
			continue
		}
		parts++
		for m, in := range f.walk(n, source, f.joined) {
			near[m] = near[m] || in
		}
	}
	switch {
	case !lacking:
		return 0
	case leads > 0:
		return max(1, 2*parts-leads)
	}
	return max(2, 2*parts)
}

// walk says of each node whether one can get there from another, but through
// none that other gear drives: there the source would meet its output.
func (f *floorer) walk(from, source int, next [][]int) []bool {
	seen := make([]bool, len(f.nodes))
	seen[from] = true
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		for _, n := range next[queue[0]] {
			if seen[n] || f.drivenByOther(n, source) {
				continue
			}
			seen[n] = true
			queue = append(queue, n)
		}
	}
	return seen
}

func (f *floorer) drivenByOther(n, source int) bool {
	for _, s := range f.nodes[n].sources {
		if s != source {
			return true
		}
	}
	return false
}
