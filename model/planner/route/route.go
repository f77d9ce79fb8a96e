package route

import (
	"slices"

	"bayhand/model/graph"
)

// What a hop costs. A crosspoint is switched by itself; the fewer the better all
// the same. What is in the present patch costs next to nothing, and a cord that
// is moved by one end costs little, since it would be pulled otherwise.
const (
	cordCost    = 2000
	movedCost   = 400
	leadCost    = 1000
	crossCost   = 10
	presentCost = 1
	// outOfStock is for a cord that is not there.
	outOfStock = -1
	// pullCost is for a cord of the present patch that has to go for another.
	pullCost = 500
	// leaveCost is for a plug that taps, so that another jack is taken if there is
	// one.
	leaveCost = 300
)

// What it costs to be in the way of a want that finds no other: to take out what
// another want needs, and more each time that it was done before (negotiated
// congestion, McMurchie and Ebeling 1995).
const (
	ousterCost = 2500
	againCost  = 1000
)

// detours bounds the ways that are tried for one want.
const detours = 8

// route brings a source to an input by the cheapest way that leaves less wrong
// than before. Where there was no way, none is looked for until the draft has changed.
func (b *builder) route(source, in int) bool {
	want := [2]int{source, in}
	if then, ok := b.noWay[want]; ok && then == b.changes {
		return false
	}
	barred := map[graph.Part]bool{}
	r := b.newRouter(source, b.Node[in], barred, false)
	for range detours {
		way := r.cheapest()
		if way == nil && len(barred) == 0 {
			b.noWay[want] = b.changes
		}
		if way == nil {
			return false
		}
		gone, fresh := b.replaced(way)
		if b.attempt(gone, fresh) {
			if b.hearsAt(in, source) {
				b.place(fresh)
				return true
			}
			b.trial.Change(fresh, gone)
		}
		if !bar(way, barred) {
			return false
		}
	}
	return false
}

// force brings a source to an input by the cheapest way, and takes out what other
// wants have there. It may leave more wrong than before.
func (b *builder) force(source, in int) bool {
	way := b.cheapest(source, b.Node[in], nil, true)
	if way == nil {
		return false
	}
	gone, fresh := b.replaced(way)
	b.trial.Change(gone, fresh)
	gone = b.giveBack(gone, fresh)
	if !b.hearsAt(in, source) || corded(fresh) && !b.suffices() {
		b.trial.Change(fresh, gone)
		for _, p := range fresh {
			b.ousted.avoid(p, 4) // it does not work
		}
		return len(fresh) > 0
	}
	b.changes++
	for _, p := range gone {
		delete(b.placed, p)
		b.oust(p)
	}
	b.place(fresh)
	return true
}

// giveBack takes out the longest cords that the builder put in for others, as long
// as the stock does not suffice for the fresh ones, and adds them to what is gone.
func (b *builder) giveBack(gone, fresh []graph.Part) []graph.Part {
	for range most {
		if !corded(fresh) || b.suffices() {
			return gone
		}
		longest := graph.Part{}
		for _, c := range b.inUse() {
			p := graph.Part{Kind: graph.Cord, A: c[0], B: c[1]}
			if c[1] == graph.None || !b.placed[p] || slices.Contains(fresh, p) {
				continue
			}
			if longest.Kind == 0 || b.problem.Stock.Need(p.A, p.B) > b.problem.Stock.Need(longest.A, longest.B) {
				longest = p
			}
		}
		if longest.Kind == 0 {
			return gone
		}
		b.trial.Change([]graph.Part{longest}, nil)
		gone = append(gone, longest)
	}
	return gone
}

// most is how many cords are taken from others for one way.
const most = 3

// bar keeps the last thing of a way that was put in from being tried again; false
// where it has none.
func bar(way []graph.Part, barred map[graph.Part]bool) bool {
	if len(way) > 0 {
		barred[way[0]] = true
	}
	return len(way) > 0
}

// replaced are the parts that a way puts in, and those that must go for them:
// what is in its jacks, and what else the outputs of its crosspoints listen to.
func (b *builder) replaced(way []graph.Part) (gone, fresh []graph.Part) {
	out := func(p graph.Part) {
		for _, q := range b.trial.WithGang(p) {
			if !slices.Contains(gone, q) {
				gone = append(gone, q)
			}
		}
	}
	for _, p := range way {
		if p.Kind != graph.Cross {
			fresh = append(fresh, p)
			for _, j := range p.Jacks() {
				if in := b.trial.PartAt(j); in.Kind != 0 {
					out(in)
				}
			}
			continue
		}
		for _, x := range append([]int{p.A}, b.Ganged[p.A]...) {
			q := graph.Part{Kind: graph.Cross, A: x}
			was := b.trial.State.Behind(b.Crosses[x].Output)
			if slices.Contains(was, x) || slices.Contains(fresh, q) {
				continue
			}
			fresh = append(fresh, q)
			for _, z := range was {
				out(graph.Part{Kind: graph.Cross, A: z})
			}
		}
	}
	return gone, fresh
}
