// Package rooms makes up studios and patches for properties: legal, and as
// mixed as real ones are not, so that every mode, cord and matrix meets every
// other.
//
// Vocabulary: a room is a studio with a patch in it; a draw is one choice out of
// a seeded source, so that the same seed gives the same room on every machine. A
// change is one thing that somebody does in a room: a cord plugged or moved, a
// dummy pulled, a crosspoint switched.
//
// The package makes values and computes nothing with them. What it makes can
// hold joined outputs and loops; who asks decides what to do with those.
package rooms

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Room is a studio with a patch in it.
type Room struct {
	Studio *studio.Studio
	Patch  patch.Patch
	// Inside is what the software carries, from inputs of gear to outputs.
	Inside []studio.Pass
	// Guests are gear that the studio's file does not have, and Selections the
	// switches that stand elsewhere than there: a session has them.
	Guests     []studio.Gear
	Selections []session.Selection
}

// Session is the session that the room is in; it asks for nothing.
func (r Room) Session() *session.Session {
	return &session.Session{Program: -1, Guests: r.Guests, Selections: r.Selections, Inside: r.Inside}
}

// Whole is the studio with the guests in it, and with its switches as the session
// has them, the choice that stands first.
func (r Room) Whole() *studio.Studio {
	s := *r.Studio
	s.Gear = append(slices.Clone(s.Gear), r.Guests...)
	for _, c := range r.Selections {
		for i, g := range s.Gear {
			if g.Name == c.Gear { // has one switch, of two choices
				s.Gear[i].Selects = []studio.Select{{Choices: [][]name.Point{g.Selects[0].Choices[1], g.Selects[0].Choices[0]}}}
			}
		}
	}
	return &s
}

// Draw makes the room of a seed, with up to 24 jacks, for properties of plans: it
// has no switches, since no session may ask for an output that a switch has put
// out of use, no guests, and no outputs that are switched together.
func Draw(seed uint64) Room { return draw(24, seed, true) }

// DrawUpTo makes the room of a seed with up to that many jacks, from 4, and up
// to three sockets; small rooms come more often than large ones. It has up to
// three bays and two matrices, and about as much gear as jacks.
func DrawUpTo(jacks int, seed uint64) Room { return draw(jacks, seed, false) }

func draw(jacks int, seed uint64, plain bool) Room {
	d := &drawer{
		plain:  plain,
		r:      rand.New(rand.NewPCG(seed, 0x626179)),
		studio: &studio.Studio{Name: fmt.Sprintf("room %d", seed), Dummies: -1, Stock: studio.Stock{Unlimited: true}},
	}
	pairs := d.pairs(jacks / 2)
	d.gear(2 + d.upTo(2+pairs/2))
	d.bays(pairs)
	d.matrices()
	d.hardware()
	for _, m := range d.studio.Matrices {
		d.around(m)
	}
	d.wire()
	d.behind()
	if d.often(30) {
		d.studio.Rest = d.patch(2)
	}
	if plain {
		return Room{Studio: d.studio, Patch: d.patch(2 + pairs/2), Inside: d.inside()}
	}
	return d.visited(pairs)
}

// drawer builds one room.
type drawer struct {
	r      *rand.Rand
	studio *studio.Studio
	// plain leaves out switches, guests, and outputs that are switched together.
	plain bool
	// outputs and inputs are of gear and matrices, and not wired yet; jacks are
	// those whose rear is free.
	outputs, inputs, jacks []name.Point
	// every holds all jacks; shielded those at whose rear a wire to gear or to a
	// matrix ends, so that the sleeve is grounded.
	every, shielded []name.Point
	// sockets are those of boxes; fronts are sockets of gear for leads alone.
	sockets, fronts []name.Point
}

// often is true that many times in a hundred.
func (d *drawer) often(percent int) bool { return d.r.IntN(100) < percent }

// upTo draws from 0 to n.
func (d *drawer) upTo(n int) int { return d.r.IntN(n + 1) }

// pairs draws from 2 to most; the average of many is a third of the way.
func (d *drawer) pairs(most int) int {
	most = max(most, 2)
	u := d.r.Float64()
	return 2 + int(u*u*float64(most-1))
}
