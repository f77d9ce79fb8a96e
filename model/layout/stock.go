package layout

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Fits says whether a cord of stock has the plugs for two jacks, either way
// round. Plugs and jacks that the file does not say fit anything.
func Fits(ends [2]studio.Jack, a, b studio.Jack) bool {
	one := func(plug, jack studio.Jack) bool {
		return plug == jack || plug == studio.JackUnknown || jack == studio.JackUnknown
	}
	return one(ends[0], a) && one(ends[1], b) || one(ends[0], b) && one(ends[1], a)
}

// Kind is the kind of a jack of a bay; JackUnknown for any other point.
func Kind(s *studio.Studio, jack name.Point) studio.Jack {
	if bay := s.BayNamed(jack.Owner); bay != nil {
		return bay.Jack
	}
	return studio.JackUnknown
}

// Shortest is the shortest cord owned that reaches from a to b and fits both;
// ok is false if there is none. Where the stock is unlimited any length is to
// be had, and the answer is the way with its slack.
func Shortest(s *studio.Studio, a, b name.Point) (length measure.Length, ok bool) {
	way, ok := Distance(s, a, b)
	if !ok {
		return 0, false
	}
	need := way + s.Stock.Slack
	if s.Stock.Unlimited {
		return need, true
	}
	found := false
	for _, c := range s.Stock.Cords {
		if c.Count < 1 || c.Length < need || !Fits(c.Ends, Kind(s, a), Kind(s, b)) {
			continue
		}
		if !found || c.Length < length {
			found, length = true, c.Length
		}
	}
	return length, found
}
