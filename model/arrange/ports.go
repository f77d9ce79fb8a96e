package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// port is an output or input that comes to the bays.
type port struct {
	point   name.Point
	kind    studio.LineKind
	phantom bool
	// gear counts gear, then matrices, in the order of the file: ports stand in
	// this order where nothing speaks for another.
	gear int
	// jack is where it is now; zero where it is on no bay.
	jack name.Point
	// follows is set where it is the next of the same kind of the same gear after the
	// port before it in the list; right where it is the even one of two, of which
	// the other comes to the bays as well: its left side (common practice, no
	// published source).
	follows, right bool
	// turned is set where it stands in the row of the others: an input above, or an output
	// below.
	turned bool
	// straight is set where it belongs to a microphone line and comes to no bay.
	straight bool
	// own is the input of the same unit that leads to an output, by number; none where
	// there is none.
	own int
	// home is the zone that it belongs to; none where that is not known.
	home int
}

// slot is a column that is free to be arranged.
type slot struct {
	bay    int // of the studio
	number int
}

// room is what is arranged: ports, columns, and what stays.
type room struct {
	studio          *studio.Studio
	outputs, inputs []port
	slots           []slot
	// runs counts, column by column, the runs of columns that follow each other on one
	// bay.
	runs []int
	// idles are the columns to which nothing is wired today.
	idles []bool
	// inserts are sends over their own returns, by number.
	inserts []pairing
	// stays are the jacks of columns that are left as they are.
	stays map[name.Point]bool
	// mixed is set where there are lines of more than one kind.
	mixed bool
	// groups are those of the columns whose modes are not set one by one, none for
	// others, and held the mode that a group must have, unknown for any; grouped is
	// set where there are some.
	groups  []int
	held    []studio.Mode
	members [][]int // of each group, the columns
	grouped bool
	// bayZones are the zones of the bays, and zones those of the columns; zoned is set
	// where columns are of several.
	bayZones, zones []int
	zoned           bool
	// crossings are what a signal from a zone to another costs, in plugs.
	crossings [][]int64
	// microphones is the bay that is theirs alone; none where no bay is.
	microphones int
	// straights are the microphone lines that go to no bay.
	straights []Straight
	// wired is set where something is wired to the bays.
	wired bool
}

// newRoom finds what comes to the bays: in a room that is wired, what is wired to
// them and what was asked to come besides; in a new one all gear and matrices.
// Lines at loudspeaker level come to no bay, nor what is wired straight to
// something.
func newRoom(q *Request) *room {
	r := &room{studio: q.Studio, stays: map[name.Point]bool{}, microphones: none}
	r.findStays(q)
	r.findSlots(q)
	r.findRuns()
	r.findIdle()
	r.findGroups()
	r.findPorts(q.Also)
	r.findZones()
	if !slices.Contains(q.Waived, InsertsTogether) {
		r.findInserts()
	}
	r.link()
	return r
}

// link finds which ports follow each other, and whether their kinds differ.
func (r *room) link() {
	var kinds []studio.LineKind
	for _, ports := range [][]port{r.outputs, r.inputs} {
		for n := range ports {
			p := &ports[n]
			p.follows = n > 0 && follows(ports[n-1].point, p.point)
			p.right = p.follows && p.point.Number%2 == 0
			kinds = append(kinds, p.kind)
		}
	}
	r.mixed = len(slices.Compact(kinds)) > 1
	r.findOwn()
}

// findOwn finds the input that leads to each output of a unit: the one of its number,
// of those that pass to it.
func (r *room) findOwn() {
	for o := range r.outputs {
		r.outputs[o].own = none
	}
	for i, outputs := range r.through(func(g studio.Gear) []studio.Pass { return g.Passes }) {
		for _, o := range outputs {
			in, out := r.inputs[i].point, &r.outputs[o]
			if in.Owner == out.point.Owner && in.Number == out.point.Number && in.Part == name.Whole && out.point.Part == name.Whole {
				out.own = i
			}
		}
	}
}

