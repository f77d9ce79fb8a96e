package planner_test

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// unplainness counts what a plain plan does without, from the nets that package heard
// finds: cords that hang, cords from mult to mult, and taps of what the session
// does not split.
func (tiny tiny) unplainness(room *heard.Room) func(p patch.Patch) int {
	apart := room.Hear(patch.Patch{Dummies: tinyJacks(tiny.studio)}) // with every normal broken that can be
	rest := room.Hear(tiny.studio.Rest)
	return func(p patch.Patch) int {
		now := room.Hear(p)
		total := 0
		for _, c := range p.Cords {
			if c.B.IsZero() || !apart.Joined(c.A, c.B) && tiny.mult(apart, c.A) && tiny.mult(apart, c.B) {
				total++
			}
		}
		for _, j := range carrying(p) {
			if tiny.taps(now, apart, rest, p, j) {
				total++
			}
		}
		return total
	}
}

func (tiny tiny) mult(apart *heard.State, p name.Point) bool {
	return slices.ContainsFunc(tiny.studio.Mults, func(m studio.Mult) bool {
		return slices.ContainsFunc(m.Jacks, func(j name.Point) bool { return apart.Joined(j, p) })
	})
}

// carrying are the jacks that hold a plug of a lead, or of a cord that is in at
// both ends.
func carrying(p patch.Patch) []name.Point {
	var jacks []name.Point
	for _, c := range p.Cords {
		if !c.B.IsZero() {
			jacks = append(jacks, c.A, c.B)
		}
	}
	for _, l := range p.Leads {
		jacks = append(jacks, l.Jack)
	}
	return jacks
}

// taps says whether a plug in a jack taps a normal that leads to gear, of a
// source that the session does not split. It is no tap where the gear must not hear
// the source.
func (tiny tiny) taps(now, apart, rest *heard.State, p patch.Patch, jack name.Point) bool {
	bay := tiny.studio.Bays[0]
	for i, mode := range bay.Modes {
		top, bottom := bay.TopJack(i+1), bay.BottomJack(i+1)
		other := name.Point{}
		switch {
		case mode == studio.HalfNormal && jack == top:
			other = bottom
		case mode == studio.HalfNormalTop && jack == bottom:
			other = top
		default:
			continue
		}
		source, ok := tiny.sourceOn(now, p, jack)
		if !ok || tiny.splits(source) {
			return false
		}
		inputs, unwanted := 0, false
		for _, in := range apart.Net(other) {
			if tiny.isInput(in) {
				inputs++
				unwanted = unwanted || !tiny.mayHear(rest, in, source)
			}
		}
		return inputs > 0 && !unwanted
	}
	return false
}

func (tiny tiny) splits(source name.Point) bool {
	count := 0
	for _, w := range tiny.session.Wants {
		if w.Source == source {
			count++
		}
	}
	return count > 1
}

func (tiny tiny) isInput(p name.Point) bool {
	return slices.ContainsFunc(tiny.studio.Gear, func(g studio.Gear) bool {
		return slices.ContainsFunc(g.Ports, func(q studio.Port) bool { return q.Point == p && q.Direction == studio.Input })
	})
}

func (tiny tiny) mayHear(rest *heard.State, in, source name.Point) bool {
	named := slices.Contains(tiny.session.Silent, in)
	for _, w := range tiny.session.Wants {
		if w.Destination == in {
			if w.Source == source {
				return true
			}
			named = true
		}
	}
	return !named && slices.Contains(rest.Hears(in), source)
}

// sourceOn is the gear output that comes to a jack, by metal or, where the session
// asks for it, through an amplifier.
func (tiny tiny) sourceOn(now *heard.State, p patch.Patch, jack name.Point) (name.Point, bool) {
	for range len(p.Crosspoints) + 1 {
		net := now.Net(jack)
		for _, q := range net {
			if tiny.isOutput(q) {
				return q, true
			}
		}
		at := slices.IndexFunc(p.Crosspoints, func(x patch.Crosspoint) bool { return slices.Contains(net, x.Output) })
		if at < 0 || tiny.studio.Matrices[0].Kind == studio.Contacts {
			return name.Point{}, false
		}
		jack = p.Crosspoints[at].Input
	}
	return name.Point{}, false
}

func (tiny tiny) isOutput(p name.Point) bool {
	return slices.ContainsFunc(tiny.studio.Gear, func(g studio.Gear) bool {
		return slices.ContainsFunc(g.Ports, func(q studio.Port) bool { return q.Point == p && q.Direction == studio.Output })
	})
}
