package plan_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// What the planner proves is true: in studios so small that every patch can be
// tried, a session is given where any patch gives it, and no patch that gives it
// and holds nothing needless is reached with fewer plugs handled than is said.
func TestEveryPatchTried(t *testing.T) {
	given, refused, proved, plain := 0, 0, 0, 0
	for seed := range tinyRooms(t, 350) {
		tiny := drawTiny(seed)
		room := heard.NewRoom(tiny.studio)
		p, err := plan.Make(t.Context(), room, tiny.present, tiny.session, plan.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, tiny)
		}
		fewest, plainest, any := tiny.best(room)
		if wrong := tiny.wrong(room, p, fewest, any); wrong != "" {
			t.Errorf("seed %d: %s\n%s", seed, wrong, tiny)
		}
		switch {
		case !p.Given:
			refused++
		case p.Least == p.Plugs:
			proved++
			fallthrough
		default:
			given++
		}
		if plainest.plugs == tooMany {
			continue
		}
		plain++
		if p, err = plan.Make(t.Context(), room, tiny.present, tiny.session, plan.Options{Prefer: plan.PreferPlain}); err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, tiny)
		}
		if wrong := tiny.wrong(room, p, plainest, any); wrong != "" {
			t.Errorf("seed %d, plain: %s\n%s", seed, wrong, tiny)
		}
	}
	t.Logf("%d given, of which %d proved the best; %d cannot be; %d looked at for the plainest", given, proved, refused, plain)
	if given < 50 || plain < 50 || refused < 10 || proved < given*9/10 {
		t.Errorf("%d given, of which %d proved the best, and %d that cannot be prove too little", given, proved, refused)
	}
}

func tinyRooms(t *testing.T, usual int) uint64 {
	t.Helper()
	text := os.Getenv("BAYHAND_ROOMS")
	if text == "" {
		return uint64(usual)
	}
	n, err := strconv.ParseUint(text, 10, 32)
	if err != nil {
		t.Fatalf("BAYHAND_ROOMS is %q; it is a number of rooms", text)
	}
	return n
}

// wrong says what a plan claims that trying every patch does not bear out.
func (tiny tiny) wrong(room *heard.Room, p *plan.Plan, best candidate, any bool) string {
	switch {
	case p.Given != any:
		return fmt.Sprintf("given: %v; there is a patch that gives it: %v\n%v\nmissing %v", p.Given, any, best, p.Missing)
	case !p.Given:
		return ""
	case p.Least > best.plugs:
		return fmt.Sprintf("at least %d plugs; %d suffice for\n%v", p.Least, best.plugs, best)
	case p.Plugs < best.plugs:
		return fmt.Sprintf("%d plugs suffice; at least %d are needed, for\n%v\nplanned %+v", p.Plugs, best.plugs, best, p.Target)
	}
	if faults := room.CheckGiven(tiny.session, patch.Patch(p.Target), nil); len(faults) > 0 {
		return fmt.Sprintf("the plan does not give the session: %v", faults)
	}
	return ""
}

// candidate is a patch, and how many plugs are handled on the way to it.
type candidate struct {
	patch.Patch
	plugs int
}

func (c candidate) String() string { return fmt.Sprintf("%d plugs: %+v", c.plugs, c.Patch) }

// tooMany stands for the plugs of a plainest patch that it would take too long to
// look for: where none is wholly plain, every patch must be looked at.
const tooMany = -1

// best are patches that give the session and hold nothing needless: one with the
// fewest plugs handled, and of the plainest one with the fewest; false if no patch
// gives it.
func (tiny tiny) best(room *heard.Room) (fewest, plainest candidate, any bool) {
	judge := room.Judge(tiny.session, nil)
	known := map[string]bool{}
	gives := func(p patch.Patch) bool {
		key := fmt.Sprint(p)
		is, ok := known[key]
		if !ok {
			is = len(judge.Faults(room.Hear(p))) == 0
			known[key] = is
		}
		return is
	}
	taste := tiny.taster(room)
	least, looked := 1<<30, 0
	for _, c := range tiny.candidates() {
		for _, x := range crosspoints(tiny.studio) {
			c.Crosspoints = x
			if looked++; any && looked > 10000 {
				return fewest, candidate{plugs: tooMany}, true
			}
			if len(judge.Faults(room.Hear(c.Patch))) > 0 || slices.ContainsFunc(without(c.Patch), gives) {
				continue
			}
			c := candidate{c.Clone(), c.plugs}
			if !any {
				fewest, any = c, true
			}
			if now := taste(c.Patch); now < least {
				plainest, least = c, now
			}
			if least == 0 {
				return fewest, plainest, true
			}
		}
	}
	return fewest, plainest, any
}

