package order

import (
	"slices"

	"bayhand/model/name"
)

// deordering takes from an order all waits that nothing needs: a deordering of a plan
// that is minimal, in the words of Bäckström ("Computational Aspects of Reordering
// Plans", 1998; from memory). From the first action on it goes through those that one
// waits for with none between, takes the wait away, and looks at what this allows, plug
// by plug, since others may have a turn while a cord hangs by one end. The wait stays
// away where no state is worse than the order found: nothing is joined, goes round, is
// touched or interrupted that is not so there, and nothing is heard from loudspeakers
// that are not muted anyway.
//
// What an action does depends on those near it alone. So what a wait keeps apart shows
// at those that are near both its ends, and states differ by what is near these. Their
// number is exponential in that; it is bounded, and what could not be looked at waits.
type deordering struct {
	rules *rules
	waits *waits
	// parts are the single events of each action, by its place.
	parts [][]*action
	// accepted are the hazards that the order found has, and breaks what is interrupted
	// in it.
	accepted map[string]bool
	breaks   map[hearer]bool
	// unpowered are the inputs whose phantom power is off.
	unpowered map[name.Point]bool
	// progress is how many parts of each action are done.
	progress []uint8
	known    map[string]*partEffect
	// near are the places of those that each action depends on.
	near    [][]int
	scratch []byte
	// left is how many events may be done yet.
	left int
}

// partEffect is what one plug or crosspoint does in a state.
type partEffect struct {
	harmless   bool
	mutes      []string
	phantomOff []name.Point
}

// How many events are done at most to find what is needed: for a plan, and for each
// action of it.
const deorderEvents, deorderEventsEach = 4000, 500

// deorder leaves the waits that are needed.
func deorder(q *sequencer, w *waits) {
	d := &deordering{
		rules: q.rules, waits: w, accepted: map[string]bool{}, breaks: map[hearer]bool{},
		unpowered: map[name.Point]bool{}, known: map[string]*partEffect{},
		progress: make([]uint8, len(w.order)), left: deorderEvents + deorderEventsEach*len(w.order),
	}
	d.learn(q)
	for _, near := range w.near {
		var places []int
		for k, is := range near {
			if is {
				places = append(places, k)
			}
		}
		d.near = append(d.near, places)
	}
	for i := range w.order {
		for before := i - 1; before >= 0; before-- {
			if w.covers(before, i) && !w.fixed[i][before] {
				d.try(before, i)
			}
		}
	}
	w.reduce()
	for i, a := range w.order {
		a.needs.mute(d.mayClick(q, i)...)
	}
}

// learn notes what the order found has, part by part.
func (d *deordering) learn(q *sequencer) {
	for _, a := range d.waits.order {
		parts := q.facts.parts(a)
		for _, part := range parts {
			e := d.rules.do(part)
			for _, h := range e.hazards {
				d.accepted[h.text] = true
			}
			for _, h := range e.interrupted {
				d.breaks[h] = true
			}
			a.needs.mute(e.mutes...)
			a.needs.powerOff(e.phantomOff...)
		}
		a.needs.mute(a.effect.mutes...)
		for _, p := range a.needs.phantomOff {
			d.unpowered[p] = true
		}
		d.parts = append(d.parts, parts)
	}
	for _, parts := range slices.Backward(d.parts) {
		d.rules.now.undoAll(parts)
	}
}

// mayClick are the gear, muted anyway, that a plug may click from as others are done
// before it or after.
func (d *deordering) mayClick(q *sequencer, i int) []string {
	w := d.waits
	var all []string
	for _, g := range q.facts.audible {
		if w.quiet[g.Name] && slices.ContainsFunc(w.places(), func(k int) bool {
			return k != i && !w.all[i][k] && !w.all[k][i] && q.zones.clicksBy(w.order[i], w.order[k], g)
		}) {
			all = append(all, g.Name)
		}
	}
	return all
}

// parts are the single events of an action. The plug of a cord that hangs changes nothing
// in a jack that breaks no normal: it goes with the other plug of its cord, whenever
// others have a turn.
func (f *facts) parts(a *action) []*action {
	var all []*action
	joins := false
	for i, e := range a.events {
		hangs := i == 0 && e.joined == nil && f.breaksNone(e.jack)
		drops := i > 0 && len(e.out.Plugs()) == 1 && len(e.in.Plugs()) == 0 && f.breaksNone(e.jack)
		if last := len(all) - 1; last >= 0 && (joins || drops) {
			all[last].events = append(all[last].events, e)
		} else {
			all = append(all, &action{matrix: a.matrix, events: []event{e}})
		}
		joins = hangs
	}
	return all
}

// breaksNone says whether a plug in a jack breaks no normal.
func (f *facts) breaksNone(jack name.Point) bool {
	g := f.room.Graph()
	j, ok := g.JackOf[jack]
	return ok && !slices.ContainsFunc(g.Jacks[j].Normals, func(n int) bool { return g.Normals[n].Breaks(j) })
}

