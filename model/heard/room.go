// Package heard says what is heard where.
//
// Everything joined by metal is one net: a jack's front and rear, the two jacks
// of a pair while its normal holds, the ends of a cord, a lead, a wire, a tie,
// the jacks of a mult, and the input and output of a closed relay. Outputs of
// gear drive a net, inputs of gear listen to it. In a matrix of amplifiers each
// input listens, each output drives, and a crosspoint carries one way. A
// destination hears every gear output that drives its net, and all that the
// inputs behind each matrix output on its net hear.
//
// A Room is a studio made ready for these questions; a State is the room with
// one patch in it. Both are immutable. The package judges nothing but whether a
// session is given; what an experienced hand would say of it is package check.
package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// What a joint is made of, in the words that a person reads.
const (
	ByWire       = "wire"
	ByNormal     = "normal"
	ByStrap      = "strapped normal"
	ByCord       = "cord"
	ByLead       = "lead"
	ByTie        = "tie"
	ByMult       = "mult"
	ByParallel   = "parallel pair"
	ByCrosspoint = "crosspoint"
)

type kind uint8

const (
	gearOutput kind = iota + 1
	gearInput
	jack
	matrixInput
	matrixOutput
	hub // the common metal of a mult; a place without a name
)

// joint is metal between two points that no patch can change.
type joint struct {
	a, b int
	by   string
}

// pair is a normal that plugs can break: breaksA and breaksB say whether a
// plug in that jack does.
type pair struct {
	a, b             int
	breaksA, breaksB bool
	by               string
}

// Room is a studio made ready for computing: every point has a number. It is
// immutable and safe for concurrent use.
type Room struct {
	// described is the studio as its file has it; studio has only the passes that
	// hold with what its gear selects.
	described, studio *studio.Studio
	points            []name.Point
	kinds             []kind
	number            map[name.Point]int
	fixed             []joint
	pairs             []pair
	// pairOf finds the pair of a bay by its top jack.
	pairOf map[int]int
	// contacts holds the matrices whose crosspoints are metal; letsGo those
	// whose outputs drive nothing when off.
	contacts, letsGo map[string]bool
	// islands are the points that fixed joints make one, whatever the patch: of
	// each point its island, and of each island what stands on it.
	island  []int
	islands []island
	// brokenBy lists the pairs that a plug in a jack may break.
	brokenBy [][]int
	passes   []pass
	// thieves are the sockets that take over each input, by point.
	thieves map[int][]int
}

// island is a set of points that no patch can part.
type island struct {
	points []int
	// sources are gear outputs; amplifiers are outputs of amplifier matrices.
	sources, amplifiers []int
	// pairs are the normals that begin or end here.
	pairs []int
}

type pass struct{ in, out int }

// NewRoom makes a studio ready. It takes time linear in the size of the studio.
// Wires and ties to points that the studio does not have are left out: the
// reader has refused them.
func NewRoom(s *studio.Studio) *Room {
	r := &Room{
		described: s, studio: selected(s),
		number:   map[name.Point]int{},
		pairOf:   map[int]int{},
		contacts: map[string]bool{},
		letsGo:   map[string]bool{},
	}
	r.addGear()
	r.addMatrices()
	r.addBays()
	r.addBoxes()
	r.addFixed()
	r.passes = r.numbered(gearPasses(r.studio))
	r.findIslands()
	r.addSteals()
	return r
}

// findIslands numbers them in the order of their first points.
func (r *Room) findIslands() {
	joined := newForest(len(r.points))
	for _, j := range r.fixed {
		joined.join(j.a, j.b)
	}
	r.island = make([]int, len(r.points))
	ofRoot := map[int]int{}
	for i, k := range r.kinds {
		n, ok := ofRoot[joined.root(i)]
		if !ok {
			n = len(r.islands)
			ofRoot[joined.root(i)] = n
			r.islands = append(r.islands, island{})
		}
		r.island[i] = n
		at := &r.islands[n]
		at.points = append(at.points, i)
		switch {
		case k == gearOutput:
			at.sources = append(at.sources, i)
		case k == matrixOutput && !r.contacts[r.points[i].Owner]:
			at.amplifiers = append(at.amplifiers, i)
		}
	}
	r.brokenBy = make([][]int, len(r.points))
	for n, p := range r.pairs {
		r.brokenBy[p.a] = append(r.brokenBy[p.a], n)
		r.brokenBy[p.b] = append(r.brokenBy[p.b], n)
		for _, end := range []int{p.a, p.b} {
			at := &r.islands[r.island[end]]
			at.pairs = append(at.pairs, n)
		}
	}
}

