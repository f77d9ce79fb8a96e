package check

import (
	"math"
	"slices"
	"strconv"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// arrival is what arrives of a source at a destination, and the place in the
// file that speaks of it.
type arrival struct {
	level.Arrival
	key string
}

// arriveAtRest are the arrivals at rest, where one source is heard and no outputs
// are joined: of those another rule speaks. The caller must not change them.
func (v *view) arriveAtRest() []arrival {
	if v.arrivals == nil {
		v.arrivals = []arrival{}
		room := level.New(v.room, v.studio.Rest, level.Options{Quick: true})
		for _, m := range v.atRest() {
			for _, a := range room.At(m.destination.Point) {
				if len(a.Joined) == 0 {
					v.arrivals = append(v.arrivals, arrival{a, m.key})
				}
			}
		}
	}
	return v.arrivals
}

// arriveAsked are the arrivals that a session asks for and that are not there at
// rest, of what may be one piece of metal: all that it asks of a source that it
// takes somewhere new counts together.
func (v *sessionView) arriveAsked() []arrival {
	if v.arrivals != nil {
		return v.arrivals
	}
	v.arrivals = []arrival{}
	room := level.New(v.room, v.studio.Rest, level.Options{Quick: true})
	asked := map[name.Point]bool{}
	for _, m := range v.joinedAsked() {
		asked[m.destination.Point] = true
	}
	var sources []name.Point
	destinations, keys := map[name.Point][]name.Point{}, map[name.Point]string{}
	for _, m := range v.askedOfSources() {
		from := m.source.Point
		if destinations[from] == nil {
			sources = append(sources, from)
		}
		destinations[from] = append(destinations[from], m.destination.Point)
		keys[m.destination.Point] = m.key
	}
	for _, from := range sources {
		for _, a := range room.Asked(from, destinations[from]) {
			if asked[a.Destination.Point] {
				v.arrivals = append(v.arrivals, arrival{a, keys[a.Destination.Point]})
			}
		}
	}
	return v.arrivals
}

// arrivals runs a rule on what arrives at rest, and on what a session asks for.
func arriving(r Rule, find func([]arrival) []violation) rule {
	return rule{
		Rule:    r,
		studio:  func(v *view) []violation { return find(v.arriveAtRest()) },
		session: func(v *sessionView) []violation { return find(v.arriveAsked()) },
	}
}

// signal says whether two ports are of one kind that is meant to bridge its
// source. Headphones and loudspeakers load theirs, and of kinds that differ
// another rule speaks.
func (a arrival) signal() bool {
	from, to := a.Source.Line.Kind, a.Destination.Line.Kind
	return from == to && from != studio.HeadphoneLevel && from != studio.LoudspeakerLevel && from != studio.LineUnknown
}

// told gathers arrivals of one line of the file of which the same words are said,
// so that a line of sixteen ports is one finding.
func told(all []arrival, words func(arrival) string, say func(b *batch) violation) []violation {
	var b batches
	for _, a := range all {
		if text := words(a); text != "" {
			b.add(a.key, text, a.Source.Point, a.Destination.Point)
		}
	}
	var out []violation
	for _, line := range b {
		f := say(line)
		f.key = line.key
		out = append(out, f)
	}
	return out
}

// amount is a range of decibels as one would say them, without signs: 4.2 dB, or
// 4.2 to 10.3 dB.
func amount(r level.Range) string {
	low, high := tenth(r.Low), tenth(r.High)
	if low == high {
		return low + " dB"
	}
	if math.Abs(r.Low) > math.Abs(r.High) {
		low, high = high, low
	}
	return phrase.Put("{low} to {high} dB", "low", low, "high", high)
}

func tenth(v float64) string {
	return strconv.FormatFloat(math.Abs(tenths(v)), 'f', -1, 64)
}

// each picks the arrivals of which something is true.
func each(all []arrival, is func(arrival) bool) []arrival {
	return slices.DeleteFunc(slices.Clone(all), func(a arrival) bool { return !is(a) })
}
