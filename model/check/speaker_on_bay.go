package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
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
in front of the amplifier instead.`,
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
	studio: speakersOnBay,
}

func speakersOnBay(v *view) []found {
	var all []found
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Line.Kind == studio.LoudspeakerLevel {
				all = append(all, v.speakerOnBay(p.Point)...)
			}
		}
	}
	for _, l := range v.studio.Rest.Leads {
		if v.ports[l.Port].Line.Kind == studio.LoudspeakerLevel {
			all = append(all, speakerFound("rest.leads", l.Port, l.Jack))
		}
	}
	return all
}

func (v *view) speakerOnBay(p name.Point) []found {
	var all []found
	for _, c := range v.wired(p) {
		if _, gear := v.ports[c.far]; !gear {
			all = append(all, speakerFound(c.key, p, c.far))
		}
	}
	return all
}

func speakerFound(key string, port, place name.Point) found {
	return found{
		key:     key,
		message: fmt.Sprintf("%s is at loudspeaker level and is brought to %s", port, place),
		hint:    "take it off: it burns gear and can injure; patch the line in front of the amplifier, follow local codes, and leave loudspeaker wiring to licensed people where those say so",
	}
}
