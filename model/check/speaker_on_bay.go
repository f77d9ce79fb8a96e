package check

import (
	"fmt"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
	"bayhand/model/text"
)

var speakerOnBay = rule{
	Rule: Rule{
		Code:     "loudspeaker-on-bay",
		Severity: "error",
		Title:    "a line at loudspeaker level is wired to a bay or matrix",
		Manual: `A power amplifier delivers tens of volts and amperes. On a bay it burns inputs,
jacks and amplifiers: a plug going in shorts it, a bussed sleeve shorts a bridged
one. Such lines keep to connectors made for them, apart from the bay. High-power
and distributed loudspeaker lines can injure and can start a fire: follow the codes
of the place, and leave them to licensed people where those say so. Patch the line
in front of the amplifier instead. An output of lower impedance and higher level than
lines usually have (4 ohm or less, more than +26 dBu: 50 W into 4 ohm are +25.2 dBu, 100 W
into 8 ohm +31.3 dBu) is a warning, whatever kind the file calls it: where it is a line
driver after all, accept it.`,
		Bad: Example{Studio: `studio: An amplifier on the bay
gear:
  power: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - main/b1 -> power/in1
  - power/out1 -> main/t2
`},
		Good: Example{Studio: `studio: The amplifier's input on the bay
gear:
  power: {inputs: {in1: pro-line}, outputs: {out1: loudspeaker}}
  speaker: {inputs: {in1: loudspeaker}, role: loudspeaker, mute: {by: person, at: amplifier}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - main/b1 -> power/in1
  - power/out1 -> speaker/in1
`},
	},
	studio:  speakersOnBay,
	session: speakersPatched,
}

func speakersOnBay(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if graph.Powered(p) {
				all = append(all, v.speakerOnBay(p.Point)...)
			}
		}
	}
	return append(all, speakerLeads(v, v.studio.Rest, "rest")...)
}

func (v *view) speakerOnBay(p name.Point) []violation {
	var all []violation
	for _, c := range v.wired(p) {
		if _, gear := v.ports[c.far]; !gear {
			all = append(all, loudAt(v, c.key, p, c.far))
		}
	}
	return all
}

func speakerLeads(v *view, p patch.Patch, key string) []violation {
	var all []violation
	for i, l := range p.Leads {
		if graph.Powered(v.ports[l.Port]) {
			all = append(all, loudAt(v, fmt.Sprintf("%s.leads[%d]", key, i), l.Port, l.Jack))
		}
	}
	return all
}

// loudAt says what the sleeves of a bay would do, too: a bridged amplifier is live on
// both legs, and a bus takes one of them to ground.
func loudAt(v *view, key string, port, jack name.Point) violation {
	bussed := v.bays[jack.Owner].Ground == studio.Bussed
	sentence := ""
	switch guessed := guessed(v, port); {
	case guessed && bussed:
		sentence = "{port} has the impedance and the level of a power amplifier and is brought to {jack}, whose sleeves are bussed: they short an amplifier that is live on both legs"
	case guessed:
		sentence = "{port} has the impedance and the level of a power amplifier and is brought to {jack}"
	case bussed:
		sentence = "{port} is at loudspeaker level and is brought to {jack}, whose sleeves are bussed: they short an amplifier that is live on both legs"
	default:
		sentence = "{port} is at loudspeaker level and is brought to {jack}"
	}
	return speakerFound(v, key, phrase.Put(sentence, "port", port.String(), "jack", jack.String()), port)
}

// speakersPatched finds connections at loudspeaker level that a session asks for
// and no wire of their own makes.
func speakersPatched(v *sessionView) []violation {
	var all []violation
	for _, w := range v.session.Wants {
		direct := slices.ContainsFunc(v.wired(w.Source), func(c cable) bool { return c.far == w.Destination })
		loud := slices.DeleteFunc([]name.Point{w.Source, w.Destination}, func(p name.Point) bool { return !graph.Powered(v.ports[p]) })
		if direct || len(loud) == 0 {
			continue
		}
		sentence := "{source} -> {destination} is at loudspeaker level, and no wire of its own makes it: it would be patched"
		if guessed(v.view, loud...) {
			sentence = "{source} -> {destination} has the impedance and the level of a power amplifier, and no wire of its own makes it: it would be patched"
		}
		all = append(all, speakerFound(v.view, orElse(w.Key, "connect"), phrase.Put(sentence, "source", w.Source.String(), "destination", w.Destination.String()), loud...))
	}
	if v.session.Patch != nil {
		all = append(all, speakerLeads(v.view, *v.session.Patch, "patch")...)
	}
	return all
}

// guessed says of loud ports whether their numbers alone make them so, and not what the
// file calls them.
func guessed(v *view, loud ...name.Point) bool {
	return !slices.ContainsFunc(loud, func(p name.Point) bool { return v.ports[p].Line.Kind == studio.LoudspeakerLevel })
}

// speakerFound is an error where the file calls the line one of loudspeakers, and a warning where
// its numbers say so: a line driver with such numbers is possible, and somebody who knows
// accepts it.
func speakerFound(v *view, key, message string, loud ...name.Point) violation {
	found := violation{
		key:     key,
		message: message,
		hint:    "take it off: it burns gear and can injure; patch the line in front of the amplifier, follow local codes, and leave loudspeaker wiring to licensed people where those say so",
	}
	if guessed(v, loud...) {
		found.severity = text.Warning
		found.hint = "mend source: and max: if they are wrong, and accept this where it is a line driver; an amplifier for loudspeakers burns gear there and can injure: take it off, patch the line in front of it, and follow local codes"
	}
	return found
}
