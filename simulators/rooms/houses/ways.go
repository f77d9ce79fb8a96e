package houses

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// jacksAt are the free jacks that metal joins with a point, in a drawn order.
func (h *hand) jacksAt(p name.Point) []name.Point {
	return some(h.dice, slices.DeleteFunc(h.live.Net(p), func(j name.Point) bool { return !h.free(j) }))
}

// before are jacks where a plug feeds an input: mostly its own.
func (h *hand) before(in name.Point) []name.Point {
	if own := h.places.wired[in]; h.free(own) && h.dice.often(85) {
		return []name.Point{own}
	}
	return h.jacksAt(in)
}

// cord adds a cord to what is put in, between any of some jacks and any of others,
// of a length that is left.
func (h *hand) cord(put *patch.Patch, from, to []name.Point) bool {
	left := h.leftAfter(*put)
	taken := put.Plugs()
	for _, a := range from {
		for _, b := range to {
			if a == b || slices.Contains(taken, a) || slices.Contains(taken, b) {
				continue
			}
			if kind := h.reach(a, b, left); kind >= 0 {
				put.Cords = append(put.Cords, patch.Cord{A: a, B: b, Length: h.places.studio.Stock.Cords[kind].Length})
				return true
			}
		}
	}
	return false
}

// byCord is a cord from a jack of the source to one of the destination.
func (h *hand) byCord(s, d name.Point) []patch.Patch {
	var put patch.Patch
	if !h.cord(&put, h.jacksAt(s), h.before(d)) {
		return nil
	}
	return []patch.Patch{put}
}

// byMult goes by a mult that nothing is in.
func (h *hand) byMult(s, d name.Point) []patch.Patch {
	var all []patch.Patch
	for _, m := range some(h.dice, h.places.studio.Mults) {
		if slices.ContainsFunc(m.Jacks, func(j name.Point) bool { return !h.free(j) }) || len(all) > 3 {
			continue
		}
		jacks := some(h.dice, m.Jacks)
		var put patch.Patch
		if h.cord(&put, h.jacksAt(s), jacks) && h.cord(&put, jacks, h.before(d)) {
			all = append(all, put)
		}
	}
	return all
}

// byTie goes by a tie, either way, and by another cord at its end where the tie
// does not lead to the destination by itself.
func (h *hand) byTie(s, d name.Point) []patch.Patch {
	var all []patch.Patch
	from := h.jacksAt(s)
	for _, t := range some(h.dice, h.places.studio.Ties) {
		if h.dice.often(50) {
			t = studio.Tie{A: t.B, B: t.A}
		}
		var put patch.Patch
		if len(all) > 3 || !h.free(t.A) || !h.free(t.B) || !h.cord(&put, from, []name.Point{t.A}) {
			continue
		}
		if slices.Contains(h.live.Net(t.B), d) || h.cord(&put, []name.Point{t.B}, h.before(d)) {
			all = append(all, put)
		}
	}
	return all
}

// byMatrix goes by crosspoints, with a cord before them or behind them where the
// normals do not lead there.
func (h *hand) byMatrix(s, d name.Point) []patch.Patch {
	var all []patch.Patch
	for _, in := range h.entries(s) {
		for _, out := range h.exits(d) {
			put := patch.Patch{Cords: slices.Concat(in.cords, out.cords)}
			if len(all) < 6 && h.owned(put) && h.through(&put, in.port, out.port, s) {
				all = append(all, put)
			}
		}
	}
	return all
}

func (h *hand) owned(p patch.Patch) bool {
	plugs := map[name.Point]bool{}
	for _, j := range p.Plugs() {
		if plugs[j] {
			return false
		}
		plugs[j] = true
	}
	return slices.Min(append(h.leftAfter(p), 0)) == 0
}

// door is a port of a matrix and the cord that it takes to it.
type door struct {
	port  name.Point
	cords []patch.Cord
}

// entries are inputs where the source is heard, or some where a cord brings it.
func (h *hand) entries(s name.Point) []door {
	var doors []door
	for out, in := range h.closed { // what has come on already
		if next, ok := h.places.onward[out]; ok && h.hearsOnly(next, s) {
			doors = append(doors, door{port: next})
		}
		if h.hearsOnly(in, s) {
			doors = append(doors, door{port: in})
		}
	}
	slices.SortFunc(doors, func(a, b door) int { return a.port.Compare(b.port) })
	for _, p := range h.live.Net(s) {
		if m, ok := h.places.of[p.Owner]; ok && p == m.In(p.Number) {
			doors = append(doors, door{port: p})
		}
	}
	doors = some(h.dice, slices.CompactFunc(doors, func(a, b door) bool { return a.port == b.port }))
	from := h.jacksAt(s)
	for range 12 {
		var put patch.Patch
		if in := one(h.dice, h.places.gridIns); !h.used(in) && h.cord(&put, from, h.before(in)) {
			doors = append(doors, door{in, put.Cords})
		}
	}
	return doors[:min(len(doors), 5)]
}

func (h *hand) hearsOnly(p, s name.Point) bool {
	hears := h.live.Hears(p)
	return len(hears) == 1 && hears[0] == s
}

// used says whether any output listens to an input.
func (h *hand) used(in name.Point) bool {
	for _, i := range h.closed {
		if i == in {
			return true
		}
	}
	return false
}

// exits are outputs that lead to a destination, or some from where a cord does.
func (h *hand) exits(d name.Point) []door {
	var doors []door
	for _, p := range h.live.Net(d) {
		if m, ok := h.places.of[p.Owner]; ok && p == m.Out(p.Number) && h.closed[p].IsZero() {
			doors = append(doors, door{port: p})
		}
	}
	to := h.before(d)
	for range 12 {
		var put patch.Patch
		if out := one(h.dice, h.places.gridOuts); h.closed[out].IsZero() && h.cord(&put, h.jacksAt(out), to) {
			doors = append(doors, door{out, put.Cords})
		}
	}
	return doors[:min(len(doors), 5)]
}

// through adds the crosspoints from an input to an output, through three matrices
// at most, by wires between them that are free.
func (h *hand) through(put *patch.Patch, in, out, source name.Point) bool {
	type stage struct {
		in  name.Point
		way []patch.Crosspoint
	}
	seen := map[string]bool{in.Owner: true}
	for queue := []stage{{in: in}}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		m := h.places.of[at.in.Owner]
		if m.Name == out.Owner {
			put.Crosspoints = append(at.way, patch.Crosspoint{Output: out, Input: at.in})
			return true
		}
		if len(at.way) == 2 {
			continue
		}
		for _, n := range h.dice.Perm(m.Outputs) {
			o := m.Out(n + 1)
			next, ok := h.places.onward[o]
			if !ok || !h.closed[o].IsZero() || seen[next.Owner] {
				continue
			}
			seen[next.Owner] = true
			way := append(slices.Clone(at.way), patch.Crosspoint{Output: o, Input: at.in})
			queue = append(queue, stage{next, way})
		}
	}
	return false
}
