// Package suspect says from a reading what is plugged otherwise than it was told.
//
// A Scene is a room with a told patch, listened to from some outputs to some
// inputs. Its picture holds a class for each pair of them: heard or not, low,
// reversed. A mistake is one thing that hands, cords or contacts do wrong; it
// predicts a picture, and has a cost, the rarer the higher. A reading is
// explained by the cheapest set of mistakes that predicts it: diagnosis from
// first principles (Reiter, A theory of diagnosis from first principles, 1987; de
// Kleer and Williams, Diagnosing multiple faults, 1987: both from memory).
//
// Two mistakes with one picture cannot be told apart, and both are named. A
// mistake that changes nothing is not seen. A cord is seen if the reading would
// be another one without it, and sure if it would be another one in any other
// jack as well; only those may be called measured.
package suspect

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/studio"
)

// Class is how an output is heard at an input.
type Class uint8

const (
	// Absent is not heard: the zero value.
	Absent Class = iota
	// Present is heard as it should be, or at a level that nobody can judge.
	Present
	// Low is about 6 dB low: one leg carries.
	Low
	// Reversed is heard with its legs exchanged.
	Reversed
	// ReversedLow is both.
	ReversedLow
	// Unlike is at another level.
	Unlike
	// Lowered is predicted where outputs are joined: low, by how much depends on
	// their circuits.
	Lowered
	// Perhaps is predicted where a desk may let it through or not.
	Perhaps
	// ThroughGear is predicted where it comes through gear and should come through none:
	// heard, at a level and polarity that nobody knows.
	ThroughGear
)

// String is the word that answers have.
func (c Class) String() string {
	switch c {
	case Present:
		return "as-it-should-be"
	case Low:
		return "low"
	case Reversed:
		return "reversed"
	case ReversedLow:
		return "reversed-and-low"
	case Unlike:
		return "other-level"
	case Lowered:
		return "lowered"
	case Perhaps:
		return "perhaps"
	case ThroughGear:
		return "through-gear"
	case Absent:
	}
	return "absent"
}

// fits says whether a measured class is what was predicted.
func fits(predicted, measured Class) bool {
	switch predicted {
	case Perhaps:
		return true
	case Lowered:
		return measured == Low || measured == Unlike || measured == Lowered
	case ThroughGear:
		return measured != Absent
	}
	return predicted == measured
}

// Setup is what is listened to.
type Setup struct {
	Room  *heard.Room
	Patch patch.Patch
	// Inside is what desks and software carry in the session.
	Inside []studio.Pass
	// Outputs and Inputs are ports of the sound device: those that are driven, and
	// those that are recorded.
	Outputs, Inputs []name.Point
	// Reference is a reading that was good, by pairs; nil where there is none.
	Reference map[Pair]reading.Path
}

// Pair is one output and one input, by their names.
type Pair struct{ Output, Input name.Point }

// Scene is a setup with what should be heard.
type Scene struct {
	Setup
	sure, perhaps []studio.Pass
	ports         map[name.Point]studio.Port
	scale         map[string]bool // gear whose full scale is one for in and out
	live          *heard.Live
	base          []Class
	judged        []bool
	level         []float64
	direct        []bool // whether it should come through metal and matrices alone
	plugged       map[name.Point]bool
	made          []suspicion // of single mistakes, once they were asked for
}

// New makes a scene. It takes the time of hearing the room once.
func New(s Setup) *Scene {
	c := &Scene{Setup: s, ports: s.Room.Studio().PortsByPoint(), scale: map[string]bool{}, plugged: map[name.Point]bool{}}
	devices := map[string]bool{}
	for _, p := range append(append([]name.Point{}, s.Outputs...), s.Inputs...) {
		devices[p.Owner] = true
	}
	for _, p := range s.Inside {
		// The device plays test sound, and nothing that it records.
		if !devices[p.In.Owner] {
			c.sure = append(c.sure, p)
		}
	}
	c.perhaps = append(c.perhaps, c.sure...)
	for _, g := range s.Room.Studio().Gear {
		if !devices[g.Name] {
			c.perhaps = append(c.perhaps, g.CanPass...)
		}
		c.scale[g.Name] = g.Sound != nil && g.Sound.FullScale != 0
	}
	for _, p := range s.Patch.Plugs() {
		c.plugged[p] = true
	}
	c.live = s.Room.Live(s.Patch.Clone())
	c.base = c.picture(c.live)
	c.expect()
	return c
}

// hearing is what a picture is made from: a live room, or one at rest.
type hearing interface {
	Hears(name.Point) []name.Point
	Origins(name.Point, []studio.Pass) []name.Point
	Contended() bool
	Contentions() []heard.Contention
}

// at is the place of a pair in a picture.
func (c *Scene) at(output, input int) int { return input*len(c.Outputs) + output }

// picture is how a patch would be heard.
func (c *Scene) picture(h hearing) []Class {
	made := make([]Class, len(c.Outputs)*len(c.Inputs))
	for i, in := range c.Inputs {
		if len(c.perhaps) > len(c.sure) {
			c.mark(made, i, h.Origins(in, c.perhaps), Perhaps)
		}
		c.mark(made, i, h.Origins(in, c.sure), Present)
		geared(c, made, i, h)
	}
	if h.Contended() {
		c.joined(made, h)
	}
	return made
}

func (c *Scene) mark(made []Class, input int, sources []name.Point, class Class) {
	for _, s := range sources {
		for o, out := range c.Outputs {
			if out == s {
				made[c.at(o, input)] = class
			}
		}
	}
}

// geared marks what comes to an input through gear where it should come directly. The
// room as told has none of it.
func geared(c *Scene, made []Class, input int, h hearing) {
	if c.direct == nil {
		return
	}
	var direct []name.Point
	for o, out := range c.Outputs {
		at := c.at(o, input)
		if made[at] != Present || !c.direct[at] || !c.judged[at] {
			continue
		}
		if direct == nil {
			direct = h.Hears(c.Inputs[input])
		}
		if !slices.Contains(direct, out) {
			made[at] = ThroughGear
		}
	}
}

// joined lowers what comes by outputs that are joined to others.
func (c *Scene) joined(made []Class, h hearing) {
	drivers, listeners := map[name.Point]bool{}, map[name.Point]bool{}
	for _, n := range h.Contentions() {
		for _, d := range n.Drivers {
			drivers[d] = true
		}
		for _, l := range n.Listeners {
			listeners[l] = true
		}
	}
	for i, in := range c.Inputs {
		for _, s := range h.Hears(in) {
			for o, out := range c.Outputs {
				if out == s && (drivers[out] || listeners[in]) {
					made[c.at(o, i)] = Lowered
				}
			}
		}
	}
}
