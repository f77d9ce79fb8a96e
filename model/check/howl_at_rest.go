package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var howlAtRest = rule{
	Rule: Rule{
		Code:     "howl-at-rest",
		Severity: "warning",
		Title:    "with nothing plugged, a loudspeaker is fed by what can feed back",
		Manual: `A normal that ends at a loudspeaker plays whatever comes, before anybody has plugged
anything: a microphone whose preamplifier goes straight there, or gear that a fader
or a switch can close to a loop. The feedback comes at full level and at once; hearing
does not heal. Let nothing but the monitor output of the desk or the interface reach
loudspeakers alone, and leave the pair of anything else isolated.`,
		Bad: Example{Studio: `studio: A microphone straight to the loudspeaker
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - mics/out1 -> voice/mic1
  - voice/out1 -> main/t1
  - main/b1 -> speakers/in1
`},
		Good: Example{Studio: `studio: A microphone that has to be patched
gear:
  mics: {outputs: {out1: microphone}}
  voice: {inputs: {mic1: microphone}, outputs: {out1: pro-line}, passes: [mic1 -> out1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - mics/out1 -> voice/mic1
  - voice/out1 -> main/t1
  - main/b1 -> speakers/in1
`},
	},
	studio: howlsAtRest,
}

func howlsAtRest(v *view) []violation {
	looping := v.looping()
	var b batches
	for _, g := range v.studio.Gear {
		if g.Role != studio.Loudspeaker {
			continue
		}
		for _, p := range g.Ports {
			if p.Direction != studio.Input {
				continue
			}
			if why := howls(v, p.Point, looping); why != "" {
				b.add(v.keyOf([]name.Point{p.Point}), why, p.Point, name.Point{})
			}
		}
	}
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key:     line.key,
			message: phrase.Count(n, "in the rest patch {inputs} is fed by {what}", "in the rest patch {inputs} are fed by {what}", "inputs", folded(line.points), "what", line.words),
			hint:    "make a pair on the way isolated, so that the loudspeaker is silent until something is patched; turn it down meanwhile",
		})
	}
	return all
}

// looping are the ports of loops at rest, sure and possible.
func (v *view) looping() []name.Point {
	var ports []name.Point
	for _, l := range v.rest.Loops(v.canPass(), nil) {
		ports = append(ports, l.Through...)
	}
	return ports
}

// howls says why what a loudspeaker hears at rest can howl; empty if it cannot.
// Microphones count where nothing but what always passes is between: a desk has
// faders.
func howls(v *view, input name.Point, looping []name.Point) string {
	for _, origin := range v.rest.Origins(input, nil) {
		if v.ports[origin].Line.Kind == studio.MicLevel {
			return phrase.Put("the microphone line {source}", "source", origin.String())
		}
	}
	for _, origin := range v.rest.Origins(input, v.canPass()) {
		if slices.Contains(looping, origin) {
			return phrase.Put("{source}, which is in a loop", "source", origin.String())
		}
	}
	return ""
}
