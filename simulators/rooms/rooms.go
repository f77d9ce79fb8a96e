// Package rooms makes up studios and patches for properties: small, legal, and
// as mixed as real ones are not, so that every mode, cord and matrix meets every
// other.
//
// Vocabulary: a room is a studio with a patch in it; a draw is one choice out of
// a seeded source, so that the same seed gives the same room on every machine.
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
	"bayhand/model/studio"
)

// Room is a studio with a patch in it.
type Room struct {
	Studio *studio.Studio
	Patch  patch.Patch
}

// Draw makes the room of a seed. Its studio has one or two bays of up to six
// pairs, up to six pieces of gear and up to two matrices.
func Draw(seed uint64) Room {
	d := &drawer{
		r:      rand.New(rand.NewPCG(seed, 0x626179)),
		studio: &studio.Studio{Name: fmt.Sprintf("room %d", seed), Dummies: -1, Stock: studio.Stock{Unlimited: true}},
	}
	d.gear()
	d.bays()
	d.matrices()
	d.wire()
	d.behind()
	if d.often(30) {
		d.studio.Rest = d.patch(2)
	}
	return Room{d.studio, d.patch(6)}
}

// drawer builds one room.
type drawer struct {
	r      *rand.Rand
	studio *studio.Studio
	// outputs and inputs are of gear and matrices, and not wired yet; jacks are
	// those whose rear is free.
	outputs, inputs, jacks []name.Point
	// every holds all jacks.
	every []name.Point
}

// often is true that many times in a hundred.
func (d *drawer) often(percent int) bool { return d.r.IntN(100) < percent }

// upTo draws from 0 to n.
func (d *drawer) upTo(n int) int { return d.r.IntN(n + 1) }

// take draws one of the points and removes it; false when there is none.
func (d *drawer) take(from *[]name.Point) (name.Point, bool) {
	if len(*from) == 0 {
		return name.Point{}, false
	}
	i := d.r.IntN(len(*from))
	p := (*from)[i]
	*from = slices.Delete(*from, i, i+1)
	return p, true
}

// takeOf draws among the points with a stem, and failing those among all.
func (d *drawer) takeOf(stem string, from *[]name.Point) (name.Point, bool) {
	var fitting []name.Point
	for _, p := range *from {
		if p.Stem == stem {
			fitting = append(fitting, p)
		}
	}
	p, ok := d.take(&fitting)
	if !ok {
		return d.take(from)
	}
	i := slices.Index(*from, p)
	*from = slices.Delete(*from, i, i+1)
	return p, true
}