// without are the patches that lack one thing.
func without(p patch.Patch) []patch.Patch {
	var all []patch.Patch
	for i := range p.Cords {
		less := p.Clone()
		less.Cords = slices.Delete(less.Cords, i, i+1)
		all = append(all, less)
	}
	for i := range p.Leads {
		less := p.Clone()
		less.Leads = slices.Delete(less.Leads, i, i+1)
		all = append(all, less)
	}
	for i := range p.Dummies {
		less := p.Clone()
		less.Dummies = slices.Delete(less.Dummies, i, i+1)
		all = append(all, less)
	}
	for i := range p.Crosspoints {
		less := p.Clone()
		less.Crosspoints = slices.Delete(less.Crosspoints, i, i+1)
		all = append(all, less)
	}
	return all
}

// crosspoints are all settings of the matrix, each output at one input or none.
func crosspoints(s *studio.Studio) [][]patch.Crosspoint {
	all := [][]patch.Crosspoint{nil}
	for _, m := range s.Matrices {
		for o := 1; o <= m.Outputs; o++ {
			for _, set := range slices.Clone(all) {
				for i := 1; i <= m.Inputs; i++ {
					all = append(all, append(slices.Clone(set), patch.Crosspoint{Output: m.Out(o), Input: m.In(i)}))
				}
			}
		}
	}
	return all
}

// candidates are all ways to put the cords and dummies owned into the jacks, in
// the order of the plugs handled.
func (tiny tiny) candidates() []candidate {
	var all []candidate
	var place func(jacks []name.Point, p patch.Patch)
	place = func(jacks []name.Point, p patch.Patch) {
		if len(jacks) == 0 {
			all = append(all, candidate{p.Clone(), handled(tiny.present, p)})
			return
		}
		first, rest := jacks[0], jacks[1:]
		place(rest, p)
		if len(p.Dummies) < tiny.studio.Dummies {
			more := p.Clone()
			more.Dummies = append(more.Dummies, first)
			place(rest, more)
		}
		if len(p.Cords) == tiny.studio.Stock.Cords[0].Count {
			return
		}
		corded := func(c patch.Cord) patch.Patch {
			more := p.Clone()
			more.Cords = append(more.Cords, c)
			return more
		}
		place(rest, corded(patch.Cord{A: first}))
		for i, other := range rest {
			place(slices.Delete(slices.Clone(rest), i, i+1), corded(patch.Cord{A: first, B: other}))
		}
	}
	jacks := tinyJacks(tiny.studio)
	place(jacks, patch.Patch{})
	for _, port := range unwired(tiny.studio) {
		for i, jack := range jacks {
			lead := []patch.Lead{{Port: port, Jack: jack}}
			place(slices.Delete(slices.Clone(jacks), i, i+1), patch.Patch{Leads: lead})
		}
	}
	slices.SortStableFunc(all, func(c, d candidate) int { return cmp.Compare(c.plugs, d.plugs) })
	return all
}

// handled is how many plugs leave or enter a jack between two patches, where
// each cord of the one may become any cord of the other.
func handled(from, to patch.Patch) int {
	plugs := 0
	for _, d := range from.Dummies {
		if !slices.Contains(to.Dummies, d) {
			plugs++
		}
	}
	for _, d := range to.Dummies {
		if !slices.Contains(from.Dummies, d) {
			plugs++
		}
	}
	for _, l := range from.Leads {
		if !slices.Contains(to.Leads, l) {
			plugs++
		}
	}
	for _, l := range to.Leads {
		if !slices.Contains(from.Leads, l) {
			plugs++
		}
	}
	return plugs + becoming(from.Cords, to.Cords)
}

// unwired are the ports that a lead can come from: one at most.
func unwired(s *studio.Studio) []name.Point {
	var ports []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if !slices.ContainsFunc(s.Wires, func(w studio.Wire) bool { return w.From == p.Point || w.To == p.Point }) {
				ports = append(ports, p.Point)
			}
		}
	}
	return ports
}

func becoming(from, to []patch.Cord) int {
	if len(from) == 0 {
		return ends(to)
	}
	first, rest := from[0], from[1:]
	least := len(first.Ends()) + becoming(rest, to)
	for i, c := range to {
		left := slices.Delete(slices.Clone(to), i, i+1)
		least = min(least, differing(first, c)+becoming(rest, left))
	}
	return least
}

func ends(cords []patch.Cord) int {
	count := 0
	for _, c := range cords {
		count += len(c.Ends())
	}
	return count
}

