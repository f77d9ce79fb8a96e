package planner_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

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
		text += fmt.Sprintf("%s, lets go: %v\n", m.Kind, m.HighImpedance)
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
		m.Kind, m.HighImpedance = studio.Amplifiers, d.IntN(2) == 0
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
