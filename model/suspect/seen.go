package suspect

import (
	"slices"

	"bayhand/model/patch"
)

// Sight is what listening can say of one cord.
type Sight struct {
	Cord patch.Cord
	// Seen: without it the reading would be another one, by a pair that would not
	// be heard any more.
	Seen bool
	// Sure: in another jack, or swapped with another cord, as well.
	Sure bool
	// alike are the pairs that say so.
	pairs []int
}

// Sights are those of all cords, in the order of the patch. Nothing has to be
// played to know them.
func (c *Scene) Sights() []Sight {
	all := c.suspicions()
	everywhere := c.everywhere(c.free())
	var sights []Sight
	for _, cord := range c.Patch.Cords {
		s := Sight{Cord: cord, Sure: everywhere}
		for _, m := range all {
			if !slices.ContainsFunc(m.out.Cords, cord.Same) {
				continue
			}
			s.look(c, m)
		}
		s.Sure = s.Sure && s.Seen
		sights = append(sights, s)
	}
	return sights
}

// look takes one mistake of the cord into account.
func (s *Sight) look(c *Scene, m suspicion) {
	switch m.Code {
	case CordMissing:
		for _, d := range m.changes {
			if d.class == Absent && c.base[d.at] != Absent {
				s.Seen, s.pairs = true, append(s.pairs, d.at)
			}
		}
	case CordBeside, CordElsewhere, CordsSwapped, CordDead:
		// What comes through gear may be read as it should be.
		s.Sure = s.Sure && slices.ContainsFunc(m.changes, func(d difference) bool { return d.class != ThroughGear })
	}
}

// divide says which cords were seen: those whose every pair was read as told.
func divide(c *Scene, answer *Answer, differ map[int]Class) {
	for _, s := range c.Sights() {
		wrong := slices.ContainsFunc(s.pairs, func(at int) bool { _, differs := differ[at]; return differs })
		switch {
		case !s.Seen || wrong:
			answer.Unseen = append(answer.Unseen, s.Cord)
			continue
		case s.Sure && len(differ) == 0:
			answer.Sure = append(answer.Sure, s.Cord)
		}
		answer.Seen = append(answer.Seen, s.Cord)
	}
}