func differing(c, d patch.Cord) int {
	count := len(c.Ends()) + len(d.Ends())
	for _, e := range c.Ends() {
		if slices.Contains(d.Ends(), e) {
			count -= 2
		}
	}
	return count
}

// tiny is a studio of a few jacks, with what is in and what is asked for.
type tiny struct {
	studio  *studio.Studio
	present patch.Patch
	session *session.Session
}

func (tiny tiny) String() string {
	s := tiny.studio
	text := fmt.Sprintf("modes %v, %d cords, %d dummies\n", s.Bays[0].Modes, s.Stock.Cords[0].Count, s.Dummies)
	for _, w := range s.Wires {
		text += fmt.Sprintf("wire %s -> %s\n", w.From, w.To)
	}
	for _, t := range s.Ties {
		text += fmt.Sprintf("tie %s = %s\n", t.A, t.B)
	}
	for _, m := range s.Mults {
		text += fmt.Sprintf("mult %v\n", m.Jacks)
	}
	for _, m := range s.Matrices {
		text += fmt.Sprintf("%s, lets go: %v\n", m.Kind, m.LetsGo)
	}
	for _, g := range s.Gear {
		if len(g.Passes) > 0 {
			text += fmt.Sprintf("%s passes %v\n", g.Name, g.Passes)
		}
	}
	var wants []string
	for _, w := range tiny.session.Wants {
		wants = append(wants, w.Source.String()+" -> "+w.Destination.String())
	}
	return text + fmt.Sprintf("rest %+v\npresent %+v\nwants %s\nsilent %v", s.Rest, tiny.present, strings.Join(wants, ", "), tiny.session.Silent)
}

func tinyJacks(s *studio.Studio) []name.Point {
	var all []name.Point
	for n := 1; n <= s.Bays[0].Pairs(); n++ {
		all = append(all, s.Bays[0].TopJack(n), s.Bays[0].BottomJack(n))
	}
	return all
}

// tinyDrawer draws one tiny studio.
type tinyDrawer struct {
	*rand.Rand
	s *studio.Studio
	// rears, outputs and inputs are not wired yet.
	rears, outputs, inputs []name.Point
}

func drawTiny(seed uint64) tiny {
	d := &tinyDrawer{Rand: rand.New(rand.NewPCG(seed, 0x74696e79)), s: &studio.Studio{Name: "tiny"}}
	d.bay()
	d.gear()
	d.matrix()
	d.rear()
	d.drop()
	d.s.Stock = studio.Stock{Cords: []studio.StockCord{{Length: 300 * measure.Centimetre, Poles: 3, Count: 1 + d.IntN(3)}}}
	d.s.Dummies = d.IntN(2)
	if d.IntN(4) == 0 {
		d.s.Rest = d.patch()
	}
	return tiny{d.s, d.patch(), d.session()}
}

func (d *tinyDrawer) bay() {
	modes := []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel}
	bay := studio.Bay{Name: "bay"}
	for range []int{2, 2, 3, 3, 3, 4}[d.IntN(6)] {
		bay.Modes = append(bay.Modes, modes[d.IntN(len(modes))])
	}
	d.s.Bays = []studio.Bay{bay}
	d.rears = tinyJacks(d.s)
}

// gear is two sources, two destinations, and one that passes its input on or
// does not.
func (d *tinyDrawer) gear() {
	line := studio.BuiltInLines()[0]
	add := func(gear string, ins, outs int) *studio.Gear {
		g := studio.Gear{Name: gear}
		for n := 1; n <= ins; n++ {
			g.Ports = append(g.Ports, studio.Port{Point: name.At(gear, "in", n), Direction: studio.Input, Line: line})
			d.inputs = append(d.inputs, name.At(gear, "in", n))
		}
		for n := 1; n <= outs; n++ {
			g.Ports = append(g.Ports, studio.Port{Point: name.At(gear, "out", n), Direction: studio.Output, Line: line})
			d.outputs = append(d.outputs, name.At(gear, "out", n))
		}
		d.s.Gear = append(d.s.Gear, g)
		return &d.s.Gear[len(d.s.Gear)-1]
	}
	add("source", 0, 2)
	add("sink", 2, 0)
	both := add("both", 1, 1)
	if d.IntN(2) == 0 {
		both.Passes = []studio.Pass{{In: name.At("both", "in", 1), Out: name.At("both", "out", 1)}}
	}
}

func (d *tinyDrawer) matrix() {
	if d.IntN(5) < 3 || len(d.rears) > 6 {
		return
	}
	m := studio.Matrix{Name: "grid", Inputs: 2, Outputs: 2, Kind: studio.Contacts}
	if d.IntN(2) == 0 {
		m.Kind, m.LetsGo = studio.Amplifiers, d.IntN(2) == 0
	}
	d.s.Matrices = []studio.Matrix{m}
	d.outputs = append(d.outputs, m.Out(1), m.Out(2))
	d.inputs = append(d.inputs, m.In(1), m.In(2))
}

