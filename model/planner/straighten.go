package planner

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/measure"
)

// Of plans that are alike in every number, one is as short as can be had by
// exchanging places that do each other's work: two inputs of a matrix, two lines
// of a multicore, two jacks of a mult. Of those that are as short, it has the
// cords in the order of the bay, so that the first goes to the first.

// straighten exchanges places as long as the cords become shorter by it.
func (t *task) straighten(f *found) *found {
	s := straightener{task: t, trial: t.try(f.draft), best: f, alike: t.alikeNodes()}
	for s.pass() {
	}
	return s.best
}

type straightener struct {
	*task
	trial *trial
	best  *found
	// alike are the nodes of each shape.
	alike map[string][]int
}

// pass exchanges what it can once, and says whether it exchanged anything.
func (s *straightener) pass() bool {
	any := false
	for _, c := range slices.Clone(s.best.draft.cords) {
		for _, j := range c {
			if j == nowhere || slices.Contains(s.present.cords, c) {
				continue
			}
			any = s.tryJacks(j) || any
			any = s.tryNodes(s.jacks[j].node) || any
		}
	}
	return any
}

// tryJacks exchanges a jack with the others of its node.
func (s *straightener) tryJacks(i int) bool {
	for _, j := range s.nodes[s.jacks[i].node].jacks {
		if i != j && s.usable(j) && s.exchange(map[int]int{i: j, j: i}, nil) {
			return true
		}
	}
	return false
}

// tryNodes exchanges a node with the others of its shape.
func (s *straightener) tryNodes(n int) bool {
	for _, m := range s.alike[s.shape(n)] {
		if n == m {
			continue
		}
		jacks, crosses, ok := s.mirror(n, m)
		if ok && s.exchange(jacks, crosses) {
			return true
		}
	}
	return false
}

// alikeNodes finds the nodes that could do each other's work.
func (t *task) alikeNodes() map[string][]int {
	alike := map[string][]int{}
	for n := range t.nodes {
		if shape := t.shape(n); shape != "" {
			alike[shape] = append(alike[shape], n)
		}
	}
	return alike
}

// shape tells nodes apart that cannot do each other's work; it is empty for one
// that has gear at it, whose work is its own.
func (t *task) shape(n int) string {
	at := t.nodes[n]
	if len(at.jacks) == 0 || len(at.sources)+len(at.inputs)+len(at.ports) > 0 {
		return ""
	}
	shape := fmt.Sprint(len(at.jacks))
	for _, o := range at.outputs {
		shape += " " + t.outputs[o].matrix
	}
	for i, x := range at.ins {
		if in := t.points[t.crosses[x].input].Owner; i == 0 || t.crosses[x].input != t.crosses[at.ins[i-1]].input {
			shape += " > " + in
		}
	}
	return shape
}

// mirror are the jacks and crosspoints of two nodes, each with that of the other
// which has its place there; false where one lacks a crosspoint of the other.
func (t *task) mirror(n, m int) (jacks, crosses map[int]int, ok bool) {
	jacks, crosses = map[int]int{}, map[int]int{}
	for i, j := range t.nodes[n].jacks {
		k := t.nodes[m].jacks[i]
		jacks[j], jacks[k] = k, j
	}
	outputs := map[int]int{}
	for i, o := range t.nodes[n].outputs {
		p := t.nodes[m].outputs[i]
		outputs[o], outputs[p] = p, o
	}
	inputs := map[int]int{}
	ins, others := t.inputsAt(n), t.inputsAt(m)
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
		for _, x := range slices.Concat(t.nodes[at].ins, t.nodes[at].outs) {
			c := t.crosses[x]
			y, ok := t.crossAt(other(outputs, c.output), other(inputs, c.input))
			if !ok {
				return nil, nil, false
			}
			crosses[x] = y
		}
	}
	return jacks, crosses, true
}

// inputsAt are the inputs of matrices at a node.
func (t *task) inputsAt(n int) []int {
	var inputs []int
	for _, x := range t.nodes[n].ins {
		if in := t.crosses[x].input; !slices.Contains(inputs, in) {
			inputs = append(inputs, in)
		}
	}
	return inputs
}

