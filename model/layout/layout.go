// Package layout says where jacks stand and which cords reach between them.
//
// The way between two jacks goes along the bays, never through the air: it is
// |dx| + |dy|, and a cord needs the slack of the studio beside it. X counts to
// the right, Y upward from the floor. The package knows nothing of signals.
package layout

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Below is how far the bottom jack stands under the top jack of its pair: in one rack
// unit of 44.45 mm (EIA-310) the two rows are about half of that apart (common practice,
// no published source).
const Below = 2 * measure.Centimetre

// Spacing is the way from one bay without a place to the next below it: two rack units and
// a little, a choice of ours.
const Spacing = 10 * measure.Centimetre

// Usual is the pitch of a kind of jack whose bay does not say: 48 bantam jacks,
// or 24 of the larger ones, in a 19-inch panel (5/16 in and 5/8 in; common
// practice, no published source).
func Usual(j studio.Jack) measure.Length {
	switch j {
	case studio.QuarterInch, studio.LongFrame:
		return 15875 * measure.Micrometre
	case studio.Bantam, studio.JackUnknown:
	}
	return 7937500
}

// Spot is a place in front of the bays.
type Spot struct {
	X, Y measure.Length
}

// Distance is the way between two places along the bays: |dx| + |dy|.
func (s Spot) Distance(t Spot) measure.Length { return abs(s.X-t.X) + abs(s.Y-t.Y) }

func abs(l measure.Length) measure.Length {
	if l < 0 {
		return -l
	}
	return l
}

// At is where a jack stands; ok is false for a point that is no jack of a bay.
func At(s *studio.Studio, jack name.Point) (spot Spot, ok bool) {
	unplaced := measure.Length(0)
	for _, bay := range s.Bays {
		origin := Origin(s, bay, unplaced)
		if !bay.At.Said {
			unplaced += Spacing
		}
		if bay.Name == jack.Owner {
			return in(bay, origin, jack)
		}
	}
	return Spot{}, false
}

// Origin is where the top jack of pair 1 stands. Down is how far bays without a
// place have gone down already: they hang one above another in the order of the
// file.
func Origin(s *studio.Studio, bay studio.Bay, down measure.Length) Spot {
	switch {
	case !bay.At.Said:
		return Spot{0, -down}
	case bay.At.Rack != "" || bay.At.Unit > 0:
		spot := Spot{bay.At.X, measure.Length(bay.At.Unit) * measure.RackUnit}
		for _, rack := range s.Racks {
			if rack.Name == bay.At.Rack {
				spot.X += rack.X
			}
		}
		return spot
	}
	return Spot{bay.At.X, bay.At.Y}
}

func in(bay studio.Bay, origin Spot, jack name.Point) (Spot, bool) {
	if jack.Number < 1 || jack.Number > bay.Pairs() || jack.Part != name.Whole {
		return Spot{}, false
	}
	pitch := bay.Pitch
	if pitch == 0 {
		pitch = Usual(bay.Jack)
	}
	spot := Spot{origin.X + measure.Length(jack.Number-1)*pitch, origin.Y}
	switch jack.Stem {
	case studio.Top:
		return spot, true
	case studio.Bottom:
		spot.Y -= Below
		return spot, true
	}
	return Spot{}, false
}

// Distance is the way between two jacks; ok is false if either is no jack.
func Distance(s *studio.Studio, a, b name.Point) (way measure.Length, ok bool) {
	p, okA := At(s, a)
	q, okB := At(s, b)
	return p.Distance(q), okA && okB
}

// Reaches says whether a cord of the given length reaches from a to b with the
// studio's slack.
func Reaches(s *studio.Studio, a, b name.Point, length measure.Length) bool {
	way, ok := Distance(s, a, b)
	return ok && way+s.Stock.Slack <= length
}
