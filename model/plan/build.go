package plan

import (
	"context"
	"slices"
)

// builder makes a draft that gives the session the way a person would: it keeps
// what serves of the present patch, mends one fault after the other, and takes
// no step that leaves more wrong than before. Where a want finds no way left, it
// begins again with that want first (squeaky wheels, Joslin and Clements 1999).
// It proves nothing and may fail where a way exists; it is quick in rooms that
// are too large for a proof.
type builder struct {
	*trial
	// placed are the parts that the builder put in; all others may be taken out.
	placed map[part]bool
	// idle are the cords, leads and crosspoints of the present patch that are worth
	// nothing to the session where they are.
	idle map[part]bool
	// near are the jacks that a cord could go to from a jack, as far as was asked.
	near [][]int
	// oldAt is the cord of the present patch at each jack; -1 for none.
	oldAt []int
	// ousted counts how often a part was in the way of a want that found no other:
	// by a dummy's name a jack, by a nameless crosspoint's an output.
	ousted map[part]int
	// forced bounds how often one may be taken away from another.
	forced    int
	wasClosed []bool // by crosspoint: it is closed in the present patch
	lets      []int8 // see router
	best      []hop
	ctx       context.Context
	// work counts the hops that were looked at, and limit bounds them.
	work, limit int
}

// rounds bounds how often the builder begins again, steps the faults that it
// mends one after the other in one round, and forces, with four for each want, how
// often in one round it takes something away from one want for another. The work of
// a round is bounded in hops that are looked at, with so many more for each want
// that is not heard; ten million take some tenths of a second.
const (
	rounds     = 4
	steps      = 500
	forces     = 20
	roundWork  = 10e6
	workByWant = 150e3
)

// build looks for a draft that gives the session: from the present patch as it
// is, and from what of it is worth anything; with the wants in the order of what
// they cost, and in a small room in the session's as well. It is nil if none is
// found. It ends with one that handles no more plugs than the least that is
// known.
func (t *task) build(ctx context.Context, least int) *found {
	var best *found
	for _, clear := range []bool{false, true} {
		b := t.newBuilder(ctx)
		if idle := b.look(clear); clear && (!idle || t.options.LeaveCords) {
			break
		}
		if best != nil && (best.reaches(least) || len(t.jacks) > large) {
			break // what can be better is found by rebuilding
		}
		start := b.draft()
		orders := [][]int{b.cheapestFirst()}
		if len(t.jacks) <= small {
			orders = append(orders, b.asWritten())
		}
		for _, order := range orders {
			b.reset(start)
			if f := b.run(start, order); f != nil && (best == nil || f.score.less(best.score)) {
				best = f
			}
			if best.reaches(least) {
				break
			}
		}
	}
	if best != nil && !best.reaches(least) && !t.options.LeaveCords {
		best = t.rebuilt(ctx, best, least)
	}
	return best
}

// reaches says whether a plan is plain and handles no more plugs than the least.
func (f *found) reaches(least int) bool {
	return f != nil && f.score.taste == 0 && f.score.plugs <= least
}

// run builds from a draft, with the wants in some order first.
func (b *builder) run(start draft, order []int) *found {
	for range rounds {
		b.forced, b.work, b.limit = forces+4*len(order), 0, roundWork+workByWant*len(b.unmet(order))
		left := b.mend(order)
		if len(left) == 0 {
			return b.finish()
		}
		again := raised(order, left)
		if slices.Equal(again, order) || b.ctx.Err() != nil {
			return nil
		}
		order = again
		b.reset(start)
	}
	return nil
}

func (t *task) newBuilder(ctx context.Context) *builder {
	b := &builder{
		ctx: ctx, trial: t.try(t.present), placed: map[part]bool{}, idle: map[part]bool{}, near: make([][]int, len(t.jacks)),
		oldAt: make([]int, len(t.jacks)), ousted: map[part]int{},
		wasClosed: make([]bool, len(t.crosses)), lets: make([]int8, len(t.nodes)), best: make([]hop, len(t.nodes)),
	}
	for _, x := range t.present.crosses {
		b.wasClosed[x] = true
	}
	for j := range b.oldAt {
		b.oldAt[j] = nowhere
	}
	for i, c := range t.present.cords {
		for _, j := range c {
			if j != nowhere {
				b.oldAt[j] = i
			}
		}
	}
	return b
}

// asWritten are the wants in the order of the session.
func (b *builder) asWritten() []int {
	order := make([]int, len(b.session.Wants))
	for w := range order {
		order[w] = w
	}
	return order
}