// exchange puts everything in other jacks and at other crosspoints, and keeps it
// if the plan is shorter by that and no worse.
func (s *straightener) exchange(jacks, crosses map[int]int) bool {
	out, in := s.moved(jacks, crosses)
	if len(out) == 0 || !s.shorter(out, in) {
		return false
	}
	s.trial.change(out, in)
	if s.keeps() {
		return true
	}
	s.trial.change(in, out)
	return false
}

// moved are the parts that go elsewhere, and what they become.
func (s *straightener) moved(jacks, crosses map[int]int) (out, in []part) {
	add := func(p, q part) {
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
	for _, j := range sortedKeys(jacks) {
		switch p := s.trial.partAt(j); p.kind {
		case cordPart:
			ends := [2]int{other(p.a), nowhere}
			if p.b != nowhere {
				ends[1] = other(p.b)
			}
			ends = ordered(ends)
			add(p, part{cordPart, ends[0], ends[1]})
		case leadPart:
			add(p, part{leadPart, p.a, other(p.b)})
		case dummyPart:
			add(p, part{dummyPart, other(p.a), 0})
		case crossPart:
		}
	}
	for _, x := range sortedKeys(crosses) {
		y := crosses[x]
		if o := s.crosses[x].output; slices.Contains(s.trial.behind[o], x) {
			add(part{crossPart, x, 0}, part{crossPart, y, 0})
		}
	}
	return out, in
}

// shorter says whether the cords would become shorter, or come into order.
func (s *straightener) shorter(out, in []part) bool {
	var was, is measure.Length
	for i, p := range out {
		was, is = was+s.length(p), is+s.length(in[i])
		for _, j := range in[i].jacks() {
			if !s.usable(j) {
				return false
			}
		}
	}
	if was != is {
		return is < was
	}
	return slices.CompareFunc(sortedCords(in), sortedCords(out), func(a, b [2]int) int {
		return cmp.Or(a[0]-b[0], a[1]-b[1])
	}) < 0
}

func (s *straightener) length(p part) measure.Length {
	if p.kind != cordPart || p.b == nowhere {
		return 0
	}
	return s.shelf.need(p.a, p.b)
}

func sortedCords(parts []part) [][2]int {
	var d draft
	for _, p := range parts {
		if p.kind == cordPart {
			d.cords = append(d.cords, [2]int{p.a, p.b})
		}
	}
	d.sort()
	return d.cords
}

// keeps takes the draft as it is now for the best if it is no worse than that.
func (s *straightener) keeps() bool {
	if s.trial.wrong() > 0 {
		return false
	}
	d := s.trial.draft()
	if s.shelf.hall(d.cords) != nil || s.parted(d) || !s.within(d) || !s.goes(d) || s.hangsAtMic(d) {
		return false
	}
	f, ok := s.completed(d)
	if !ok || s.best.score.less(f.score) || !s.gives(d) {
		return false
	}
	s.best = f
	return true
}

// within says whether every cord and lead of a draft reaches.
func (t *task) within(d draft) bool {
	for _, c := range d.cords {
		if c[1] == nowhere {
			if !t.shelf.anyHangs(c[0]) {
				return false
			}
		} else if !t.shelf.any(c[0], c[1]) && !slices.Contains(t.present.cords, c) {
			return false
		}
	}
	for _, l := range d.leads {
		if !t.goesTo(l[0], l[1]) {
			return false
		}
	}
	return true
}

// hangsAtMic says whether a cord hangs from a net with anything at microphone
// level.
func (t *task) hangsAtMic(d draft) bool {
	var n *nets
	for _, c := range d.cords {
		if c[1] != nowhere || slices.Contains(t.present.cords, c) {
			continue
		}
		if n == nil {
			n = t.nets(d)
		}
		if n.micAt(t.jacks[c[0]].node) {
			return true
		}
	}
	return false
}
