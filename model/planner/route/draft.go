package route

import (
	"cmp"
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/stock"
	"bayhand/model/planner/trial"
)

// draft is a patch while it is built, with what the builder remembers of it.
type draft struct {
	problem *problem.Problem
	ctx     context.Context
	trial   *trial.Trial
	// placed are the parts that the builder put in; all others may be taken out.
	placed map[graph.Part]bool
	// idle are the cords, leads and crosspoints of the present patch that are worth
	// nothing to the session where they are.
	idle idle
	// nodes are those of the jacks.
	nodes []int
	// undriven are the jacks that could be plugged and that nothing drives for good.
	undriven []int
	// near are the jacks that a cord could go to from a jack, as far as was asked.
	near [][]int
	// oldAt is the cord of the present patch at each jack; None for none.
	oldAt []int
	// oldJacks are those with a cord of the present patch, in order.
	oldJacks  []int
	ousted    ousted
	wasClosed []bool // by crosspoint: it is closed in the present patch
	// work counts the hops that were looked at, and limit bounds them.
	work, limit int
	// changes counts those that the draft kept.
	changes int
}

func newDraft(ctx context.Context, p *problem.Problem) *draft {
	d := &draft{
		problem: p, ctx: ctx, trial: trial.New(p, problem.Start(p)), placed: map[graph.Part]bool{}, idle: newIdle(p.Graph),
		near: make([][]int, len(p.Jacks)), oldAt: slices.Repeat([]int{graph.None}, len(p.Jacks)),
		ousted: newOusted(p.Graph), wasClosed: make([]bool, len(p.Crosses)),
	}
	for j := range p.Jacks {
		n := p.Jacks[j].Node
		d.nodes = append(d.nodes, n)
		if p.Usable(j) && len(p.Always(n)) == 0 {
			d.undriven = append(d.undriven, j)
		}
	}
	for _, x := range p.Present.Crosses {
		d.wasClosed[x] = true
	}
	for i, c := range p.Present.Cords {
		for _, j := range c {
			if j != graph.None {
				d.oldAt[j] = i
				d.oldJacks = append(d.oldJacks, j)
			}
		}
	}
	slices.Sort(d.oldJacks)
	return d
}

// findIdle finds what of the present patch is worth nothing to the session as it is,
// and takes it out where that is asked for. It says whether there is any.
func (d *draft) findIdle(clear bool) bool {
	any := false
	for _, p := range d.problem.Parts(problem.Start(d.problem)) {
		out := d.trial.WithGang(p)
		if out == nil {
			continue
		}
		before := d.trial.Wrong()
		d.trial.Change(out, nil)
		if d.trial.Wrong() > before {
			d.trial.Change(nil, out)
			continue
		}
		any = true
		if clear {
			continue
		}
		d.trial.Change(nil, out)
		if p.Kind == graph.Cross || !d.problem.Options.LeaveCords {
			d.idle.add(p)
		}
	}
	return any
}

// reset goes back to where the rounds begin.
func (d *draft) reset(start graph.Patch) {
	d.trial.Hold(start)
	clear(d.placed)
}

// lieReady are the longest cords that are free if each that is in use is the shortest that
// does, the longest ways first, and what one that is not in costs at least; nil where there is
// no end to them.
func (d *draft) lieReady(ousting bool) (longest *stock.Longest, cost int) {
	if d.problem.Stock.Unlimited {
		return nil, cordCost
	}
	left := slices.Clone(d.problem.Stock.Counts)
	cords := d.inUse()
	slices.SortStableFunc(cords, func(a, b [2]int) int { return cmp.Compare(d.problem.Stock.NeedOf(b), d.problem.Stock.NeedOf(a)) })
	for _, c := range cords {
		for k := range left {
			if left[k] > 0 && d.problem.Stock.Goes(k, c) {
				left[k]--
				break
			}
		}
	}
	ready := d.problem.Stock.LongestOf(func(kind int) bool { return left[kind] > 0 })
	switch {
	case slices.ContainsFunc(left, func(count int) bool { return count > 0 }):
		return &ready, cordCost
	case ousting:
		return &ready, cordCost + ousterCost
	}
	return &ready, endless
}

// reached are the jacks that a cord owned reaches from a jack, and that nothing
// drives for good.
func (d *draft) reached(i int) []int {
	if d.near[i] == nil {
		list := []int{}
		for _, j := range d.undriven {
			if d.problem.Stock.Any(i, j) {
				list = append(list, j)
			}
		}
		d.near[i] = list
	}
	return d.near[i]
}