// cheapestFirst are the wants in the order of what the cheapest way of each costs
// at the beginning: what the present patch has serves the first, and their ways
// serve the others of the same source (Takahashi and Matsuyama 1980).
func (b *builder) cheapestFirst() []int {
	order, costs := b.asWritten(), make([]int, len(b.session.Wants))
	for w := range order {
		if in, source := b.ends(w); !b.hearsAt(in, source) {
			b.cheapest(source, b.node[in], nil, false)
			costs[w] = b.best[b.node[in]].cost
		}
	}
	slices.SortStableFunc(order, func(v, w int) int { return costs[v] - costs[w] })
	return order
}

// look finds what of the present patch is worth nothing to the session as it is,
// and takes it out where that is asked for. It says whether there is any.
func (b *builder) look(clear bool) bool {
	any := false
	for _, p := range b.parts(b.present) {
		out := b.together(p)
		if out == nil {
			continue
		}
		before := b.wrong()
		b.change(out, nil)
		if b.wrong() > before {
			b.change(nil, out)
			continue
		}
		any = true
		if clear {
			continue
		}
		b.change(nil, out)
		if p.kind == crossPart || !b.options.LeaveCords {
			b.idle[p] = true
		}
	}
	return any
}

// reset goes back to where the rounds begin.
func (b *builder) reset(start draft) {
	was, is := b.draft().parts(), start.parts()
	b.change(without(was, is), without(is, was))
	clear(b.placed)
}

// without are the parts of one list that are not in another.
func without(parts, others []part) []part {
	in := map[part]bool{}
	for _, p := range others {
		in[p] = true
	}
	return slices.DeleteFunc(slices.Clone(parts), func(p part) bool { return in[p] })
}

// raised puts some wants before all others.
func raised(order, first []int) []int {
	rest := slices.DeleteFunc(slices.Clone(order), func(w int) bool { return slices.Contains(first, w) })
	return append(slices.Clone(first), rest...)
}

// finish completes what was built, where package heard confirms it.
func (b *builder) finish() *found {
	d := b.draft()
	if !b.sound(d) || !b.gives(d) {
		return nil
	}
	f, ok := b.found(d)
	if !ok {
		return nil
	}
	return f
}

// mend takes faults away until there are none, or none can be, and returns the
// wants that are not heard then, those before whose way something else is wrong
// among them.
func (b *builder) mend(order []int) []int {
	for range steps {
		routed := b.bring(order, b.route)
		if cleaned := b.cleanAll(); routed || cleaned {
			continue
		}
		if b.wrong() == 0 || !b.bring(order, b.forceOne) && !b.forceCleanOne() {
			break
		}
	}
	if b.wrong() == 0 {
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
		case s == nowhere || in == nowhere:
		case !b.hearsAt(in, s):
			missing = append(missing, w)
		case b.nets[b.net[b.node[in]]].faults > 0:
			spoilt = append(spoilt, w)
		}
	}
	return append(missing, spoilt...)
}

// ends are the input and the source of a want.
func (b *builder) ends(w int) (in, source int) {
	want := b.session.Wants[w]
	return b.number[want.Destination], b.sourceOf[want.Source]
}

func (b *builder) hearsAt(in, source int) bool {
	_, ok := slices.BinarySearch(b.hears(in), source)
	return ok
}

