package level

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
)

// Chain is the gain plan of one chain of a session: a tone goes in at the
// working level of its first source, and gear between takes its own input's
// working level to its own output's.
type Chain struct {
	// Label is the name of the line; empty where it has none.
	Label string
	// Links are the wants along the chain, each with what arrives.
	Links []Link
	// Clips clips first as the first source goes up, by Headroom.
	Clips    name.Point
	Headroom Range
	// Reads is the level at the end of the chain.
	Reads Range
	// Turns are what to turn down, in the order of the chain.
	Turns []Turn
}

// Link is one source into one destination along a chain. Above is how far the
// tone is above the source's working level there.
type Link struct {
	Arrival Arrival
	Above   Range
}

// Turn is what to turn down, by how many decibels: the gear at a point, or what
// comes before it.
type Turn struct {
	At name.Point
	By Range
}

// Chains are the gain plans of a session in this room: one for each end of each
// of its lines. A want that is not heard has none.
func (r *Room) Chains(s *session.Session) []Chain {
	links := map[name.Point]Link{}
	came := map[name.Point]name.Point{} // destination before a destination
	ends := map[name.Point]bool{}
	var order []session.Want
	for _, w := range s.Wants {
		link, ok := r.link(w)
		if !ok {
			continue
		}
		order = append(order, w)
		ends[w.Destination] = true
		if before, ok := previous(order[:len(order)-1], w); ok {
			link.Above = links[before.Destination].end()
			came[w.Destination] = before.Destination
			delete(ends, before.Destination)
		}
		links[w.Destination] = link
	}
	var all []Chain
	for _, w := range order {
		if ends[w.Destination] {
			all = append(all, chain(w, links, came))
		}
	}
	return all
}

func (r *Room) link(w session.Want) (Link, bool) {
	for _, a := range r.At(w.Destination) {
		if a.Source.Point == w.Source {
			return Link{Arrival: a}, true
		}
	}
	return Link{}, false
}

// previous is the want of the same chain that comes to the gear of a want's
// source.
func previous(before []session.Want, w session.Want) (session.Want, bool) {
	for _, b := range slices.Backward(before) {
		if b.Chain == w.Chain && b.Hop < w.Hop && b.Destination.Owner == w.Source.Owner {
			return b, true
		}
	}
	return session.Want{}, false
}

// end is how far the tone is above the working level of the destination.
func (l Link) end() Range { return l.Arrival.Over.add(l.Above) }

func chain(last session.Want, links map[name.Point]Link, came map[name.Point]name.Point) Chain {
	c := Chain{Label: last.Label}
	for at, ok := last.Destination, true; ok; at, ok = came[at] {
		c.Links = append([]Link{links[at]}, c.Links...)
	}
	for i, l := range c.Links {
		room := l.Arrival.Headroom.add(l.Above.negative())
		if i == 0 || room.Low < c.Headroom.Low {
			c.Headroom, c.Clips = room, l.Arrival.Clips
		}
		if t, ok := l.turn(); ok {
			c.Turns = append(c.Turns, t)
		}
		c.Reads = l.Arrival.Arrives.add(l.Above)
	}
	return c
}

// turn is what to turn down at a link: as much as the source is above what the
// destination works at, or, where the source itself clips early, what is lacking
// of 10 dB.
func (l Link) turn() (Turn, bool) {
	a := l.Arrival
	switch {
	case a.Over.High >= FarOver:
		return Turn{a.Destination.Point, Range{max(a.Over.Low, 0), a.Over.High}}, true
	case a.Early():
		return Turn{a.Source.Point, exactly(NearClip - a.Headroom.Low)}, true
	}
	return Turn{}, false
}
