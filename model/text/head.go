package text

import (
	"maps"
	"slices"

	"bayhand/model/session"
	"bayhand/model/studio"
)

// head is what a session says that changes how its lines are read, and those of
// the session that it is like.
type head struct {
	guests []studio.Gear
	// away are the units that are away, each with its stand-in.
	away map[string]string
}

// under puts a head under another, which wins.
func (h head) under(over head) head {
	all := head{guests: mergeByGear(slices.Clone(h.guests), over.guests, gearName), away: maps.Clone(h.away)}
	if all.away == nil {
		all.away = map[string]string{}
	}
	maps.Copy(all.away, over.away)
	return all
}

func gearName(g studio.Gear) string { return g.Name }

// begin makes the session ready for its lines.
func (s *sessionReader) begin(st *studio.Studio, own head, base *sessionReader, over head, v values) {
	all := own
	if base != nil {
		all = base.head.under(own)
	}
	all = all.under(over)
	broken := s.index.broken
	s.index = indexWith(st, all.guests)
	s.index.broken = broken
	s.head = all
	s.checkSubstitutes(v.of["substitute"])
	s.session.Guests = all.guests
	for _, away := range slices.Sorted(maps.Keys(all.away)) {
		s.session.Substitutes = append(s.session.Substitutes, session.Substitute{Away: away, StandIn: all.away[away]})
	}
}

// indexWith finds the things of a studio with guests in it.
func indexWith(st *studio.Studio, guests []studio.Gear) *index {
	if len(guests) == 0 {
		return newIndex(st)
	}
	with := *st
	with.Gear = slices.Concat(st.Gear, guests)
	return newIndex(&with)
}

// guests reads gear that comes for the session.
func (s *sessionReader) guests(n *node, st *studio.Studio) []studio.Gear {
	if n == nil {
		return nil
	}
	own := *st
	own.Gear = nil
	r := newStudioReader(s.reader, &own)
	r.lines.named = linesOf(st)
	r.index = newIndex(st)
	r.readGear(n)
	r.index = indexWith(st, own.Gear)
	r.index.broken, s.index.broken = r.broken, r.broken
	r.resolveMutes()
	r.resolveAts()
	return own.Gear
}
