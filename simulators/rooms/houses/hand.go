package houses

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// hand patches: each thing that it does lets one more destination hear a source,
// and disturbs none that it has served.
type hand struct {
	*evening
	// software is what software or a desk carries.
	software []studio.Pass
	live     *heard.Live
	patch    patch.Patch
	plugged  map[name.Point]bool
	closed   map[name.Point]name.Point // the input of each output of a matrix
	left     []int                     // of each kind of cord
	dummies  int
	deeds    []deed
}

// deed is one thing done: what it put in, and who hears whom by it.
type deed struct {
	put                 patch.Patch
	source, destination name.Point
}

func newHand(e *evening, p patch.Patch, inside []studio.Pass) *hand {
	h := &hand{evening: e, software: inside, live: e.room.Live(p), plugged: map[name.Point]bool{}, closed: map[name.Point]name.Point{}, dummies: e.places.studio.Dummies}
	for _, c := range e.places.studio.Stock.Cords {
		h.left = append(h.left, c.Count)
	}
	return h
}

// again is another hand that goes on from here.
func (h *hand) again() *hand {
	next := newHand(h.evening, patch.Patch{}, h.software)
	for _, d := range h.deeds {
		next.live.Change(patch.Patch{}, d.put)
		next.keep(d)
	}
	return next
}

// keep writes a deed down.
func (h *hand) keep(d deed) {
	h.deeds = append(h.deeds, d)
	h.patch.Cords = append(h.patch.Cords, d.put.Cords...)
	h.patch.Dummies = append(h.patch.Dummies, d.put.Dummies...)
	h.patch.Crosspoints = append(h.patch.Crosspoints, d.put.Crosspoints...)
	h.patch.Sort()
	for _, j := range d.put.Plugs() {
		h.plugged[j] = true
	}
	for _, x := range d.put.Crosspoints {
		h.closed[x.Output] = x.Input
	}
	h.dummies -= len(d.put.Dummies)
	h.left = h.leftAfter(d.put)
}

// leftAfter are the cords left when a patch is in, too.
func (h *hand) leftAfter(p patch.Patch) []int {
	left := slices.Clone(h.left)
	for _, c := range p.Cords {
		for i, kind := range h.places.studio.Stock.Cords {
			if kind.Length == c.Length {
				left[i]--
			}
		}
	}
	return left
}

// try does a deed, and undoes it where it does not do what it should: its
// destination hears its source alone, or nothing if it has none; whoever was
// served hears as before; no outputs are joined, and nothing goes round.
func (h *hand) try(d deed) bool {
	h.live.Change(patch.Patch{}, d.put)
	if h.good(d) {
		h.keep(d)
		return true
	}
	h.live.Change(d.put, patch.Patch{})
	return false
}

func (h *hand) good(d deed) bool {
	return !h.live.Contended() && h.does(d) && !slices.ContainsFunc(h.deeds, func(old deed) bool { return !h.does(old) }) &&
		len(h.live.Loops(h.software, nil)) == 0
}

func (h *hand) does(d deed) bool {
	if d.destination.IsZero() {
		return true
	}
	hears := h.live.Hears(d.destination)
	if d.source.IsZero() {
		return len(hears) == 0
	}
	return len(hears) == 1 && hears[0] == d.source
}

func (h *hand) served(p name.Point) bool {
	return slices.ContainsFunc(h.deeds, func(d deed) bool { return d.destination == p })
}

func (h *hand) sounds(p name.Point) bool {
	return slices.ContainsFunc(h.deeds, func(d deed) bool { return d.source == p })
}

// count is how many destinations hear a source by what was done.
func (h *hand) count() int {
	n := 0
	for _, d := range h.deeds {
		if !d.source.IsZero() {
			n++
		}
	}
	return n
}

// groups serves destinations until there are so many: of one source one, or up to
// four.
func (h *hand) groups(until int) {
	for tries := 0; h.count() < until && tries < 20+4*until; tries++ {
		source := h.source()
		if source.IsZero() || h.sounds(source) {
			continue
		}
		for range []int{1, 1, 1, 1, 1, 1, 2, 2, 3, 4}[h.dice.IntN(10)] {
			for range 8 {
				if h.count() < until && h.serve(source, h.destination(source)) {
					break
				}
			}
		}
	}
}

// source draws an output of gear, often one that a normal brings to a matrix.
func (h *hand) source() name.Point {
	if !h.dice.often(h.size.between(15, 15, 35, 35)) {
		return one(h.dice, h.places.outputs)
	}
	if hears := h.live.Hears(one(h.dice, h.places.gridIns)); len(hears) == 1 {
		return hears[0]
	}
	return name.Point{}
}

// destination draws one, mostly of the column that the source is in, and often one
// that a normal joins to an output of a matrix.
func (h *hand) destination(source name.Point) name.Point {
	near, behind := h.dice.often(70), h.dice.often(h.size.between(15, 15, 35, 35))
	for range 40 {
		d := one(h.dice, h.places.inputs)
		if behind {
			if d = h.behind(one(h.dice, h.places.gridOuts)); d.IsZero() {
				continue
			}
		}
		if !h.served(d) && (!near || h.column(d) == h.column(source)) {
			return d
		}
	}
	return name.Point{}
}

// behind is an input of gear that a free output of a matrix leads to by itself;
// none where there is none.
func (h *hand) behind(out name.Point) name.Point {
	if h.closed[out].IsZero() {
		for _, p := range h.live.Net(out) {
			if _, grid := h.places.of[p.Owner]; !grid && !h.places.jack[p] {
				return p
			}
		}
	}
	return name.Point{}
}

// column is the place of a port's bay from left to right; -1 for none.
func (h *hand) column(p name.Point) int {
	jack := h.places.wired[p]
	for _, b := range h.places.studio.Bays {
		if b.Name == jack.Owner {
			return int(b.At.X)
		}
	}
	return -1
}

// serve lets a destination hear a source, by one of the ways that there are.
func (h *hand) serve(source, destination name.Point) bool {
	if destination.IsZero() || h.does(deed{source: source, destination: destination}) && h.dice.often(80) {
		return false
	}
	ways := []func(s, d name.Point) []patch.Patch{h.byMatrix, h.byCord, h.byMult, h.byTie}
	first := ways[[]int{0, 0, 0, 0, 0, 1, 1, 1, 2, 3}[h.dice.IntN(10)]]
	for _, way := range append([]func(s, d name.Point) []patch.Patch{first}, ways...) {
		for _, put := range way(source, destination) {
			if h.try(deed{put, source, destination}) {
				return true
			}
		}
	}
	return false
}

// dummy silences some that hear something by a normal.
func (h *hand) dummy(count int) {
	for range 20 * count {
		d := one(h.dice, h.places.inputs)
		jack := h.places.wired[d]
		if count > 0 && h.dummies != 0 && h.free(jack) && !h.served(d) && len(h.live.Hears(d)) > 0 &&
			h.try(deed{put: patch.Patch{Dummies: []name.Point{jack}}, destination: d}) {
			count--
		}
	}
}

// free says whether a jack takes a plug.
func (h *hand) free(p name.Point) bool {
	return h.places.jack[p] && !h.plugged[p] && !h.places.faulty[p]
}
