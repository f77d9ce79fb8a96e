package route

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
)

// mend takes faults away until there are none, or none can be, and returns the
// wants that are not heard then, those before whose way something else is wrong
// among them.
func (b *builder) mend(order []int) []int {
	for range steps {
		routed := b.bring(order, b.route)
		if cleaned := b.cleanAll(); routed || cleaned {
			continue
		}
		if b.trial.Wrong() == 0 || !b.bring(order, b.forceOne) && !b.forceCleanOne() {
			break
		}
	}
	if b.trial.Wrong() == 0 {
		return nil
	}
	return b.unmet(order)
}

// unmet are the wants that are not heard; all those of nets on which anything is
// wrong where that is none.
func (b *builder) unmet(order []int) []int {
	var missing, spoilt []int
	for _, w := range order {
		switch in, s := b.ends(w); {
		case s == graph.None || in == graph.None:
		case !b.hearsAt(in, s):
			missing = append(missing, w)
		case b.trial.FaultsOf[b.trial.State.NetOf(b.Node[in])] > 0:
			spoilt = append(spoilt, w)
		}
	}
	return append(missing, spoilt...)
}

// ends are the input and the source of a want.
func (b *builder) ends(w int) (in, source int) {
	want := b.problem.Session.Wants[w]
	return b.Number[want.Destination], b.SourceOf[want.Source]
}

func (b *builder) hearsAt(in, source int) bool {
	_, ok := slices.BinarySearch(b.trial.Hears(in), source)
	return ok
}

// bring brings what is wanted and not heard by the way that is said; false if it
// brings nothing.
func (b *builder) bring(order []int, by func(source, in int) bool) bool {
	any := false
	for _, w := range order {
		if b.told(); b.spent() {
			return false
		}
		if in, source := b.ends(w); !b.hearsAt(in, source) && by(source, in) {
			any = true
		}
	}
	return any
}

// forceOne is force as often as that may be.
func (b *builder) forceOne(source, in int) bool { return b.mayForce() && b.force(source, in) }

// mayForce says whether something may still be taken from one want for another,
// and counts it.
func (b *builder) mayForce() bool {
	b.forced--
	return b.forced >= 0
}

// spent says whether the work that a builder may do is done, or nobody waits for
// it any more.
func (b *builder) spent() bool { return b.work > b.limit || b.ctx.Err() != nil }

// cleanAll keeps away what should not be heard; false if it keeps nothing away.
func (b *builder) cleanAll() bool {
	any := false
	for at := range b.trial.State.Nets() {
		if b.trial.FaultsOf[at] > 0 && b.clean(at) {
			any = true
		}
	}
	return any
}

// forceCleanOne keeps something away at the cost of what the builder put in.
func (b *builder) forceCleanOne() bool {
	if b.spent() || !b.mayForce() {
		return false
	}
	for at := range b.trial.State.Nets() {
		if b.trial.FaultsOf[at] > 0 && b.forceClean(at) {
			return true
		}
	}
	return false
}

// forceClean keeps something away that should not come to a net, by taking out
// what the builder put in.
func (b *builder) forceClean(at int) bool {
	for _, n := range b.trial.State.NodesOf(at) {
		for _, in := range b.Nodes[n].Inputs {
			for _, s := range b.trial.Hears(in) {
				if !b.mayHear(in, s) && b.takeBack(b.trial.State.WayFrom(n, s)) {
					return true
				}
			}
		}
	}
	return false
}

// takeBack takes the last thing out that the builder put in on a way.
func (b *builder) takeBack(way []graph.Step) bool {
	for _, s := range way {
		p := s.Part
		if !b.placed[p] {
			continue
		}
		out := b.trial.WithGang(p)
		b.trial.Change(out, nil)
		for _, q := range out {
			delete(b.placed, q)
			b.oust(q)
		}
		return true
	}
	return false
}

// clean keeps something away that should not come to a net.
func (b *builder) clean(at int) bool {
	for _, n := range slices.Clone(b.trial.State.NodesOf(at)) {
		for _, in := range b.Nodes[n].Inputs {
			for _, s := range b.trial.Hears(in) {
				if !b.mayHear(in, s) && b.keepAway(s, n) {
					return true
				}
			}
		}
	}
	return b.trial.State.CountDrivers(at) > 1 && b.partOutputs(at)
}