// Studio is the studio that the room was made from, with only the passes that
// hold with what its gear selects; it must not be changed.
func (r *Room) Studio() *studio.Studio { return r.studio }

// Has says whether the room has the point.
func (r *Room) Has(p name.Point) bool {
	_, ok := r.number[p]
	return ok
}

func (r *Room) add(p name.Point, k kind) int {
	if n, ok := r.number[p]; ok {
		return n
	}
	n := len(r.points)
	r.points = append(r.points, p)
	r.kinds = append(r.kinds, k)
	if k != hub {
		r.number[p] = n
	}
	return n
}

func (r *Room) addGear() {
	for _, g := range r.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				r.add(p.Point, gearOutput)
				continue
			}
			r.add(p.Point, gearInput)
		}
	}
}

func (r *Room) addMatrices() {
	for _, m := range r.studio.Matrices {
		r.contacts[m.Name] = m.Kind == studio.Contacts
		r.letsGo[m.Name] = m.LetsGo
		for n := 1; n <= m.Inputs; n++ {
			r.add(m.In(n), matrixInput)
		}
		for n := 1; n <= m.Outputs; n++ {
			r.add(m.Out(n), matrixOutput)
		}
	}
}

func (r *Room) addBays() {
	for _, bay := range r.studio.Bays {
		for i, mode := range bay.Modes {
			r.addPair(r.add(bay.TopJack(i+1), jack), r.add(bay.BottomJack(i+1), jack), mode)
		}
	}
}

func (r *Room) addBoxes() {
	for _, b := range r.studio.Boxes {
		for n := 1; n <= b.Sockets; n++ {
			r.add(b.Socket(n), jack)
		}
	}
}

func (r *Room) addPair(top, bottom int, mode studio.Mode) {
	switch mode {
	case studio.Parallel:
		r.fixed = append(r.fixed, joint{top, bottom, ByParallel})
		return
	case studio.Isolated, studio.ModeUnknown:
		return
	case studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop:
	}
	if slices.Contains(r.studio.FaultyNormals, r.points[top]) {
		return
	}
	r.pairOf[top] = len(r.pairs)
	r.pairs = append(r.pairs, pair{
		a: top, b: bottom, by: ByNormal,
		breaksA: !mode.Joined(true, false),
		breaksB: !mode.Joined(false, true),
	})
}

func (r *Room) addFixed() {
	for _, w := range r.studio.Wires {
		r.fix(w.From, w.To, ByWire)
	}
	for _, t := range r.studio.Ties {
		r.fix(t.A, t.B, ByTie)
	}
	for _, m := range r.studio.Mults {
		middle := r.add(name.Point{}, hub)
		for _, p := range m.Jacks {
			if n, ok := r.number[p]; ok {
				r.fixed = append(r.fixed, joint{n, middle, ByMult})
			}
		}
	}
	for _, n := range r.studio.Normals {
		a, okA := r.number[n.From]
		b, okB := r.number[n.To]
		if okA && okB {
			r.pairs = append(r.pairs, pair{a: a, b: b, breaksB: true, by: ByStrap})
		}
	}
}

func (r *Room) fix(p, q name.Point, by string) {
	a, okA := r.number[p]
	b, okB := r.number[q]
	if okA && okB {
		r.fixed = append(r.fixed, joint{a, b, by})
	}
}

func gearPasses(s *studio.Studio) []studio.Pass {
	var all []studio.Pass
	for _, g := range s.Gear {
		all = append(all, g.Passes...)
	}
	return all
}

func (r *Room) numbered(passes []studio.Pass) []pass {
	var found []pass
	for _, p := range passes {
		in, okIn := r.number[p.In]
		out, okOut := r.number[p.Out]
		if okIn && okOut {
			found = append(found, pass{in, out})
		}
	}
	return found
}
