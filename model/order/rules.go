package order

import (
	"fmt"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// rules say what a state on the way may not have.
type rules struct {
	facts *facts
	zones *zones
	// now is the room as actions are done, the old patch at first; old is the old, once it is
	// needed, new the new.
	now, old, new *state
	// speakers are the inputs of audible gear, by number.
	speakers map[int]speaker
	// kept are the wants that must not be interrupted and are given before and
	// after, by destination; keptAt has them by its number.
	kept   map[name.Point]session.Want
	keptAt map[int]session.Want
	// phantoms are the inputs with phantom power, by number.
	phantoms map[int]bool
	// thumping are what thumps by each of them, once that is known.
	thumping map[int][]string
	// looped is true once something may have gone round: from then on it must be
	// looked at what is left of it, too, as only the shortest loop of many is told.
	looped bool
	// silent are the gear that is muted from the beginning: cut by the session, by an
	// output of a matrix that is off, or since it must be muted on the way anyhow.
	silent map[string]bool
	// both are the sources heard at inputs before and after, by number, where anything
	// may change.
	both map[int][]int
	// carries are the outputs that each input may lead to, by number, once they are known;
	// carried those of loops, by what the software carries; allowed are the points of loops that
	// the session allows.
	carries [][]int
	carried []carried
	allowed map[int]bool
	// before and after are the old and the new patch, once they are needed.
	before, after *heard.State
	// scratch is room for the inputs that are looked at one after the other, met says which
	// points were.
	scratch []int
	met     []bool
}

// speaker is an input of a loudspeaker or headphone, and the sources that it hears before or
// after.
type speaker struct {
	gear, called string
	may          []int
}

func newRules(f *facts) *rules {
	g := f.room.Graph()
	r := &rules{
		facts: f, now: f.state(f.from), new: f.state(f.target),
		speakers: map[int]speaker{}, kept: map[name.Point]session.Want{}, keptAt: map[int]session.Want{},
		phantoms: map[int]bool{}, thumping: map[int][]string{}, both: map[int][]int{}, silent: map[string]bool{},
		carries: make([][]int, len(g.Points)), met: make([]bool, len(g.Points)), allowed: map[int]bool{},
	}
	for _, i := range f.insides {
		r.carried = append(r.carried, carried{f, i, make([][]int, len(g.Points))})
	}
	for _, at := range numbersOf(g, f.session.Loops) {
		r.allowed[at] = true
	}
	for _, gear := range f.audible {
		for _, p := range inputs(gear) {
			in := g.Number[p]
			r.speakers[in] = speaker{gear.Name, called(gear), slices.Concat(r.now.numbers.HeardAt(in), r.new.numbers.HeardAt(in))}
		}
		r.silent[gear.Name] = f.silent(gear)
	}
	for _, gear := range f.studio.Gear {
		for _, p := range gear.Ports {
			if p.Direction == studio.Input && p.Line.Phantom {
				r.phantoms[g.Number[p.Point]] = true
			}
		}
	}
	for _, w := range f.session.Wants {
		if w.Keep && gives(r.now, w) && gives(r.new, w) {
			r.kept[w.Destination], r.keptAt[g.Number[w.Destination]] = w, w
		}
	}
	return r
}

func gives(s *state, w session.Want) bool {
	heard := s.live.Hears(w.Destination)
	return len(heard) == 1 && heard[0] == w.Source
}

// watch takes the zones, and notes what is heard in both patches by all inputs in
// those that an action leads to: nowhere else does anything change.
func (r *rules) watch(z *zones, actions []*action) {
	r.zones = z
	cyclic := false
	for _, a := range actions {
		for _, zone := range z.of(a) {
			cyclic = cyclic || z.cycles.cyclic(zone)
			for at := range z.paths.from(zone) {
				r.watchZone(at)
			}
		}
	}
	r.looped = cyclic && slices.ContainsFunc(r.facts.insides, func(i inside) bool {
		return len(r.now.live.Loops(i.passes, r.facts.session.Loops)) > 0
	})
}

func (r *rules) watchZone(zone name.Point) {
	g := r.now.numbers.Graph
	for _, p := range r.zones.points(zone) {
		in, known := g.Number[p]
		if _, noted := r.both[in]; !known || noted || r.facts.gear[p.Owner] == nil {
			continue
		}
		after := r.new.numbers.HeardAt(in)
		r.both[in] = slices.DeleteFunc(slices.Clone(r.now.numbers.HeardAt(in)), func(s int) bool { return g.Sources[s] == in || !slices.Contains(after, s) })
	}
}

// ends hears the old and the new patch anew; it is asked for seldom.
func (r *rules) ends() (before, after *heard.State) {
	if r.before == nil {
		r.before, r.after = r.facts.room.Hear(r.facts.from), r.facts.room.Hear(r.facts.target)
	}
	return r.before, r.after
}

// do does an action and says what comes of it.
func (r *rules) do(a *action) effect {
	var e effect
	for i := range a.events {
		ev := &a.events[i]
		n := r.now.numbered(ev)
		before := r.hearing(n.at)
		loops := r.looped && r.mayLoop(n.at)
		r.touch(n.jack, &e)
		r.power(a, n.at, &e)
		r.now.happen(ev)
		r.touch(n.jack, &e)
		r.power(a, n.at, &e)
		e.add(r.contentions(ev.at)...)
		if loops || r.mayLoop(n.joined) {
			e.add(r.loops()...)
		}
		r.scratch = r.now.addReached(n.at, r.scratch[:0])
		r.sounds(r.scratch, &e)
		r.interruptions(before, &e)
		r.keep(r.scratch, before, &e)
	}
	return e
}

// hearing is what an input hears of the sources that it hears in both patches.
type hearing struct {
	in      int
	sources []int
}

// hearing is that of all inputs which hear what is on the nets of some nodes.
func (r *rules) hearing(nodes []int) []hearing {
	var all []hearing
	r.scratch = r.now.addReached(nodes, r.scratch[:0])
	for _, in := range r.scratch {
		if both := r.both[in]; len(both) > 0 {
			heard := r.now.numbers.HeardAt(in)
			all = append(all, hearing{in, slices.DeleteFunc(slices.Clone(both), func(s int) bool { return !slices.Contains(heard, s) })})
		}
	}
	return all
}

// touch is what a plug does while it moves at a jack, of which the node is given.
func (r *rules) touch(node int, e *effect) {
	if node == graph.None {
		return
	}
	e.mute(r.audibleFrom(r.now, node)...)
	r.powerOff(node, e)
	if len(r.kept) == 0 {
		return
	}
	for _, in := range r.sorted(r.now.numbers.AddReached(node, nil)) {
		if w, ok := r.keptAt[in]; ok {
			e.add(hazard{weight: weighsTouch, text: fmt.Sprintf("a plug moves on the way %s -> %s", w.Source, w.Destination)})
		}
	}
}

// power is the phantom power that relays would switch: they hand it on to whatever comes next
// (P48, IEC 61938, is for microphones).
func (r *rules) power(a *action, nodes []int, e *effect) {
	if a.byHand() || r.facts.amplifiers[a.matrix] {
		return
	}
	for _, n := range nodes {
		r.powerOff(n, e)
	}
}

// powerOff needs the phantom power on the net of a node off, and muted what thumps by that.
func (r *rules) powerOff(node int, e *effect) {
	for _, in := range r.phantomOn(node) {
		e.powerOff(r.now.numbers.Graph.Points[in])
		e.mute(r.thumps(in)...)
	}
}

// sorted puts points in the order of their names.
func (r *rules) sorted(points []int) []int {
	g := r.now.numbers.Graph
	slices.SortFunc(points, func(a, b int) int { return g.Points[a].Compare(g.Points[b]) })
	return points
}

// sounds is what has come to be heard from loudspeakers.
func (r *rules) sounds(reached []int, e *effect) {
	g := r.now.numbers.Graph
	var at []int
	for _, in := range reached {
		if _, ok := r.speakers[in]; ok {
			at = append(at, in)
		}
	}
	for _, in := range r.sorted(at) {
		s := r.speakers[in]
		var strange []int
		for _, source := range r.now.numbers.HeardAt(in) {
			if !slices.Contains(s.may, source) {
				strange = append(strange, g.Sources[source])
			}
		}
		for _, p := range r.sorted(strange) {
			e.add(hazard{weighsSound, fmt.Sprintf("%s would be heard from %s", g.Points[p], s.called), []string{s.gear}})
		}
	}
}

// interruptions are what is not heard any more of what was heard before.
func (r *rules) interruptions(before []hearing, e *effect) {
	g := r.now.numbers.Graph
	for _, h := range before {
		heard := r.now.numbers.HeardAt(h.in)
		for _, s := range h.sources {
			if !slices.Contains(heard, s) {
				e.interrupted = append(e.interrupted, hearer{g.Points[h.in], g.Points[g.Sources[s]]})
			}
		}
	}
}

// keep looks at what is to be kept and may have changed.
func (r *rules) keep(reached []int, before []hearing, e *effect) {
	if len(r.kept) == 0 {
		return
	}
	changed := slices.Clone(reached)
	for _, h := range before {
		changed = append(changed, h.in)
	}
	for _, in := range slices.Compact(r.sorted(changed)) {
		if w, ok := r.keptAt[in]; ok && !gives(r.now, w) {
			e.add(hazard{weight: weighsInterrupt, text: interrupted(w)})
		}
	}
}

// inBetween is a reason with what is so until a later step.
func inBetween(reason, hazard string) string {
	return phrase.Put("{reason}; in between, {hazard}", "reason", reason, "hazard", hazard)
}

func interrupted(w session.Want) string {
	return phrase.Put("{source} -> {destination} is interrupted", "source", w.Source.String(), "destination", w.Destination.String())
}

// contentions are outputs that are joined at one of some points and that neither
// the old nor the new patch joins.
func (r *rules) contentions(at []name.Point) []hazard {
	if !r.now.live.Contended() {
		return nil
	}
	var found []hazard
	for _, c := range r.now.live.Contentions() {
		here := slices.ContainsFunc(at, func(p name.Point) bool { return r.now.live.Joined(p, c.Drivers[0]) })
		if p, q, ok := r.newlyJoined(c.Drivers); here && ok {
			found = append(found, hazard{weighsClash, fmt.Sprintf("%s and %s are joined", p, q), r.audibleAt(r.now, p)})
		}
	}
	return found
}

// newlyJoined are two of some joined outputs that neither the old nor the new
// patch joins.
func (r *rules) newlyJoined(drivers []name.Point) (p, q name.Point, ok bool) {
	before, after := r.ends()
	for i, q := range drivers {
		for _, p := range drivers[:i] {
			if !before.Joined(p, q) && !after.Joined(p, q) {
				return p, q, true
			}
		}
	}
	return p, q, false
}

// audibleAt are the loudspeakers from which one of some points would be heard, even as a
// click.
func (r *rules) audibleAt(s *state, points ...name.Point) []string {
	return r.audibleFrom(s, nodesAt(s.numbers.Graph, points)...)
}

// audibleFrom is that of what is on the nets of some nodes, straight or through gear.
func (r *rules) audibleFrom(s *state, nodes ...int) []string {
	if len(r.speakers) == 0 {
		return nil
	}
	var gear []string
	var reached []int
	meet := func(node int) {
		from := len(reached)
		reached = s.numbers.AddReached(node, reached)
		fresh := reached[from:]
		reached = reached[:from]
		for _, in := range fresh {
			if !r.met[in] {
				r.met[in] = true
				reached = append(reached, in)
			}
		}
	}
	for _, n := range nodes {
		meet(n)
	}
	for i := 0; i < len(reached); i++ {
		if at, ok := r.speakers[reached[i]]; ok && !slices.Contains(gear, at.gear) {
			gear = append(gear, at.gear)
		}
		for _, out := range r.mayCarry(reached[i]) {
			meet(s.numbers.Graph.Node[out])
		}
	}
	for _, in := range reached {
		r.met[in] = false
	}
	slices.Sort(gear)
	return gear
}

// mayCarry are the outputs that an input may lead to, by number.
func (r *rules) mayCarry(in int) []int {
	if r.carries[in] == nil {
		g := r.now.numbers.Graph
		r.carries[in] = numbersOf(g, r.facts.mayCarry(g.Points[in]))
	}
	return r.carries[in]
}

// phantomOn are the inputs with phantom power on the net of a node, in the order of their names.
func (r *rules) phantomOn(node int) []int {
	if len(r.phantoms) == 0 {
		return nil
	}
	var found []int
	for _, n := range r.now.numbers.NodesOf(r.now.numbers.NetOf(node)) {
		for _, in := range r.now.numbers.Graph.Nodes[n].Inputs {
			if r.phantoms[in] {
				found = append(found, in)
			}
		}
	}
	return r.sorted(found)
}
