package tidy

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/measure"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// Of plans that are alike in every number, one is as short as can be had by
// exchanging places that do each other's work: two inputs of a matrix, two lines
// of a multicore, two jacks of a mult. Of those that are as short, it has the
// cords in the order of the bay, so that the first goes to the first.

// Straighten exchanges places as long as the cords become shorter by it. Where a cord comes to
// do only what a normal does as well, that and all that is not needed any more is left out.
func Straighten(t *problem.Problem, f *objective.Candidate) *objective.Candidate {
	for {
		f = straightened(t, f)
		pruned, ok := Complete(t, f.Patch)
		if !ok || !pruned.Score.Less(f.Score) {
			return f
		}
		f = pruned
	}
}

func straightened(t *problem.Problem, f *objective.Candidate) *objective.Candidate {
	s := straightener{Graph: t.Graph, problem: t, trial: trial.New(t, f.Patch), best: f, alike: alikeNodes(t)}
	for s.shorten() {
	}
	s.besides = besides(t, s.best.Patch)
	for s.pass() {
	}
	return s.best
}

type straightener struct {
	*graph.Graph
	problem *problem.Problem
	trial   *trial.Trial
	best    *objective.Candidate
	// alike are the nodes of each shape.
	alike map[string][]int
	// besides are the plugs of lines that belong together.
	besides []beside
}

// pass exchanges what it can once, and says whether it exchanged anything.
func (s *straightener) pass() bool {
	any := false
	for _, c := range slices.Clone(s.best.Patch.Cords) {
		for _, j := range c {
			if j == graph.None || slices.Contains(s.problem.Present.Cords, c) {
				continue
			}
			any = s.tryJacks(j) || any
			any = s.tryNodes(s.Jacks[j].Node) || any
		}
	}
	return any
}

// tryJacks exchanges a jack with the others of its node.
func (s *straightener) tryJacks(i int) bool {
	for _, j := range s.Nodes[s.Jacks[i].Node].Jacks {
		if i != j && s.problem.Usable(j) && s.exchange(map[int]int{i: j, j: i}, nil) {
			return true
		}
	}
	return false
}

// tryNodes exchanges a node with the others of its shape.
func (s *straightener) tryNodes(n int) bool {
	for _, m := range s.alike[shape(s.problem, n)] {
		if n == m {
			continue
		}
		jacks, crosses, ok := mirror(s.problem, n, m)
		if ok && s.exchange(jacks, crosses) {
			return true
		}
	}
	return false
}

// alikeNodes finds the nodes that could do each other's work.
func alikeNodes(t *problem.Problem) map[string][]int {
	alike := map[string][]int{}
	for n := range t.Nodes {
		if shape := shape(t, n); shape != "" {
			alike[shape] = append(alike[shape], n)
		}
	}
	return alike
}

// shape tells nodes apart that cannot do each other's work; it is empty for one
// that has gear at it, whose work is its own.
func shape(t *problem.Problem, n int) string {
	at := t.Nodes[n]
	if len(at.Jacks) == 0 || len(at.Sources)+len(at.Inputs)+len(at.Ports) > 0 {
		return ""
	}
	shape := fmt.Sprint(len(at.Jacks))
	for _, o := range at.Outputs {
		shape += " " + t.Outputs[o].Matrix
	}
	for i, x := range at.Ins {
		if in := t.Points[t.Crosses[x].Input].Owner; i == 0 || t.Crosses[x].Input != t.Crosses[at.Ins[i-1]].Input {
			shape += " > " + in
		}
	}
	return shape
}

// mirror are the jacks and crosspoints of two nodes, each with that of the other
// which has its place there; false where one lacks a crosspoint of the other.
func mirror(t *problem.Problem, n, m int) (jacks, crosses map[int]int, ok bool) {
	jacks, crosses = map[int]int{}, make(map[int]int, len(t.Nodes[n].Ins)+len(t.Nodes[n].Outs)+len(t.Nodes[m].Ins)+len(t.Nodes[m].Outs))
	for i, j := range t.Nodes[n].Jacks {
		k := t.Nodes[m].Jacks[i]
		jacks[j], jacks[k] = k, j
	}
	outputs := map[int]int{}
	for i, o := range t.Nodes[n].Outputs {
		p := t.Nodes[m].Outputs[i]
		outputs[o], outputs[p] = p, o
	}
	inputs := map[int]int{}
	ins, others := inputsAt(t, n), inputsAt(t, m)
	for i, p := range ins {
		inputs[p], inputs[others[i]] = others[i], p
	}
	other := func(of map[int]int, p int) int {
		if q, ok := of[p]; ok {
			return q
		}
		return p
	}
	for _, at := range []int{n, m} {
		for _, x := range slices.Concat(t.Nodes[at].Ins, t.Nodes[at].Outs) {
			c := t.Crosses[x]
			y, ok := t.CrossAt(other(outputs, c.Output), other(inputs, c.Input))
			if !ok {
				return nil, nil, false
			}
			crosses[x] = y
		}
	}
	return jacks, crosses, true
}

