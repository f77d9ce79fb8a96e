package bound

import (
	"slices"

	"bayhand/model/graph"
)

// walker walks over the ways by which a signal gets from node to node without a
// plug put anywhere: by all normals, by the cords and leads that are in and may stay,
// and by every crosspoint. A place is a node, or a matrix of which every output can listen to
// every input, or one of relays that is passed from an output to an input.
type walker struct {
	*graph.Graph
	*facts
	next, before [][]way // by place
	seen         []int   // by place, the number of the walk that came there last
	walks        int
	// plugged is a jack that is taken to hold a plug; None for none.
	plugged int
	// out is a cord of the present patch that is taken to be in no more; None for none.
	// KeepsCords says that what the plugs of cords break is broken.
	out        int
	keepsCords bool
	at         []int // by jack, the cord of the present patch with two ends in it; None for none
}

// way leads to a place. BrokenByDummy says so of one by a normal that a dummy breaks
// now.
type way struct {
	to            int
	brokenByDummy bool
	// breaks are the jacks in which a plug breaks it; None for none.
	breaks [2]int
	// cord is the cord of the present patch that it goes by; None for none.
	cord int
}

// unbreakable is a way that no plug breaks.
var unbreakable = way{breaks: [2]int{graph.None, graph.None}, cord: graph.None}

func newWalker(f *facts) *walker {
	g := f.problem.Graph
	places := len(g.Nodes) + len(g.Studio.Matrices)
	w := &walker{Graph: g, facts: f, next: make([][]way, places), before: make([][]way, places), seen: make([]int, places), plugged: graph.None, out: graph.None}
	w.at = slices.Repeat([]int{graph.None}, len(g.Jacks))
	w.addWays()
	return w
}

func (f *walker) addWays() {
	for _, m := range f.Normals {
		w := way{brokenByDummy: f.brokenByDummy(m), breaks: [2]int{graph.None, graph.None}, cord: graph.None}
		for i, j := range []int{m.A, m.B} {
			if m.Breaks(j) {
				w.breaks[i] = j
			}
		}
		f.join(f.Jacks[m.A].Node, f.Jacks[m.B].Node, w)
	}
	for i, c := range f.problem.Present.Cords {
		if c[1] != graph.None && !f.isGone[i] {
			f.at[c[0]], f.at[c[1]] = i, i
			f.join(f.Jacks[c[0]].Node, f.Jacks[c[1]].Node, way{breaks: unbreakable.breaks, cord: i})
		}
	}
	for _, l := range f.problem.Present.Leads {
		f.join(f.Node[f.Ports[l[0]]], f.Jacks[l[1]].Node, unbreakable)
	}
	f.addCrossways()
}

// brokenByDummy says whether a dummy that could stay breaks a normal. A jack of several
// normals is left out: to pull its dummy could mend more than one.
func (f *walker) brokenByDummy(m graph.Normal) bool {
	for _, j := range []int{m.A, m.B} {
		if m.Breaks(j) && f.held[j] == holdsDummy && !f.dummyGoes(j) && len(f.Jacks[j].Normals) == 1 {
			return true
		}
	}
	return false
}

// join lets signals go between two nodes by metal, but to none that something
// drives whatever the patch: there they would meet.
func (f *walker) join(n, m int, w way) {
	if len(f.Always(m)) == 0 {
		f.lead(n, m, w)
	}
	if len(f.Always(n)) == 0 {
		f.lead(m, n, w)
	}
}

func (f *walker) lead(from, to int, w way) {
	w.to = to
	f.next[from] = append(f.next[from], w)
	w.to = from
	f.before[to] = append(f.before[to], w)
}

func (f *walker) addCrossways() {
	place, inputs := map[string]int{}, map[string]int{}
	for i, m := range f.Studio.Matrices {
		place[m.Name], inputs[m.Name] = len(f.Nodes)+i, m.Inputs
		for n := 1; n <= m.Inputs; n++ {
			f.lead(f.Node[f.Number[m.In(n)]], place[m.Name], unbreakable)
		}
	}
	back := map[string]int{}
	for _, o := range f.Outputs {
		switch all := len(o.Crosses) == inputs[o.Matrix]; {
		case all && o.Relay:
			f.leadBack(o, back)
			if len(f.Always(o.Node)) == 0 {
				f.lead(place[o.Matrix], o.Node, unbreakable)
			}
		case all:
			f.lead(place[o.Matrix], o.Node, unbreakable)
		default:
			f.addCrosses(o)
		}
	}
}

// leadBack adds the ways from an output of relays to the inputs, by a place of their own.
func (f *walker) leadBack(o graph.Output, back map[string]int) {
	at, found := back[o.Matrix]
	if !found {
		at = len(f.next)
		back[o.Matrix] = at
		f.next, f.before, f.seen = append(f.next, nil), append(f.before, nil), append(f.seen, 0)
		for _, x := range o.Crosses {
			if from := f.Crosses[x].From; len(f.Always(from)) == 0 {
				f.lead(at, from, unbreakable)
			}
		}
	}
	f.lead(o.Node, at, unbreakable)
}

// addCrosses adds the ways by the crosspoints of an output that does not have all.
func (f *walker) addCrosses(o graph.Output) {
	for _, x := range o.Crosses {
		switch from := f.Crosses[x].From; {
		case o.Relay:
			f.join(from, o.Node, unbreakable)
		default:
			f.lead(from, o.Node, unbreakable)
		}
	}
}

// walk visits the places that lead on from one, or come before it, where a source
// may be. It goes on where visit says so. Shut says that ways that a dummy breaks
// are no ways.
func (f *walker) walk(from, source int, next [][]way, shut bool, visit func(place int) (on bool)) {
	f.walkAll([]int{from}, source, next, shut, visit)
}

// walkAll is walk from several places.
func (f *walker) walkAll(from []int, source int, next [][]way, shut bool, visit func(place int) (on bool)) {
	f.walks++
	for _, place := range from {
		f.seen[place] = f.walks
	}
	for queue := slices.Clone(from); len(queue) > 0; queue = queue[1:] {
		if !visit(queue[0]) {
			continue
		}
		for _, w := range next[queue[0]] {
			if f.seen[w.to] == f.walks || shut && w.brokenByDummy || f.isBroken(w) || !f.mayBe(w.to, source) {
				continue
			}
			f.seen[w.to] = f.walks
			queue = append(queue, w.to)
		}
	}
}

// isBroken says whether the jack that is taken to hold a plug breaks a way, or it is that
// of a cord that is taken to be gone, or of a normal that a cord breaks that is kept.
func (f *walker) isBroken(w way) bool {
	return f.plugged != graph.None && slices.Contains(w.breaks[:], f.plugged) || w.cord != graph.None && w.cord == f.out ||
		f.keepsCords && (f.cordIn(w.breaks[0]) != graph.None || f.cordIn(w.breaks[1]) != graph.None)
}

// cordIn is the cord with two ends that is in a jack and may stay; None for none.
func (f *walker) cordIn(j int) int {
	if j == graph.None {
		return graph.None
	}
	return f.at[j]
}
