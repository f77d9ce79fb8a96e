package check

import (
	"math"
	"slices"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// meeting is a source that is heard at a destination, and the place in the file
// that speaks of it.
type meeting struct {
	source, destination studio.Port
	key                 string
}

// atRest are the meetings that normals, wires and the rest patch make. Where
// outputs are joined nothing is said: another rule speaks there. The caller may
// keep and change them.
func (v *view) atRest() []meeting {
	if v.met == nil {
		v.met = meetAtRest(v)
	}
	return slices.Clone(v.met)
}

func meetAtRest(v *view) []meeting {
	all := []meeting{}
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction != studio.Input {
				continue
			}
			if heard := v.rest.Hears(p.Point); len(heard) == 1 {
				all = append(all, meeting{v.ports[heard[0]], p, v.keyOf([]name.Point{p.Point})})
			}
		}
	}
	return all
}

// wanted are the meetings that a session asks for.
func (v *sessionView) wanted() []meeting {
	var all []meeting
	for _, w := range v.session.Wants {
		all = append(all, meeting{v.ports[w.Source], v.ports[w.Destination], orElse(w.Key, "connect")})
	}
	return all
}

// fresh are the meetings that a session asks for and that are not there at rest:
// of those the rules have spoken with the studio.
func (v *sessionView) fresh() []meeting {
	rest := map[name.Point]name.Point{} // an input hears one source
	for _, m := range v.atRest() {
		rest[m.destination.Point] = m.source.Point
	}
	return slices.DeleteFunc(v.wanted(), func(m meeting) bool {
		source, met := rest[m.destination.Point]
		return met && source == m.source.Point
	})
}

// group is meetings of the same two pieces of gear that are alike.
type group struct {
	meeting
	words                 string
	sources, destinations []name.Point
}

// grouped puts together what would be said in the same words. The words of each
// meeting are those of the rule; nil is by how much its working levels differ.
func grouped(all []meeting, words []string) []group {
	type likeness struct {
		source, destination string
		from, to            studio.LineKind
		words               string
	}
	at := map[likeness]int{}
	var groups []group
	for n, m := range all {
		said := decibels(tenths(m.over()))
		if words != nil {
			said = words[n]
		}
		like := likeness{m.source.Point.Owner, m.destination.Point.Owner, m.source.Line.Kind, m.destination.Line.Kind, said}
		i, ok := at[like]
		if !ok {
			i = len(groups)
			at[like] = i
			groups = append(groups, group{meeting: m, words: said})
		}
		g := &groups[i]
		g.sources = append(g.sources, m.source.Point)
		g.destinations = append(g.destinations, m.destination.Point)
	}
	return groups
}

// over is by how many decibels the source works above the destination.
func (m meeting) over() float64 { return float64(m.source.Line.Level - m.destination.Line.Level) }

func tenths(db float64) float64 { return math.Round(db*10) / 10 }

func decibels(d float64) string { return strconv.FormatFloat(d, 'f', -1, 64) + " dB" }