// try lets an action be done before another that it waits for, if that is harmless.
func (d *deordering) try(before, i int) {
	w := d.waits
	w.all[i][before] = false
	s := d.newStates(before, i)
	rest := d.left - d.left/4
	d.left /= 4
	s.seen[string(d.key(nil, s.members))] = true
	if !d.explore(s) {
		w.all[i][before] = true
	}
	d.left += rest
	for _, k := range s.base {
		d.rules.now.undoAll(d.parts[k])
		d.progress[k] = 0
	}
	if w.all[i][before] {
		return
	}
	for k, effects := range s.met {
		for _, e := range effects {
			w.order[k].needs.mute(e.mutes...)
			w.order[k].needs.powerOff(e.phantomOff...)
		}
	}
}

// states are those in which one action is not done.
type states struct {
	undone int
	// judged are the actions whose effect may be another there, members those near
	// them; base are members that are done in all.
	judged        []bool
	members, base []int
	seen          map[string]bool
	met           map[int][]*partEffect
}

// newStates are those that come to be when an action no longer waits for another. What
// it still waits for is done.
func (d *deordering) newStates(before, i int) *states {
	w := d.waits
	s := &states{undone: before, judged: make([]bool, len(w.order)), seen: map[string]bool{}, met: map[int][]*partEffect{}}
	member := make([]bool, len(w.order))
	for k := range w.order {
		if s.judged[k] = w.near[before][k] && w.near[i][k]; s.judged[k] {
			for m, near := range w.near[k] {
				member[m] = member[m] || near
			}
		}
	}
	for k := range w.order {
		if !member[k] {
			continue
		}
		s.members = append(s.members, k)
		if w.all[i][k] {
			s.base = append(s.base, k)
			d.progress[k] = uint8(len(d.parts[k]))
			for _, part := range d.parts[k] {
				d.rules.now.do(part)
			}
		}
	}
	slices.Reverse(s.base)
	return s
}

// explore looks at all that can be done next. The last actions come first: that what
// should come late comes early is the likeliest harm.
func (d *deordering) explore(s *states) bool {
	for _, k := range slices.Backward(s.members) {
		at := int(d.progress[k])
		if at == len(d.parts[k]) || !d.ready(k, s.members) {
			continue
		}
		done := false
		if s.judged[k] {
			var e *partEffect
			if e, done = d.effect(k); !e.harmless {
				d.undo(k, done)
				return false
			}
			s.met[k] = append(s.met[k], e)
		}
		if last := at+1 == len(d.parts[k]); last && k == s.undone {
			d.undo(k, done)
			continue
		}
		if !d.goOn(s, k, done) {
			return false
		}
	}
	return true
}

// goOn looks on from where the next part of an action is done, which it may be already, and
// undoes it.
func (d *deordering) goOn(s *states, k int, done bool) (harmless bool) {
	part := d.parts[k][d.progress[k]]
	if d.left--; d.left >= 0 {
		d.progress[k]++
		d.scratch = d.key(d.scratch[:0], s.members)
		harmless = s.seen[string(d.scratch)]
		if !harmless {
			s.seen[string(d.scratch)] = true
			if !done {
				d.rules.now.do(part)
				done = true
			}
			harmless = d.explore(s)
		}
		d.progress[k]--
	}
	d.undo(k, done)
	return harmless
}

// undo takes back the next part of an action, where it was done.
func (d *deordering) undo(k int, done bool) {
	if done {
		d.rules.now.undo(d.parts[k][d.progress[k]])
	}
}

// key adds what is done of some actions to a key.
func (d *deordering) key(key []byte, places []int) []byte {
	for _, k := range places {
		key = append(key, d.progress[k])
	}
	return key
}

// ready says whether all that an action waits for is done.
func (d *deordering) ready(k int, members []int) bool {
	return !slices.ContainsFunc(members, func(before int) bool {
		return d.waits.all[k][before] && int(d.progress[before]) < len(d.parts[before])
	})
}

// effect is what the next part of an action does in a state; harm where no more may be looked
// at. Done says that the part was done to find out.
func (d *deordering) effect(k int) (e *partEffect, done bool) {
	d.scratch = d.key(append(d.scratch[:0], byte(k), byte(k>>8), byte(k>>16)), d.near[k])
	if e := d.known[string(d.scratch)]; e != nil {
		return e, false
	}
	if d.left--; d.left < 0 {
		return &partEffect{}, false
	}
	key := string(d.scratch)
	found := d.rules.do(d.parts[k][d.progress[k]])
	e = &partEffect{mutes: found.mutes, phantomOff: found.phantomOff}
	e.harmless = !slices.ContainsFunc(found.hazards, func(h hazard) bool { return h.weight > weighsSound && !d.accepted[h.text] }) &&
		!slices.ContainsFunc(found.interrupted, func(h hearer) bool { return !d.breaks[h] }) &&
		!slices.ContainsFunc(found.mutes, func(g string) bool { return !d.waits.quiet[g] }) &&
		!slices.ContainsFunc(found.phantomOff, func(p name.Point) bool { return !d.unpowered[p] })
	d.known[key] = e
	return e, true
}