// findStays marks both jacks of each column with a tie, a mult, a strapped
// normal, a tagged jack, something fixed, an output below or an input above, or a
// wire of a matrix.
func (r *room) findStays(q *Request) {
	stay := func(p name.Point) {
		if p.Stem == studio.Top || p.Stem == studio.Bottom {
			r.stays[name.At(p.Owner, studio.Top, p.Number)] = true
			r.stays[name.At(p.Owner, studio.Bottom, p.Number)] = true
		}
	}
	for _, t := range r.studio.Ties {
		stay(t.A)
		stay(t.B)
	}
	for _, m := range r.studio.Mults {
		for _, j := range m.Jacks {
			stay(j)
		}
	}
	for _, n := range r.studio.Normals {
		stay(n.From)
		stay(n.To)
	}
	for _, p := range slices.Concat(r.studio.Faulty, r.studio.FaultyNormals, q.Fixed) {
		stay(p)
	}
	for _, w := range r.studio.Wires {
		// What a matrix switches is free: a column that feeds one is worth more than
		// the sum over columns knows.
		if r.turned(w) || fixed(q.Fixed, w.From) || fixed(q.Fixed, w.To) || r.ofMatrix(w.From) || r.ofMatrix(w.To) {
			stay(w.From)
			stay(w.To)
		}
	}
}

// turned says whether an output stands at the bottom, or an input at the top: it
// was put there for a reason of its own.
func (r *room) turned(w studio.Wire) bool {
	return w.To.Stem == studio.Bottom && r.slotted(w.To) || w.From.Stem == studio.Top && r.slotted(w.From)
}

// slotted says whether a point is a jack of a bay.
func (r *room) slotted(p name.Point) bool {
	return slices.ContainsFunc(r.studio.Bays, func(b studio.Bay) bool { return b.Name == p.Owner })
}

func (r *room) ofMatrix(p name.Point) bool {
	return slices.ContainsFunc(r.studio.Matrices, func(m studio.Matrix) bool { return m.Name == p.Owner })
}

// fixed says whether a port, or all of its gear, is fixed.
func fixed(all []name.Point, p name.Point) bool {
	return slices.ContainsFunc(all, func(f name.Point) bool { return f == p || f.Stem == "" && f.Owner == p.Owner })
}

func (r *room) findSlots(q *Request) {
	for n, b := range r.studio.Bays {
		if len(q.Bays) > 0 && !slices.Contains(q.Bays, b.Name) {
			continue
		}
		for pair := 1; pair <= b.Pairs(); pair++ {
			if !r.stays[b.TopJack(pair)] {
				r.slots = append(r.slots, slot{n, pair})
			}
		}
	}
}

// findIdle finds those columns.
func (r *room) findIdle() {
	at := r.wiredTo()
	for _, s := range r.slots {
		b := &r.studio.Bays[s.bay]
		_, top := at[b.TopJack(s.number)]
		_, bottom := at[b.BottomJack(s.number)]
		r.idles = append(r.idles, !top && !bottom)
	}
}

// findRuns counts the runs of columns.
func (r *room) findRuns() {
	run := 0
	for n := range r.slots {
		if r.begins(n) {
			run++
		}
		r.runs = append(r.runs, run)
	}
}

// begins says whether a column does not follow the one before on the same bay.
func (r *room) begins(n int) bool {
	return n == 0 || r.slots[n-1] != slot{r.slots[n].bay, r.slots[n].number - 1}
}

func (r *room) findPorts(also []name.Point) {
	at := r.wiredTo()
	wired := false
	for _, jack := range at {
		wired = wired || r.arranged(jack)
	}
	r.wired = wired
	take := func(p port, output bool) {
		jack, has := at[p.point]
		switch {
		case has && !r.arranged(jack):
			return // it stays, or goes elsewhere
		case !has && wired && !fixed(also, p.point):
			return
		case p.kind == studio.LoudspeakerLevel:
			return
		}
		p.jack = jack
		if output {
			r.outputs = append(r.outputs, p)
		} else {
			r.inputs = append(r.inputs, p)
		}
	}
	for n, g := range r.studio.Gear {
		for _, p := range g.Ports {
			take(port{point: p.Point, kind: p.Line.Kind, phantom: p.Line.Phantom, gear: n}, p.Direction == studio.Output)
		}
	}
	for n, m := range r.studio.Matrices {
		n += len(r.studio.Gear)
		for i := 1; i <= m.Inputs; i++ {
			take(port{point: m.In(i), kind: orLine(m.Line.Kind), gear: n}, false)
		}
		for o := 1; o <= m.Outputs; o++ {
			take(port{point: m.Out(o), kind: orLine(orKind(m.OutputsLine.Kind, m.Line.Kind)), gear: n}, true)
		}
	}
}

