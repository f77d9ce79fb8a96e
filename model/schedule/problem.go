package schedule

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// loud says whether a cable carries a loudspeaker line.
func (m *maker) loud(c Cable) bool {
	return slices.ContainsFunc(c.Pairs, func(p Pair) bool { return m.loudEnd(p.From.Point) || m.loudEnd(p.To.Point) })
}

func (m *maker) loudEnd(p name.Point) bool {
	return m.ports[p].Line.Kind == studio.LoudspeakerLevel
}

// problems are found cable by cable, and socket by socket.
func (m *maker) problems(all []Cable) []Problem {
	var found []Problem
	for _, c := range all {
		found = append(found, m.twice(c)...)
		found = append(found, m.mixed(c)...)
		found = append(found, m.loudPlugs(c)...)
	}
	found = append(found, m.sockets()...)
	found = append(found, m.clashes()...)
	found = append(found, m.insertLeads()...)
	return append(found, m.places()...)
}

// twice is a number on runs that share no end.
func (m *maker) twice(c Cable) []Problem {
	if c.Number == "" || len(c.Pairs) < 2 {
		return nil
	}
	first := c.Pairs[0]
	shared := func(owner string) bool {
		return !slices.ContainsFunc(c.Pairs, func(p Pair) bool { return p.From.Point.Owner != owner && p.To.Point.Owner != owner })
	}
	if shared(first.From.Point.Owner) || shared(first.To.Point.Owner) {
		return nil
	}
	other := c.Pairs[slices.IndexFunc(c.Pairs, func(p Pair) bool {
		return p.From.Point.Owner != first.From.Point.Owner || p.To.Point.Owner != first.To.Point.Owner
	})]
	return []Problem{{"cable-twice", "error", other.Key,
		fmt.Sprintf("cable %s goes from %s to %s, and again from %s to %s", c.Number, first.From.Point, first.To.Point, other.From.Point, other.To.Point),
		"a number is one jacket; give the second another"}}
}

// mixed is a microphone line beside a loudspeaker or headphone line.
func (m *maker) mixed(c Cable) []Problem {
	var mic, strong *Pair
	for i := range c.Pairs {
		for _, p := range []name.Point{c.Pairs[i].From.Point, c.Pairs[i].To.Point} {
			switch m.ports[p].Line.Kind {
			case studio.MicLevel:
				mic = &c.Pairs[i]
			case studio.LoudspeakerLevel, studio.HeadphoneLevel:
				strong = &c.Pairs[i]
			case studio.LineUnknown, studio.LineLevel, studio.InstrumentLevel:
			}
		}
	}
	if mic == nil || strong == nil {
		return nil
	}
	return []Problem{{"mic-beside-loud", "advice", strong.Key,
		fmt.Sprintf("%s, a microphone line, runs in one cable with %s", mic.From.Point, strong.From.Point),
		"give the stronger line a cable of its own"}}
}

// signalPlugs are those that signal lines use.
var signalPlugs = []string{"xlr", "trs", "ts", "phono", "rca", "bantam", "quarter-inch", "d-sub-25"}

func (m *maker) loudPlugs(c Cable) []Problem {
	var found []Problem
	for _, p := range c.Pairs {
		for _, e := range []End{p.From, p.To} {
			if m.loudEnd(e.Point) && slices.Contains(signalPlugs, e.Plug) {
				found = append(found, Problem{"loud-plug", "error", p.Key,
					fmt.Sprintf("%s is at loudspeaker level and has the plug %s, which signal lines have as well", e.Point, e.Plug),
					"take connectors that are made for loudspeakers and fit nothing else; follow local codes, and leave loudspeaker wiring to licensed people where those say so"})
			}
		}
	}
	return found
}

// circuitsOf is how many circuits a kind of connector has; 0 for one not known here.
func circuitsOf(s studio.Socket) int {
	if s.Pins == "aes59" {
		return len(AES59)
	}
	return 0
}

func (m *maker) sockets() []Problem {
	var found []Problem
	add := func(key string, sockets []studio.Socket) {
		for _, s := range sockets {
			if most := circuitsOf(s); most > 0 && len(s.Ports) > most {
				found = append(found, Problem{"socket-full", "error", key + ".sockets." + s.Name,
					fmt.Sprintf("the connector %s holds %d circuits, and %s has %d", s.Name, len(s.Ports), strings.ToUpper(s.Pins), most),
					"divide them among two connectors"})
			}
		}
	}
	for _, g := range m.studio.Gear {
		add("gear."+g.Name, g.Sockets)
	}
	for _, b := range m.studio.Bays {
		add("bays."+b.Name, b.Sockets)
	}
	return found
}

// clashes are contacts of one connector that two wires go to.
func (m *maker) clashes() []Problem {
	var found []Problem
	first := map[name.Point]line{}
	for _, l := range m.lines {
		for _, p := range []name.Point{l.from, l.to} {
			c, held := m.held[p]
			before, had := first[p]
			switch {
			case !held:
			case had:
				found = append(found, Problem{"pins-clash", "error", l.key,
					fmt.Sprintf("%s is one circuit of the connector %s, and both %s -> %s and %s -> %s go to its contacts", p, c.socket.Name, before.from, before.to, l.from, l.to),
					"split the line at the bay, or give the port a connector of its own"})
			default:
				first[p] = l
			}
		}
	}
	return found
}

// insertLeads are inserts on one jack whose halves run in two cables, or have a plug
// with two contacts.
func (m *maker) insertLeads() []Problem {
	var found []Problem
	first := map[name.Point]line{}
	for _, l := range m.lines {
		for i, p := range []name.Point{l.from, l.to} {
			if !m.oneJack(p) {
				continue
			}
			if plug := strings.ToLower(l.run.Plugs[i]); plug == "ts" {
				found = append(found, Problem{"insert-lead", "warning", l.key, fmt.Sprintf("%s is half of an insert on one jack, and a plug with two contacts shorts the other half", p), "take a plug with tip, ring and sleeve"})
			}
			p.Part = name.Whole
			before, had := first[p]
			if had && before.run.Cable != l.run.Cable {
				found = append(found, Problem{"insert-lead", "warning", l.key,
					fmt.Sprintf("%s is one jack, and its halves run in two cables, %s and %s", p, orNone(before.run.Cable), orNone(l.run.Cable)),
					"one jack takes one plug: make one cable of two pairs"})
			}
			first[p] = l
		}
	}
	return found
}

func orNone(number string) string {
	if number == "" {
		return "one without a number"
	}
	return number
}

// places are missed where several bays are tied and none has one.
func (m *maker) places() []Problem {
	unplaced := 0
	for _, b := range m.studio.Bays {
		if !b.At.Said {
			unplaced++
		}
	}
	tied := slices.IndexFunc(m.studio.Ties, func(t studio.Tie) bool { return t.A.Owner != t.B.Owner && t.Run.Length == 0 })
	if unplaced < 2 || tied < 0 {
		return nil
	}
	return []Problem{{"no-places", "advice", m.studio.Ties[tied].Key, "bays are tied and nobody said where they stand, so that lengths of cable and reach of cords are not known",
		"give the bays at: {x: ..., y: ...}, or the tie its length"}}
}