// inputsAt are the inputs of matrices at a node.
func inputsAt(t *problem.Problem, n int) []int {
	var inputs []int
	for _, x := range t.Nodes[n].Ins {
		if in := t.Crosses[x].Input; !slices.Contains(inputs, in) {
			inputs = append(inputs, in)
		}
	}
	return inputs
}

// exchange puts everything in other jacks and at other crosspoints, and keeps it
// if the plan is shorter by that and no worse.
func (s *straightener) exchange(jacks, crosses map[int]int) bool {
	out, in := s.moved(jacks, crosses)
	if len(out) == 0 || !s.usable(in) {
		return false
	}
	moved, worse := s.moveBesides(jacks)
	if worse > 0 || worse == 0 && !s.shorter(out, in) {
		return false
	}
	s.trial.Change(out, in)
	if s.keeps(worse < 0) {
		s.besides = moved
		return true
	}
	s.trial.Change(in, out)
	return false
}

// moved are the parts that go elsewhere, and what they become.
func (s *straightener) moved(jacks, crosses map[int]int) (out, in []graph.Part) {
	add := func(p, q graph.Part) {
		if p != q && !slices.Contains(out, p) {
			out, in = append(out, p), append(in, q)
		}
	}
	other := func(j int) int {
		if k, ok := jacks[j]; ok {
			return k
		}
		return j
	}
	for _, j := range slices.Sorted(maps.Keys(jacks)) {
		switch p := s.trial.PartAt(j); p.Kind {
		case graph.Cord:
			ends := [2]int{other(p.A), graph.None}
			if p.B != graph.None {
				ends[1] = other(p.B)
			}
			ends = graph.Ordered(ends)
			add(p, graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]})
		case graph.Lead:
			add(p, graph.Part{Kind: graph.Lead, A: p.A, B: other(p.B)})
		case graph.Dummy:
			add(p, graph.Part{Kind: graph.Dummy, A: other(p.A)})
		case graph.Cross:
		}
	}
	var closed []int
	for x := range crosses {
		if slices.Contains(s.trial.State.Behind(s.Crosses[x].Output), x) {
			closed = append(closed, x)
		}
	}
	slices.Sort(closed)
	for _, x := range closed {
		add(graph.Part{Kind: graph.Cross, A: x}, graph.Part{Kind: graph.Cross, A: crosses[x]})
	}
	return out, in
}

// usable says whether no part is in a faulty jack.
func (s *straightener) usable(parts []graph.Part) bool {
	return !slices.ContainsFunc(parts, func(p graph.Part) bool {
		return slices.ContainsFunc(p.Jacks(), func(j int) bool { return !s.problem.Usable(j) })
	})
}

// shorter says whether the cords would become shorter, or come into order.
func (s *straightener) shorter(out, in []graph.Part) bool {
	var was, is measure.Length
	for i, p := range out {
		was, is = was+s.length(p), is+s.length(in[i])
	}
	if was != is {
		return is < was
	}
	return slices.CompareFunc(sortedCords(in), sortedCords(out), func(a, b [2]int) int {
		return cmp.Or(a[0]-b[0], a[1]-b[1])
	}) < 0
}

func (s *straightener) length(p graph.Part) measure.Length {
	if p.Kind != graph.Cord || p.B == graph.None {
		return 0
	}
	return s.problem.Stock.Need(p.A, p.B)
}

func sortedCords(parts []graph.Part) [][2]int {
	var d graph.Patch
	for _, p := range parts {
		if p.Kind == graph.Cord {
			d.Cords = append(d.Cords, [2]int{p.A, p.B})
		}
	}
	d.Sort()
	return d.Cords
}

// keeps takes the draft as it is now for the best if it is no worse than that. Where
// lines come into order by it, a matrix may switch more for it, which is no hand's work.
func (s *straightener) keeps(order bool) bool {
	if s.trial.Wrong() > 0 {
		return false
	}
	d := s.trial.Patch()
	if s.problem.Stock.Shortage(d.Cords) != nil || s.Parted(d) || !within(s.problem, d) || !s.problem.KeepsWays(d) || !mayHang(s.problem, s.trial.State, d) {
		return false
	}
	f, ok := objective.Of(s.problem, d)
	was := s.best.Score
	if ok && order {
		was.Changed = max(was.Changed, f.Score.Changed)
	}
	if !ok || was.Less(f.Score) || !s.problem.Gives(d) {
		return false
	}
	s.best = f
	return true
}

// within says whether every cord and lead of a draft reaches.
func within(t *problem.Problem, d graph.Patch) bool {
	for _, c := range d.Cords {
		if c[1] == graph.None {
			if !t.Stock.AnyHangs(c[0]) {
				return false
			}
		} else if !t.Stock.Any(c[0], c[1]) && !slices.Contains(t.Present.Cords, c) {
			return false
		}
	}
	for _, l := range d.Leads {
		if !t.Stock.LeadGoes(l[0], l[1]) {
			return false
		}
	}
	return true
}

// mayHang says whether all cords of a draft that hang may, where a state is that of the draft.
func mayHang(t *problem.Problem, n *graph.State, d graph.Patch) bool {
	return !slices.ContainsFunc(d.Cords, func(c [2]int) bool { return c[1] == graph.None && !problem.MayHang(t, n, c[0]) })
}