// bring brings what is wanted and not heard by the way that is said; false if it
// brings nothing.
func (b *builder) bring(order []int, by func(source, in int) bool) bool {
	any := false
	for _, w := range order {
		if b.spent() {
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
	for at := range b.nets {
		if b.nets[at].faults > 0 && b.clean(at) {
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
	for at := range b.nets {
		if b.nets[at].faults > 0 && b.forceClean(at) {
			return true
		}
	}
	return false
}

// forceClean keeps something away that should not come to a net, by taking out
// what the builder put in.
func (b *builder) forceClean(at int) bool {
	for _, n := range b.nets[at].nodes {
		for _, in := range b.nodes[n].inputs {
			for _, s := range b.hears(in) {
				if !b.mayHear(in, s) && b.takeBack(b.wayFrom(n, s)) {
					return true
				}
			}
		}
	}
	return false
}

// takeBack takes the last thing out that the builder put in on a way.
func (b *builder) takeBack(way []stride) bool {
	kinds := map[thingKind]partKind{aCord: cordPart, aLead: leadPart, aCross: crossPart}
	for _, s := range way {
		p := part{kinds[s.kind], s.a, s.b}
		if !b.placed[p] {
			continue
		}
		out := b.together(p)
		b.change(out, nil)
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
	for _, n := range slices.Clone(b.nets[at].nodes) {
		for _, in := range b.nodes[n].inputs {
			for _, s := range b.hears(in) {
				if !b.mayHear(in, s) && b.keepAway(s, n) {
					return true
				}
			}
		}
	}
	return b.nets[at].drivers > 1 && b.partOutputs(at)
}

// mayHear says whether nothing is wrong with a source at an input.
func (b *builder) mayHear(in, source int) bool { return b.acceptsItself(in, source, false) }

// attempt changes the draft if less is wrong then and the stock suffices.
func (b *builder) attempt(out, in []part) bool {
	before := b.wrong()
	b.change(out, in)
	if b.wrong() < before && (!corded(in) || b.suffices()) {
		return true
	}
	b.change(in, out)
	return false
}

func corded(parts []part) bool {
	return slices.ContainsFunc(parts, func(p part) bool { return p.kind == cordPart })
}

// suffices says whether the stock has the cords that are in, but for those that
// are worth nothing and can be pulled.
func (b *builder) suffices() bool { return b.shelf.hall(b.inUse()) == nil }

// inUse are the cords that are in and not idle.
func (b *builder) inUse() [][2]int {
	return slices.DeleteFunc(b.draft().cords, func(c [2]int) bool { return b.idle[part{cordPart, c[0], c[1]}] })
}

// keepAway keeps a source away from a node: it takes out what is on the way, or
// breaks a normal there.
func (b *builder) keepAway(source, node int) bool {
	return b.breakWay(b.wayFrom(node, source))
}

// partOutputs parts outputs that are joined.
func (b *builder) partOutputs(at int) bool {
	var first int
	count := 0
	for _, n := range slices.Clone(b.nets[at].nodes) {
		drives := len(b.nodes[n].sources) > 0 || slices.ContainsFunc(b.nodes[n].outputs, b.drives)
		if !drives {
			continue
		}
		if count++; count == 1 {
			first = n
			continue
		}
		if b.breakWay(b.path(n, func(m int) bool { return m == first })) {
			return true
		}
	}
	return false
}

// breakWay breaks a way at one of its joints, the first that will do.
func (b *builder) breakWay(way []stride) bool {
	for _, s := range way {
		switch s.kind {
		case aCord:
			if b.takeOut(part{cordPart, s.a, s.b}) {
				return true
			}
		case aLead:
			if b.takeOut(part{leadPart, s.a, s.b}) {
				return true
			}
		case aCross:
			if b.takeOut(part{crossPart, s.a, 0}) {
				return true
			}
		case aNormal:
			if b.breakNormal(s.a) {
				return true
			}
		}
	}
	return false
}

// takeOut takes out a part, unless the builder put it in.
func (b *builder) takeOut(p part) bool {
	if b.placed[p] {
		return false
	}
	out := b.together(p)
	return out != nil && b.attempt(out, nil)
}

// breakNormal puts a dummy in a jack that breaks a normal, or lets a cord hang
// there where no dummy is left and the taste allows it.
func (b *builder) breakNormal(m int) bool {
	n := b.normals[m]
	for _, j := range []int{n.b, n.a} {
		if !n.breaks(j) || !b.usable(j) || b.plugs[j].kind != 0 {
			continue
		}
		p := part{dummyPart, j, 0}
		if b.dummiesLeft() <= 0 {
			if b.options.Prefer != PreferFewest || b.micNear(j) || !b.shelf.anyHangs(j) {
				continue
			}
			p = part{cordPart, j, nowhere}
		}
		if b.attempt(nil, []part{p}) {
			b.placed[p] = true
			return true
		}
	}
	return false
}

// dummiesLeft is how many dummies are not in use.
func (b *builder) dummiesLeft() int {
	if b.studio.Dummies < 0 {
		return len(b.jacks)
	}
	left := max(b.studio.Dummies, len(b.present.dummies))
	for _, p := range b.plugs {
		if p.kind == dummyPart {
			left--
		}
	}
	return left
}

// micNear says whether anything at microphone level is on a jack's net, so that
// no cord may hang there.
func (b *builder) micNear(j int) bool {
	return slices.ContainsFunc(b.nets[b.net[b.jacks[j].node]].nodes, func(n int) bool { return b.nodes[n].mic })
}
