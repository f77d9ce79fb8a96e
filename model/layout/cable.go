package layout

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// UsualCable and UsualCord are the kinds of cable that wires and cords are taken
// to be of where the file does not say.
const (
	UsualCable = "pair"
	UsualCord  = "cord"
)

// Cables are the kinds of cable of a studio by name: those built in, and over
// them the studio's own.
func Cables(s *studio.Studio) map[string]studio.Cable {
	kinds := map[string]studio.Cable{}
	for _, c := range append(studio.BuiltInCables(), s.Cables...) {
		kinds[c.Name] = c
	}
	return kinds
}

// cut is what lengths of cable that are worked out are rounded up to.
const cut = measure.Metre / 2

// Lengths knows how long the permanent cables of a studio are.
type Lengths struct {
	studio *studio.Studio
	kinds  map[string]studio.Cable
	gear   map[string]Spot
	bays   map[string]Spot
}

// NewLengths prepares the lengths of a studio's cables. It takes time linear in
// its gear and bays.
func NewLengths(s *studio.Studio) *Lengths {
	l := &Lengths{studio: s, kinds: Cables(s), gear: map[string]Spot{}, bays: map[string]Spot{}}
	for _, g := range s.Gear {
		if g.Place.Said {
			l.gear[g.Name] = l.spot(g.Place)
		}
	}
	for _, b := range s.Bays {
		if b.At.Said {
			l.bays[b.Name] = l.spot(b.At)
		}
	}
	return l
}

func (l *Lengths) spot(p studio.Place) Spot { return Origin(l.studio, studio.Bay{At: p}, 0) }

// Kind is the kind of a run of cable; the usual one where nothing was said.
func (l *Lengths) Kind(run studio.Run) studio.Cable {
	if kind, ok := l.kinds[run.Kind]; ok {
		return kind
	}
	return l.kinds[UsualCable]
}

// Length is how long a wire or tie between two points is: what the file says,
// else |dx| + |dy| between the rears of its two places with what the kind of
// cable has to spare at each end, rounded up to half a metre; estimated is true
// then. ok is false where neither is known.
func (l *Lengths) Length(run studio.Run, a, b name.Point) (length measure.Length, estimated, ok bool) {
	if run.Length > 0 {
		return run.Length, false, true
	}
	from, okA := l.rear(a)
	to, okB := l.rear(b)
	if !okA || !okB {
		return 0, false, false
	}
	way := from.Distance(to) + 2*l.Kind(run).Spare
	return (way + cut - 1) / cut * cut, true, true
}

// rear is where a cable to a point ends: at its jack, or at the place of gear.
func (l *Lengths) rear(p name.Point) (Spot, bool) {
	if spot, ok := l.gear[p.Owner]; ok {
		return spot, true
	}
	origin, ok := l.bays[p.Owner]
	if !ok {
		return Spot{}, false
	}
	return in(*l.studio.BayNamed(p.Owner), origin, p)
}
