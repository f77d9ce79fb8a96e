package houses

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// evening is what happens in a house: what is in, and what the session asks for.
type evening struct {
	dice                        dice
	size                        Size
	far                         bool
	room                        *heard.Room
	places                      *places
	session, line               *session.Session
	present, answer, lineAnswer patch.Patch
}

func newEvening(room *heard.Room, size Size, d dice, far bool) *evening {
	return &evening{dice: d, size: size, far: far, room: room, places: newPlaces(room.Studio())}
}

// draw lets one hand patch what is common to both patches, then one hand each what
// is not.
func (e *evening) draw() {
	inside := e.inside()
	all := e.size.asked()
	common := all * e.dice.between(15, 35) / 100
	strays := e.dice.between(1, 2+all/10)
	if !e.far {
		common, strays = all*e.dice.between(72, 92)/100, all*e.dice.between(6, 16)/100
	}
	if !e.far && e.size.Pairs < 100 {
		common = all * e.dice.between(45, 75) / 100
	}
	first := newHand(e, patch.Patch{}, inside)
	first.groups(common)
	first.dummy(e.size.between(0.5, 0.6, 1, 40))
	before := first.again()
	before.groups(common + strays)
	before.dummy(e.dice.IntN(2))
	e.present = before.patch
	now := first.again()
	now.groups(all)
	now.dummy(e.dice.between(0, e.size.between(1, 1, 2, 8)))
	e.answer = now.patch
	e.session = now.ask(before)
	e.another(now)
}

// inside is what the software carries; never what would go round at rest.
func (e *evening) inside() []studio.Pass {
	var passes []studio.Pass
	for range e.size.between(1, 2, 3, 6) {
		p := studio.Pass{In: one(e.dice, e.places.inputs), Out: one(e.dice, e.places.outputs)}
		if e.dice.often(50) && p.In.Part == name.Whole && p.Out.Part == name.Whole && !slices.Contains(passes, p) &&
			len(e.room.Hear(e.places.studio.Rest).Loops(append(passes, p), nil)) == 0 && len(e.room.Hear(patch.Patch{}).Loops(append(passes, p), nil)) == 0 {
			passes = append(passes, p)
		}
	}
	return passes
}

// places is what a hand knows of a studio.
type places struct {
	studio          *studio.Studio
	outputs, inputs []name.Point // of gear
	// wired are what stands behind a jack's rear, and the jack of a port.
	wired map[name.Point]name.Point
	// onward is the matrix input that a matrix output is wired to.
	onward map[name.Point]name.Point
	of     map[string]studio.Matrix
	// gridIns and gridOuts are ports of matrices that have a jack.
	gridIns, gridOuts []name.Point
	jack              map[name.Point]bool
	faulty            map[name.Point]bool
}

func newPlaces(s *studio.Studio) *places {
	p := &places{
		studio: s, wired: map[name.Point]name.Point{}, onward: map[name.Point]name.Point{}, of: map[string]studio.Matrix{},
		jack: map[name.Point]bool{}, faulty: map[name.Point]bool{}, outputs: s.Ends(studio.Output), inputs: s.Ends(studio.Input),
	}
	for _, m := range s.Matrices {
		p.of[m.Name] = m
	}
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			p.jack[b.TopJack(n)], p.jack[b.BottomJack(n)] = true, true
		}
	}
	for _, q := range s.Faulty {
		p.faulty[q] = true
	}
	for _, w := range s.Wires {
		p.wire(w)
	}
	return p
}

func (p *places) wire(w studio.Wire) {
	p.wired[w.From], p.wired[w.To] = w.To, w.From
	_, from := p.of[w.From.Owner]
	_, to := p.of[w.To.Owner]
	switch {
	case from && to:
		p.onward[w.From] = w.To
	case from:
		p.gridOuts = append(p.gridOuts, w.From)
	case to:
		p.gridIns = append(p.gridIns, w.To)
	}
}

// reach is the shortest kind of cord that is left and reaches; -1 for none.
func (h *hand) reach(a, b name.Point, left []int) int {
	way, ok := layout.Distance(h.places.studio, a, b)
	best := -1
	for i, c := range h.places.studio.Stock.Cords {
		if ok && left[i] > 0 && c.Length >= way+h.places.studio.Stock.Slack && (best < 0 || c.Length < h.places.studio.Stock.Cords[best].Length) {
			best = i
		}
	}
	return best
}
