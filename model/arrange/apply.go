package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Apply is the studio with the layout: the wires of its columns, the modes of
// their pairs, and at rest no cords or dummies in them. Everything else is as it
// was; a cable that a port had keeps its number and kind.
func (l *Layout) Apply() *studio.Studio {
	c := l.columns
	s := *c.room.studio
	arranged := l.jacks()
	runs := map[name.Point]studio.Run{}
	s.Wires = nil
	for _, w := range c.room.studio.Wires {
		if !arranged[w.From] && !arranged[w.To] {
			s.Wires = append(s.Wires, w)
			continue
		}
		runs[w.From], runs[w.To] = w.Run, w.Run
	}
	s.Bays = slices.Clone(s.Bays)
	for n := range s.Bays {
		s.Bays[n].Modes = slices.Clone(s.Bays[n].Modes)
	}
	var below []studio.Wire
	for n, at := range c.room.slots {
		bay := &s.Bays[at.bay]
		bay.Modes[at.number-1] = c.mode(n)
		if o := c.top[n]; o != none {
			s.Wires = append(s.Wires, wireOf(c.room.outputs[o], bay.TopJack(at.number), true, runs))
		}
		if i := c.bottom[n]; i != none {
			below = append(below, wireOf(c.room.inputs[i], bay.BottomJack(at.number), false, runs))
		}
	}
	s.Wires = append(s.Wires, below...)
	for _, w := range c.room.straights {
		s.Wires = append(s.Wires, studio.Wire{From: w.From, To: w.To})
	}
	s.Mults = slices.Clone(s.Mults)
	for _, jacks := range l.mults.Strips {
		s.Mults = append(s.Mults, studio.Mult{Jacks: jacks})
	}
	s.Rest = restWithout(s.Rest, arranged)
	return &s
}

// wireOf is the cable between a port and its jack, the way the signal flows.
func wireOf(p port, jack name.Point, above bool, runs map[name.Point]studio.Run) studio.Wire {
	if above != p.turned {
		return studio.Wire{From: p.point, To: jack, Run: runs[p.point]}
	}
	return studio.Wire{From: jack, To: p.point, Run: runs[p.point]}
}

// jacks are those of the columns that are arranged.
func (l *Layout) jacks() map[name.Point]bool {
	all := map[name.Point]bool{}
	for _, at := range l.columns.room.slots {
		bay := l.columns.room.studio.Bays[at.bay]
		all[bay.TopJack(at.number)], all[bay.BottomJack(at.number)] = true, true
	}
	return all
}

func restWithout(rest patch.Patch, jacks map[name.Point]bool) patch.Patch {
	rest = rest.Clone()
	rest.Cords = slices.DeleteFunc(rest.Cords, func(c patch.Cord) bool { return jacks[c.A] || jacks[c.B] })
	rest.Leads = slices.DeleteFunc(rest.Leads, func(l patch.Lead) bool { return jacks[l.Jack] })
	rest.Dummies = slices.DeleteFunc(rest.Dummies, func(j name.Point) bool { return jacks[j] })
	return rest
}

// Move is a port that changes its jack; From is zero for one that had none.
type Move struct {
	Port name.Point `json:"port"`
	From name.Point `json:"from,omitzero"`
	To   name.Point `json:"to"`
}

// Moves are the ports that change their jack, in the order of their new jacks: bay by bay
// and column by column, as the studio has them.
func (l *Layout) Moves() []Move {
	moves := []Move{}
	c := l.columns
	for n, at := range c.room.slots {
		bay := c.room.studio.Bays[at.bay]
		if o := c.top[n]; o != none && c.room.outputs[o].jack != bay.TopJack(at.number) {
			moves = append(moves, Move{c.room.outputs[o].point, c.room.outputs[o].jack, bay.TopJack(at.number)})
		}
		if i := c.bottom[n]; i != none && c.room.inputs[i].jack != bay.BottomJack(at.number) {
			moves = append(moves, Move{c.room.inputs[i].point, c.room.inputs[i].jack, bay.BottomJack(at.number)})
		}
	}
	return moves
}
