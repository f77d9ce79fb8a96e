package check

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var openMic = rule{
	Rule: Rule{
		Code:     "open-microphone",
		Severity: "warning",
		Title:    "a loudspeaker plays a microphone that stands in its own room",
		Manual: `The air closes this loop, and no wire shows it: the microphone hears the loudspeaker
that plays it, and feeds back as soon as the level is there. Looked for where rooms: names
the loudspeaker and the microphone, or the box that it is wired to, as parts of one
room; and where a way leads from one to the other through what is patched, what gear
passes or can pass, and what inside: says of the software. Cut the loudspeaker
(cut:), or listen on headphones. If it is meant, as for a singer on a stage, write
allow: and bring the level up slowly: hearing does not heal.`,
		Bad: Example{Studio: openMicStudio, Session: `session: Live through the loudspeaker
connect:
  - voice/out1 -> desk/in1
  - desk/mix1 -> hall/in1
`},
		Good: Example{Studio: openMicStudio, Session: `session: The loudspeaker is cut
connect:
  - voice/out1 -> desk/in1
  - desk/mix1 -> hall/in1
cut: [hall]
`},
	},
	session: openMics,
}

const openMicStudio = `studio: A hall
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  desk: {inputs: {in1: pro-line}, outputs: {mix1: pro-line}, can-pass: [in1 -> mix1]}
  hall: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: its amplifier}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - mics/out1 -> voice/mic1
  - voice/out1 -> main/t1
  - main/b1 -> desk/in1
  - desk/mix1 -> main/t2
  - main/b2 -> hall/in1
rooms: {stage: [mics, hall], booth: [main]}
`

func openMics(v *sessionView) []violation {
	ways := v.withRest(v.flow())
	for _, p := range v.canPass() {
		ways.add(p.In, p.Out, "")
	}
	var b batches
	for _, mic := range microphones(v.view) {
		room := roomOf(v.view, mic)
		for _, input := range ways.reached(mic) {
			if room != "" && v.isLive(input) && roomOf(v.view, input) == room {
				b.add(v.keyOfDestination(input), room, mic, input)
			}
		}
	}
	var all []violation
	for _, line := range b {
		all = append(all, violation{
			key:     line.key,
			message: fmt.Sprintf("%s can be heard at %s, and both are in %s: it may feed back through the air", unique(line.points), unique(line.others), line.words),
			hint:    "cut the loudspeaker (cut:) or listen on headphones; write allow: if it is meant, and bring the level up slowly",
		})
	}
	return all
}

// microphones are all outputs at microphone level, patched or wired straight to
// their preamplifiers.
func microphones(v *view) []name.Point {
	var all []name.Point
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output && p.Line.Kind == studio.MicLevel {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// keyOfDestination is the line of the session that feeds an input.
func (v *sessionView) keyOfDestination(input name.Point) string {
	for _, w := range v.session.Wants {
		if w.Destination == input {
			return orElse(w.Key, "connect")
		}
	}
	return "connect"
}

// isLive says whether an input is that of a loudspeaker which the session does
// not cut.
func (v *sessionView) isLive(input name.Point) bool {
	g := v.studio.GearNamed(input.Owner)
	return g != nil && g.Role == studio.Loudspeaker && !slices.Contains(v.session.Cut, g.Name)
}

// roomOf is the room that a port stands in: that of its gear, or of the box that
// it is wired to. Bays do not tell: they stand in the control room whatever ends
// at them. Empty where nobody said.
func roomOf(v *view, p name.Point) string {
	for _, r := range v.studio.Rooms {
		if slices.Contains(r.Parts, p.Owner) {
			return r.Name
		}
	}
	for _, c := range v.wired(p) {
		for _, r := range v.studio.Rooms {
			if !v.isJack(c.far) && slices.Contains(r.Parts, c.far.Owner) && isBox(v, c.far.Owner) {
				return r.Name
			}
		}
	}
	return ""
}

func isBox(v *view, owner string) bool {
	return slices.ContainsFunc(v.studio.Boxes, func(b studio.Box) bool { return b.Name == owner })
}
