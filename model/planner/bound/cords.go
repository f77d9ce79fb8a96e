package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

// addCords adds the new cords that a source could go by; the places that they lead to. What one
// of them costs is paid where it ends, since several could begin where one does. Those of a zone
// begin together, but for those of jacks from which more than one would go then: these pay for
// the jack, and for the old cord of which they are made, as often as they use it.
func (f *networks) addCords(root int) []int {
	ins := make([][]int, f.zones.count)
	var starts, places []int
	for j := range f.Jacks {
		if !f.brings(f.of.source, j) {
			continue
		}
		if !f.noSource(j) {
			starts = append(starts, j)
		}
		if n := f.Jacks[j].Node; n != root && len(f.Always(n)) == 0 {
			ins[f.zones.of[j]], places = append(ins[f.zones.of[j]], j), append(places, n)
		}
	}
	f.addFrom(starts, ins)
	slices.Sort(places)
	return slices.Compact(places)
}

// addFrom adds the cords that begin at some jacks: to destinations that are served without, only where
// the plug at the beginning could guard something.
func (f *networks) addFrom(starts []int, ins [][]int) {
	rest, some := make([][]int, len(ins)), false
	for z := range ins {
		rest[z] = slices.DeleteFunc(slices.Clone(ins[z]), f.served)
		some = some || len(rest[z]) < len(ins[z])
	}
	if !some {
		f.addCordsFrom(starts, ins)
		return
	}
	f.addCordsFrom(slices.DeleteFunc(slices.Clone(starts), f.problem.Guards), rest)
	f.addCordsFrom(slices.DeleteFunc(slices.Clone(starts), func(j int) bool { return !f.problem.Guards(j) }), ins)
}

func (f *networks) addCordsFrom(starts []int, ins [][]int) {
	f.addTogether(starts, ins)
	for _, j := range starts {
		if f.alone[[2]int{f.of.source, j}] {
			f.addAlone(j, ins)
		}
	}
}

// addTogether adds the cords that begin at any of some jacks, by zones.
func (f *networks) addTogether(starts []int, ins [][]int) {
	starts = slices.DeleteFunc(slices.Clone(starts), func(j int) bool { return f.alone[[2]int{f.of.source, j}] })
	from := slices.Repeat([]int{graph.None}, f.zones.count)
	for _, j := range starts {
		z := f.zones.of[j]
		if from[z] == graph.None {
			from[z] = f.join()
		}
		f.addArc(f.at(f.Jacks[j].Node), from[z], 0, graph.None, f.things.jack(j))
	}
	starts = slices.DeleteFunc(starts, func(j int) bool { return len(f.olds.in[j]) == 0 })
	for b := range ins {
		ends := map[int]int{} // vertices, by kind
		for a, v := range from {
			need := f.zones.need[a][b]
			if v == graph.None || need == beyond || len(ins[b]) == 0 {
				continue
			}
			kind := f.kind(need)
			if _, found := ends[kind]; !found {
				ends[kind] = f.add()
				f.addEnds(ends[kind], ins[b], need)
			}
			f.addArc(v, ends[kind], 0, graph.None)
		}
		f.addMade(starts, ins[b], b)
	}
}

// addMade adds the cords to jacks of a zone that are made of old ones whose other end moves.
func (f *networks) addMade(starts, ins []int, zone int) {
	made := map[int]int{} // vertices, by kind
	for _, j := range starts {
		need := f.zones.need[f.zones.of[j]][zone]
		if need == beyond || len(ins) == 0 {
			continue
		}
		for _, g := range f.madeOf(j, need) {
			kind := f.kind(need)
			if _, found := made[kind]; !found {
				made[kind] = f.join()
				ends := f.add()
				f.addArc(made[kind], ends, 0, graph.None)
				for _, i := range ins {
					n := f.Jacks[i].Node
					f.addArc(ends, f.at(n), f.guards.cost(n, f.of.source), kind, n, f.things.jack(i))
				}
			}
			f.addArc(f.at(f.Jacks[j].Node), made[kind], 2*unit, graph.None, f.things.jack(j), f.things.old(g))
		}
	}
}

// addAlone adds the cords that begin at one jack and are told apart from those of others.
func (f *networks) addAlone(j int, ins [][]int) {
	jack := f.things.jack(j)
	for b := range ins {
		need := f.zones.need[f.zones.of[j]][b]
		if need == beyond || len(ins[b]) == 0 {
			continue
		}
		f.addEnds(f.begin(j), ins[b], need, jack)
		for _, g := range f.madeOf(j, need) {
			from := f.begin(j)
			for _, i := range ins[b] {
				f.addEnd(from, i, f.kind(need), jack, f.things.old(g))
			}
		}
	}
}

// join is a vertex at which cords of several jacks begin.
func (f *networks) join() int {
	v := f.add()
	f.of.together[v] = true
	return v
}

// begin is a vertex at which cords from one jack begin.
func (f *networks) begin(j int) int {
	v := f.add()
	f.addArc(f.at(f.Jacks[j].Node), v, 0, graph.None)
	return v
}

// addEnds adds new cords to some jacks, made of old cords or not.
func (f *networks) addEnds(vertex int, ins []int, need measure.Length, uses ...int) {
	kind := f.kind(need)
	for _, i := range ins {
		f.addEnd(vertex, i, kind, uses...)
		for _, g := range f.madeOf(i, need) {
			f.addEnd(vertex, i, kind, append(slices.Clip(uses), f.things.old(g))...)
		}
	}
}

func (f *networks) addEnd(vertex, i, kind int, uses ...int) {
	n := f.Jacks[i].Node
	f.addArc(vertex, f.at(n), 2*unit+f.guards.cost(n, f.of.source), kind, append([]int{n, f.things.jack(i)}, uses...)...)
}

// kind is the first kind of cord that is long enough; None where the stock has no end.
func (f *networks) kind(need measure.Length) int {
	if f.problem.Stock.Unlimited {
		return graph.None
	}
	return slices.IndexFunc(f.problem.Stock.Kinds, func(k studio.StockCord) bool { return k.Length >= need })
}

// madeOf are the old cords in a jack that are long enough.
func (f *networks) madeOf(j int, need measure.Length) []int {
	s := &f.problem.Stock
	return slices.DeleteFunc(slices.Clone(f.olds.in[j]), func(g int) bool {
		return !s.Unlimited && s.Kinds[s.Old[f.olds.cords[g]]].Length < need
	})
}