func (d *tinyDrawer) take(from *[]name.Point) name.Point {
	i := d.IntN(len(*from))
	p := (*from)[i]
	*from = slices.Delete(*from, i, i+1)
	return p
}

// rear wires what there is room for: outputs mostly, inputs mostly, some
// straight, and ties and a mult of what is left.
func (d *tinyDrawer) rear() {
	if len(d.rears) >= 4 && d.IntN(5) == 0 {
		d.s.Ties = []studio.Tie{{A: d.take(&d.rears), B: d.take(&d.rears)}}
	}
	if len(d.rears) >= 5 && d.IntN(5) == 0 {
		d.s.Mults = []studio.Mult{{Jacks: []name.Point{d.take(&d.rears), d.take(&d.rears), d.take(&d.rears)}}}
	}
	wire := func(from, to name.Point) { d.s.Wires = append(d.s.Wires, studio.Wire{From: from, To: to}) }
	for len(d.rears) > 0 && len(d.outputs)+len(d.inputs) > 0 && d.IntN(12) > 0 {
		switch {
		case len(d.outputs) > 0 && (len(d.inputs) == 0 || d.IntN(2) == 0):
			wire(d.take(&d.outputs), d.take(&d.rears))
		default:
			wire(d.take(&d.rears), d.take(&d.inputs))
		}
	}
	for len(d.outputs) > 0 && len(d.inputs) > 0 && d.IntN(3) > 0 {
		wire(d.take(&d.outputs), d.take(&d.inputs))
	}
}

// drop takes away the ports that are not wired, but now and then one, which then
// is to be had by a lead.
func (d *tinyDrawer) drop() {
	kept := d.IntN(4) > 0
	for i := range d.s.Gear {
		g := &d.s.Gear[i]
		g.Ports = slices.DeleteFunc(g.Ports, func(p studio.Port) bool {
			if !slices.Contains(d.outputs, p.Point) && !slices.Contains(d.inputs, p.Point) {
				return false
			}
			drop := kept
			kept = true
			return drop
		})
		has := func(p name.Point) bool {
			return slices.ContainsFunc(g.Ports, func(q studio.Port) bool { return q.Point == p })
		}
		g.Passes = slices.DeleteFunc(g.Passes, func(p studio.Pass) bool { return !has(p.In) || !has(p.Out) })
	}
}

// patch is what cords and dummies owned may be in, with one input at an output
// at most.
func (d *tinyDrawer) patch() patch.Patch {
	var p patch.Patch
	jacks := tinyJacks(d.s)
	for _, port := range unwired(d.s) {
		if d.IntN(2) == 0 {
			p.Leads = []patch.Lead{{Port: port, Jack: d.take(&jacks)}}
		}
	}
	for range d.IntN(min(d.s.Stock.Cords[0].Count, len(jacks)/2) + 1) {
		c := patch.Cord{A: d.take(&jacks)}
		if d.IntN(6) > 0 {
			c.B = d.take(&jacks)
		}
		p.Cords = append(p.Cords, c)
	}
	if d.s.Dummies > 0 && len(jacks) > 0 && d.IntN(2) == 0 {
		p.Dummies = []name.Point{d.take(&jacks)}
	}
	for _, m := range d.s.Matrices {
		for o := 1; o <= m.Outputs; o++ {
			if i := d.IntN(m.Inputs + 1); i > 0 {
				p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: m.Out(o), Input: m.In(i)})
			}
		}
	}
	p.Sort()
	return p
}

// session is what another patch gives, or whatever comes to mind.
func (d *tinyDrawer) session() *session.Session {
	room := heard.NewRoom(d.s)
	if d.IntN(5) < 3 {
		s := capture.Session(room, d.patch(), "captured")
		s.Patch = nil
		return s
	}
	s := &session.Session{Name: "asked", Program: -1}
	var sources, destinations []name.Point
	for _, g := range d.s.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				sources = append(sources, p.Point)
			} else {
				destinations = append(destinations, p.Point)
			}
		}
	}
	for i, in := range destinations {
		switch n := d.IntN(4); {
		case n < 2 && len(sources) > 0:
			s.Wants = append(s.Wants, session.Want{Source: sources[d.IntN(len(sources))], Destination: in, Chain: i, Key: fmt.Sprintf("connect[%d]", i)})
		case n == 2:
			s.Silent = append(s.Silent, in)
		}
	}
	return s
}