// leaves is what it costs to go in by a jack that leaves a normal of its own
// closed.
func (d *draft) leaves(j int) int {
	for _, m := range d.problem.Jacks[j].Normals {
		if !d.problem.Normals[m].Breaks(j) {
			return leaveCost
		}
	}
	return 0
}

// otherOld is the jack at the other end of a cord of the present patch.
func (d *draft) otherOld(j int) (i int, ok bool) {
	if d.oldAt[j] == graph.None {
		return graph.None, false
	}
	ends := d.problem.Present.Cords[d.oldAt[j]]
	return ends[0] + ends[1] - j, ends[1] != graph.None
}

// crossing is what a crosspoint costs where its output costs so much.
func (d *draft) crossing(x, switching int) int {
	if d.wasClosed[x] {
		return switching + presentCost - crossCost
	}
	return switching
}

// enters says whether a signal may be brought to a node: no gear drives it, and
// none there is the worse for it, unless it is where the way ends.
func (d *draft) enters(n, source, to int) bool {
	return len(d.problem.Nodes[n].Sources) == 0 && (n == to || d.problem.Takes(n, source, false))
}

// unmet are the wants that are not heard, and then those of nets on which anything is wrong; and
// of some sources.
func (d *draft) unmet(order []int, of map[int]bool) []int {
	var missing, spoilt []int
	for _, w := range order {
		switch in, s := d.ends(w); {
		case s == graph.None || in == graph.None:
		case !d.hearsAt(in, s):
			missing = append(missing, w)
		case of[s] || d.trial.FaultsOf[d.trial.State.NetOf(d.problem.Node[in])] > 0:
			spoilt = append(spoilt, w)
		}
	}
	return append(missing, spoilt...)
}

// astray are the sources that come to an input which must not hear them.
func (d *draft) astray() map[int]bool {
	found := map[int]bool{}
	for at := range d.trial.State.Nets() {
		if d.trial.FaultsOf[at] == 0 {
			continue
		}
		for _, n := range d.trial.State.NodesOf(at) {
			for _, in := range d.problem.Nodes[n].Inputs {
				for _, s := range d.trial.Hears(in) {
					if !d.mayHear(in, s) {
						found[s] = true
					}
				}
			}
		}
	}
	return found
}

// ends are the input and the source of a want.
func (d *draft) ends(w int) (in, source int) {
	want := d.problem.Session.Wants[w]
	return d.problem.Number[want.Destination], d.problem.SourceOf[want.Source]
}

func (d *draft) hearsAt(in, source int) bool {
	_, ok := slices.BinarySearch(d.trial.Hears(in), source)
	return ok
}

// spent says whether the work that a builder may do is done, or nobody waits for
// it any more.
func (d *draft) spent() bool { return d.work > d.limit || d.ctx.Err() != nil }

// mayHear says whether nothing is wrong with a source at an input.
func (d *draft) mayHear(in, source int) bool { return d.problem.AcceptsItself(in, source, false) }

// attempt changes the draft if less is wrong then and the stock suffices.
func (d *draft) attempt(out, in []graph.Part) bool {
	before := d.trial.Wrong()
	d.trial.Change(out, in)
	if d.trial.Wrong() < before && (!corded(in) || d.suffices()) {
		d.changes++
		return true
	}
	d.trial.Change(in, out)
	return false
}

// suffices says whether the stock has the cords that are in, but for those that
// are worth nothing and can be pulled.
func (d *draft) suffices() bool { return d.problem.Stock.Shortage(d.inUse()) == nil }

// inUse are the cords that are in and not idle.
func (d *draft) inUse() [][2]int {
	return slices.DeleteFunc(d.trial.Cords(), func(c [2]int) bool { return d.idle.hasIn(c[0], graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}) })
}

// dummiesLeft is how many dummies are not in use.
func (d *draft) dummiesLeft() int {
	left := d.problem.Dummies
	if left < 0 {
		return len(d.problem.Jacks)
	}
	for _, p := range d.trial.Plugs {
		if p.Kind == graph.Dummy {
			left--
		}
	}
	return left
}

func (d *draft) place(fresh []graph.Part) {
	for _, p := range fresh {
		d.placed[p] = true
	}
}
