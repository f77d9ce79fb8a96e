package exact

import (
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// Aim is a plan that is looked for.
type Aim struct {
	// Floor is how many plugs all plans are known to handle at least, Most how many this one handles at
	// most. Work is how much is spent, in looks at a literal.
	Floor, Most int
	Work        int64
	// Uncut leaves it to the search to find what each source pays by itself, without cuts first. In
	// large rooms either comes to an end where the other does not.
	Uncut bool
	// Directed says that the clauses tell from which end a signal comes over metal. In large rooms,
	// where many answers had signals from nowhere, that is less work; in others it is more to write.
	Directed bool
}

// FindWithin looks for the best plan that handles no more plugs than the aim allows, with what such
// a plan may have; in larger rooms for any. Of the outcome, Impossible says that there is none; Best
// is the best plan that is known then, and Least what is known of all plans.
func FindWithin(ctx context.Context, p *problem.Problem, best *objective.Candidate, in *problem.Narrowed, aim Aim) Outcome {
	s := &search{Graph: p.Graph, problem: p, in: in, directed: aim.Directed, best: best, least: aim.Floor, floor: aim.Floor, most: aim.Most, work: aim.Work, patience: maxRefusals}
	s.begin(ctx)
	if len(p.Jacks) <= problem.Small {
		s.run()
	} else {
		s.byPut = s.putsLittle()
		if plugs := s.preparePlugs(handled); !aim.Uncut {
			s.pays = map[rank]pricing{handled: plugs.newPlug}
		}
		s.stage(handled, aim.Work)
	}
	return Outcome{Best: s.best, Least: s.bound(), Impossible: s.exhausted && !s.best.Reaches(aim.Most), Stopped: s.stopped, Work: s.done()}
}

// scope is what of a problem is searched: all of it, but for these.
type scope struct {
	// soft makes each want and silence a choice.
	soft bool
	// window is what may change; nil for everything.
	window *window
	// narrowed is what plans may have; nil for everything.
	narrowed *problem.Narrowed
	// directed says that the clauses tell from which end a signal comes over metal.
	directed bool
}

// limitCords lets each new cord carry only what it may.
func (v *variables) limitCords() {
	if v.narrowed == nil {
		return
	}
	for _, c := range v.cords {
		may := v.narrowed.Cords[c.ends]
		if may == nil || slices.Contains(v.problem.Present.Cords, c.ends) {
			continue
		}
		n, m := v.problem.Jacks[c.ends[0]].Node, v.problem.Jacks[c.ends[1]].Node
		if len(v.dom[n]) > len(v.dom[m]) {
			n, m = m, n
		}
		for _, h := range v.heardAt(n) {
			if _, ok := slices.BinarySearch(may, h.source); !ok && v.hear(m, h.source) != clause.False {
				v.solver.Add(c.lit.Not(), h.lit.Not())
			}
		}
	}
}

// reach is where drivers may come by metal: by normals, cords that are in or may be, leads and
// relays.
type reach struct {
	*graph.Graph
	next [][]link
	seen []bool
}

// link leads to a node; sources are those alone that it may carry, nil for all.
type link struct {
	to      int
	sources []int
}

func newReach(p *problem.Problem, in *problem.Narrowed) *reach {
	r := &reach{p.Graph, make([][]link, len(p.Nodes)), make([]bool, len(p.Nodes))}
	for _, n := range p.Normals {
		r.join(p.Jacks[n.A].Node, p.Jacks[n.B].Node, nil)
	}
	for _, c := range p.Present.Cords {
		if c[1] != graph.None {
			r.join(p.Jacks[c[0]].Node, p.Jacks[c[1]].Node, nil)
		}
	}
	for ends, sources := range in.Cords {
		r.join(p.Jacks[ends[0]].Node, p.Jacks[ends[1]].Node, sources)
	}
	for _, port := range p.Ports {
		for j := range p.Jacks {
			r.join(p.Node[port], p.Jacks[j].Node, nil)
		}
	}
	for _, c := range p.Crosses {
		if o := p.Outputs[c.Output]; o.Relay {
			r.join(c.From, o.Node, nil)
		}
	}
	return r
}

func (r *reach) join(n, m int, sources []int) {
	r.next[n], r.next[m] = append(r.next[n], link{m, sources}), append(r.next[m], link{n, sources})
}

// of are the nodes that a driver may come to.
func (r *reach) of(driver int) []bool {
	source, isSource := r.SourceAt(driver)
	clear(r.seen)
	queue := []int{r.DriverNode(driver)}
	r.seen[queue[0]] = true
	for ; len(queue) > 0; queue = queue[1:] {
		for _, l := range r.next[queue[0]] {
			if r.seen[l.to] || isSource && l.sources != nil && !slices.Contains(l.sources, source) {
				continue
			}
			r.seen[l.to] = true
			queue = append(queue, l.to)
		}
	}
	return slices.Clone(r.seen)
}