// mayHear says whether nothing is wrong with a source at an input.
func (b *builder) mayHear(in, source int) bool { return b.problem.AcceptsItself(in, source, false) }

// attempt changes the draft if less is wrong then and the stock suffices.
func (b *builder) attempt(out, in []graph.Part) bool {
	before := b.trial.Wrong()
	b.trial.Change(out, in)
	if b.trial.Wrong() < before && (!corded(in) || b.suffices()) {
		return true
	}
	b.trial.Change(in, out)
	return false
}

func corded(parts []graph.Part) bool {
	return slices.ContainsFunc(parts, func(p graph.Part) bool { return p.Kind == graph.Cord })
}

// suffices says whether the stock has the cords that are in, but for those that
// are worth nothing and can be pulled.
func (b *builder) suffices() bool { return b.problem.Stock.Shortage(b.inUse()) == nil }

// inUse are the cords that are in and not idle.
func (b *builder) inUse() [][2]int {
	return slices.DeleteFunc(b.trial.Patch().Cords, func(c [2]int) bool { return b.idle[graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}] })
}

// keepAway keeps a source away from a node: it takes out what is on the way, or
// breaks a normal there.
func (b *builder) keepAway(source, node int) bool {
	return b.breakWay(b.trial.State.WayFrom(node, source))
}

// partOutputs parts outputs that are joined.
func (b *builder) partOutputs(at int) bool {
	var first int
	count := 0
	for _, n := range slices.Clone(b.trial.State.NodesOf(at)) {
		drives := len(b.Nodes[n].Sources) > 0 || slices.ContainsFunc(b.Nodes[n].Outputs, b.trial.State.Drives)
		if !drives {
			continue
		}
		if count++; count == 1 {
			first = n
			continue
		}
		if b.breakWay(b.trial.State.Path(n, func(m int) bool { return m == first })) {
			return true
		}
	}
	return false
}

// breakWay breaks a way at one of its joints, the first that will do.
func (b *builder) breakWay(way []graph.Step) bool {
	for _, s := range way {
		if s.Part.Kind == graph.HeldNormal {
			if b.breakNormal(s.Part.A) {
				return true
			}
		} else if b.takeOut(s.Part) {
			return true
		}
	}
	return false
}

// takeOut takes out a part, unless the builder put it in.
func (b *builder) takeOut(p graph.Part) bool {
	if b.placed[p] {
		return false
	}
	out := b.trial.WithGang(p)
	return out != nil && b.attempt(out, nil)
}

// breakNormal puts a dummy in a jack that breaks a normal, or lets a cord hang
// there where no dummy is left and the taste allows it.
func (b *builder) breakNormal(m int) bool {
	n := b.Normals[m]
	for _, j := range []int{n.B, n.A} {
		if !n.Breaks(j) || !b.problem.Usable(j) || b.trial.Plugs[j].Kind != 0 {
			continue
		}
		p := graph.Part{Kind: graph.Dummy, A: j}
		if b.dummiesLeft() <= 0 {
			if b.problem.Options.Prefer != plan.PreferFewest || b.micNear(j) || !b.problem.Stock.AnyHangs(j) {
				continue
			}
			p = graph.Part{Kind: graph.Cord, A: j, B: graph.None}
		}
		if b.attempt(nil, []graph.Part{p}) {
			b.placed[p] = true
			return true
		}
	}
	return false
}

// dummiesLeft is how many dummies are not in use.
func (b *builder) dummiesLeft() int {
	if b.Studio.Dummies < 0 {
		return len(b.Jacks)
	}
	left := max(b.Studio.Dummies, len(b.problem.Present.Dummies))
	for _, p := range b.trial.Plugs {
		if p.Kind == graph.Dummy {
			left--
		}
	}
	return left
}

// micNear says whether anything at microphone level is on a jack's net, so that
// no cord may hang there.
func (b *builder) micNear(j int) bool {
	return b.trial.State.Mic(b.trial.State.NetOf(b.Jacks[j].Node))
}
