package strip

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// word stands in the name over what a caution is for, and is never cut.
func (c Caution) word() string {
	switch c {
	case Phantom:
		return "48 V"
	case Loud:
		return "LOUD"
	}
	return ""
}

// leastOfLine and mostOfLine are the lowest impedance and the highest level of a
// line output; what is beyond both is a power amplifier, whatever its file says.
const (
	leastOfLine = 4  // ohm
	mostOfLine  = 26 // dBu
)

// metal is what is joined with each place.
type metal map[name.Point][]name.Point

func (m metal) join(a, b name.Point) { m[a], m[b] = append(m[a], b), append(m[b], a) }

// cautions are the jacks whose rear leads, by wires, ties, mults and parallel pairs,
// to an input that can supply phantom power, to a loudspeaker or headphone, or to what
// drives a loudspeaker. Phantom power comes by normals as well, to the jack that a microphone is wired
// to. Cords are not looked at: a strip holds for any patch.
func cautions(s *studio.Studio, ports map[name.Point]studio.Port) map[name.Point]Caution {
	found := map[name.Point]Caution{}
	ways := map[Caution]metal{Loud: metalOf(s, false), Phantom: metalOf(s, true)}
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if c := cautionOf(g, p); c != "" {
				spread(found, ways[c], p.Point, c)
			}
		}
	}
	return found
}

// metalOf is what no plug parts, or with normals also what is joined while nothing is
// plugged. A normal that is tagged faulty may hold again, and counts.
func metalOf(s *studio.Studio, normals bool) metal {
	all := metal{}
	for _, w := range s.Wires {
		all.join(w.From, w.To)
	}
	for _, t := range s.Ties {
		all.join(t.A, t.B)
	}
	for _, m := range s.Mults {
		for _, jack := range m.Jacks[1:] {
			all.join(m.Jacks[0], jack)
		}
	}
	for _, b := range s.Bays {
		for i, mode := range b.Modes {
			if mode == studio.Parallel || normals && mode.Joined(false, false) {
				all.join(b.TopJack(i+1), b.BottomJack(i+1))
			}
		}
	}
	if normals {
		for _, n := range s.Normals {
			all.join(n.From, n.To)
		}
	}
	return all
}

func cautionOf(g studio.Gear, p studio.Port) Caution {
	amplifier := p.Direction == studio.Output && p.Line.Source <= leastOfLine && p.Line.Max > mostOfLine
	switch {
	case p.Direction == studio.Input && (g.Role == studio.Loudspeaker || g.Role == studio.Headphone), p.Line.Kind == studio.LoudspeakerLevel, amplifier:
		return Loud
	case p.Direction == studio.Input && p.Line.Phantom:
		return Phantom
	}
	return ""
}

// spread marks all that is joined to a port; what is loud goes before the rest.
func spread(found map[name.Point]Caution, near metal, from name.Point, c Caution) {
	open := []name.Point{from}
	seen := map[name.Point]bool{from: true}
	for len(open) > 0 {
		p := open[0]
		open = open[1:]
		if found[p] != Loud {
			found[p] = c
		}
		for _, q := range near[p] {
			if !seen[q] {
				seen[q] = true
				open = append(open, q)
			}
		}
	}
}