func orKind(k, other studio.LineKind) studio.LineKind {
	if k == studio.LineUnknown {
		return other
	}
	return k
}

func orLine(k studio.LineKind) studio.LineKind { return orKind(k, studio.LineLevel) }

// wiredTo is the other end of the wire of each port.
func (r *room) wiredTo() map[name.Point]name.Point {
	at := map[name.Point]name.Point{}
	for _, w := range r.studio.Wires {
		at[w.From], at[w.To] = w.To, w.From
	}
	return at
}

// arranged says whether a point is a jack whose column may be arranged.
func (r *room) arranged(p name.Point) bool {
	return r.slotOf(p) >= 0
}

// slotOf is the column of a jack, negative for one that is not arranged.
func (r *room) slotOf(p name.Point) int {
	return slices.IndexFunc(r.slots, func(s slot) bool {
		b := &r.studio.Bays[s.bay]
		return p.Owner == b.Name && p.Number == s.number && (p.Stem == studio.Top || p.Stem == studio.Bottom)
	})
}

// findInserts pairs each send with its return.
func (r *room) findInserts() {
	for o, send := range r.outputs {
		if send.point.Part != name.Send {
			continue
		}
		back := send.point
		back.Part = name.Return
		if i := slices.IndexFunc(r.inputs, func(p port) bool { return p.point == back }); i >= 0 {
			r.inserts = append(r.inserts, pairing{o, i})
		}
	}
}

// demand is what the sessions ask of the ports.
func (r *room) demand(q *Request) *demand {
	d := &demand{outputs: len(r.outputs), inputs: len(r.inputs)}
	outputs, inputs := numbers(r.outputs), numbers(r.inputs)
	barred := r.withoutNormal(q)
	d.alien = func(o, i int) bool { return r.alien(o, i, q) }
	d.halved = r.isInsert
	d.always = r.turnedCost(q)
	d.untapped = func(o int) bool { return r.outputs[o].kind == studio.MicLevel }
	howls := r.howling()
	d.isolated = func(o, i int) bool {
		if r.outputs[o].turned || r.inputs[i].turned {
			return true
		}
		return r.outputs[o].point.Owner == r.inputs[i].point.Owner || barred[i] || howls(o, i)
	}
	for _, s := range q.Sessions {
		wants, silent := make([][]int, d.outputs), make([]bool, d.inputs)
		for n, w := range s.Session.Wants {
			o, ok := outputs[w.Source]
			if !ok || slices.ContainsFunc(s.Session.Wants[:n], func(v session.Want) bool { return v.Source == w.Source && v.Destination == w.Destination }) {
				continue
			}
			i, ok := inputs[w.Destination]
			if !ok {
				i = d.inputs + n // a destination that stands elsewhere
			}
			wants[o] = append(wants[o], i)
		}
		for _, p := range s.Session.Silent {
			if i, ok := inputs[p]; ok {
				silent[i] = true
			}
		}
		d.weights, d.wants, d.silent = append(d.weights, int64(max(1, s.Weight))), append(d.wants, wants), append(d.silent, silent)
	}
	return d
}

func numbers(ports []port) map[name.Point]int {
	all := make(map[name.Point]int, len(ports))
	for n, p := range ports {
		all[p.point] = n
	}
	return all
}

func (r *room) isInsert(o, i int) bool { return slices.Contains(r.inserts, pairing{o, i}) }

// alien says whether an output and an input may not share a column: their kinds
// differ, or one of them belongs to an insert that the other does not.
func (r *room) alien(o, i int, q *Request) bool {
	of := func(p pairing) bool { return (p.output == o) != (p.input == i) }
	if slices.ContainsFunc(r.inserts, of) {
		return true
	}
	if o == none || i == none {
		return false
	}
	return r.outputs[o].kind != r.inputs[i].kind && !slices.Contains(q.Waived, KindsApart)
}

// through are the outputs that each input leads to by passes.
func (r *room) through(passes func(studio.Gear) []studio.Pass) [][]int {
	outputs, inputs := numbers(r.outputs), numbers(r.inputs)
	all := make([][]int, len(r.inputs))
	for _, g := range r.studio.Gear {
		for _, p := range passes(g) {
			i, ok := inputs[p.In]
			o, has := outputs[p.Out]
			if ok && has {
				all[i] = append(all[i], o)
			}
		}
	}
	return all
}
