package planner

import "slices"

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
// than before.
func (b *builder) route(source, in int) bool {
	barred := map[part]bool{}
	for range detours {
		way := b.cheapest(source, b.node[in], barred, false)
		if way == nil {
			return false
		}
		gone, fresh := b.replaced(way)
		if b.attempt(gone, fresh) {
			if b.hearsAt(in, source) {
				b.place(fresh)
				return true
			}
			b.change(fresh, gone)
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
	way := b.cheapest(source, b.node[in], nil, true)
	if way == nil {
		return false
	}
	gone, fresh := b.replaced(way)
	b.change(gone, fresh)
	gone = b.giveBack(gone, fresh)
	if !b.hearsAt(in, source) || corded(fresh) && !b.suffices() {
		b.change(fresh, gone)
		for _, p := range fresh {
			b.ousted[p] += 4 // it does not work
		}
		return len(fresh) > 0
	}
	for _, p := range gone {
		delete(b.placed, p)
		b.oust(p)
	}
	b.place(fresh)
	return true
}

// giveBack takes out the longest cords that the builder put in for others, as long
// as the stock does not suffice for the fresh ones, and adds them to what is gone.
func (b *builder) giveBack(gone, fresh []part) []part {
	for range most {
		if !corded(fresh) || b.suffices() {
			return gone
		}
		longest := part{}
		for _, c := range b.inUse() {
			p := part{cordPart, c[0], c[1]}
			if c[1] == nowhere || !b.placed[p] || slices.Contains(fresh, p) {
				continue
			}
			if longest.kind == 0 || b.shelf.need(p.a, p.b) > b.shelf.need(longest.a, longest.b) {
				longest = p
			}
		}
		if longest.kind == 0 {
			return gone
		}
		b.change([]part{longest}, nil)
		gone = append(gone, longest)
	}
	return gone
}

// most is how many cords are taken from others for one way.
const most = 3

// oust notes that a part was in the way.
func (b *builder) oust(p part) {
	switch p.kind {
	case cordPart:
		b.ousted[part{dummyPart, p.a, 0}]++
		if p.b != nowhere {
			b.ousted[part{dummyPart, p.b, 0}]++
		}
	case leadPart:
		b.ousted[part{dummyPart, p.b, 0}]++
	case crossPart:
		b.ousted[part{crossPart, nowhere, b.crosses[p.a].output}]++
	case dummyPart:
		b.ousted[p]++
	}
}

func (b *builder) place(fresh []part) {
	for _, p := range fresh {
		b.placed[p] = true
	}
}

// bar keeps the last thing of a way that was put in from being tried again; false
// where it has none.
func bar(way []part, barred map[part]bool) bool {
	if len(way) > 0 {
		barred[way[0]] = true
	}
	return len(way) > 0
}

// replaced are the parts that a way puts in, and those that must go for them:
// what is in its jacks, and what else the outputs of its crosspoints listen to.
func (b *builder) replaced(way []part) (gone, fresh []part) {
	out := func(p part) {
		for _, q := range b.together(p) {
			if !slices.Contains(gone, q) {
				gone = append(gone, q)
			}
		}
	}
	for _, p := range way {
		if p.kind != crossPart {
			fresh = append(fresh, p)
			for _, j := range p.jacks() {
				if in := b.partAt(j); in.kind != 0 {
					out(in)
				}
			}
			continue
		}
		for _, x := range append([]int{p.a}, b.fellows[p.a]...) {
			q := part{crossPart, x, 0}
			was := b.behind[b.crosses[x].output]
			if slices.Contains(was, x) || slices.Contains(fresh, q) {
				continue
			}
			fresh = append(fresh, q)
			for _, z := range was {
				out(part{crossPart, z, 0})
			}
		}
	}
	return gone, fresh
}

// jacks are those that a part plugs.
func (p part) jacks() []int {
	switch p.kind {
	case cordPart:
		if p.b == nowhere {
			return []int{p.a}
		}
		return []int{p.a, p.b}
	case leadPart:
		return []int{p.b}
	case dummyPart:
		return []int{p.a}
	case crossPart:
	}
	return nil
}

// partAt is what a jack holds.
func (r *trial) partAt(j int) part {
	switch p := r.plugs[j]; p.kind {
	case cordPart:
		if p.other == nowhere {
			return part{cordPart, j, nowhere}
		}
		return part{cordPart, min(j, p.other), max(j, p.other)}
	case leadPart:
		return part{leadPart, p.other, j}
	case dummyPart:
		return part{dummyPart, j, 0}
	}
	return part{}
}
