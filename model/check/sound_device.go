package check

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
	"bayhand/model/suspect"
)

var soundDevice = rule{
	Rule: Rule{
		Code:     "sound-device",
		Severity: "advice",
		Title:    "the room cannot be listened to by its sound device",
		Manual: `bayhand verify finds with test sound what is plugged, through gear with the key
sound. It needs one such device, outputs and inputs of it that cords can reach, and an
output that may play: one that no single mistake at the bay brings to a loudspeaker, to
headphones, to a microphone input with phantom power or to a place with test: no. Where
loudspeakers are on the bay, a mute by a matrix frees the outputs while it is listened
to; whoever turns them down by hand says --with and their name.`,
		Bad: Example{Studio: `studio: Loudspeakers on the bay
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
  speaker: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - interface/out1 -> main/t1
  - main/b1 -> interface/in1
  - main/b2 -> speaker/in1
`},
		Good: Example{Studio: `studio: Loudspeakers at an output of their own
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
  speaker: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: knob}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - interface/out1 -> main/t1
  - main/b1 -> interface/in1
  - interface/out2 -> speaker/in1
`},
	},
	studio: soundDevices,
}

func soundDevices(v *view) []violation {
	var devices []studio.Gear
	for _, g := range v.studio.Gear {
		if g.Sound != nil && len(g.Sound.Outputs) > 0 && len(g.Sound.Inputs) > 0 {
			devices = append(devices, g)
		}
	}
	if len(devices) == 0 {
		return nil
	}
	d := devices[0]
	say := func(g studio.Gear, message, hint string) []violation {
		return []violation{{key: "gear." + g.Name + ".sound", message: message, hint: hint}}
	}
	switch {
	case len(devices) > 1:
		return say(devices[1], fmt.Sprintf("%s and %s are both sound devices; the room is listened to by one", d.Name, devices[1].Name), "take the key sound out of one of them")
	case !onPatch(v, d.Sound.Outputs):
		return say(d, phrase.Put("no output of {device} is wired to a jack or a matrix: test sound would go nowhere", "device", d.Name), "wire its outputs to a bay or a matrix, or take sound out of the file")
	case !onPatch(v, d.Sound.Inputs):
		return say(d, phrase.Put("no input of {device} is wired to a jack or a matrix: no test sound would be heard", "device", d.Name), "wire its inputs to a bay or a matrix, or take sound out of the file")
	}
	if r, all := allSpared(v, d); all {
		return say(d, fmt.Sprintf("no output of %s may play test sound: each could come to a place that must hear none, as %s to %s", d.Name, r.Output, r.Input),
			phrase.Put("have a matrix mute it (mute: {by: ...}), or turn it down and listen with --with {gear}", "gear", r.Input.Owner))
	}
	return nil
}

// onPatch says whether any channel is wired to something that a patch changes.
func onPatch(v *view, channels []studio.SoundChannel) bool {
	return slices.ContainsFunc(channels, func(c studio.SoundChannel) bool {
		return slices.ContainsFunc(v.wired(c.Port), func(w cable) bool { _, gear := v.ports[w.far]; return !gear })
	})
}

// allSpared says whether no output of a device may play in the room between sessions, and
// of one why not. What a matrix can mute is no reason.
func allSpared(v *view, d studio.Gear) (one suspect.Reach, all bool) {
	spared := suspect.Spared(v.room.Graph(), func(gear string, _ name.Point) bool {
		g := v.studio.GearNamed(gear)
		return g != nil && !g.Mute.Output.IsZero()
	})
	var outputs []name.Point
	for _, c := range d.Sound.Outputs {
		if i := slices.IndexFunc(d.Ports, func(p studio.Port) bool { return p.Point == c.Port }); !d.NoTest && !d.Ports[i].NoTest {
			outputs = append(outputs, c.Port)
		}
	}
	risks := suspect.Risks(suspect.Setup{Room: v.room, Patch: v.studio.Rest, Outputs: outputs}, spared)
	if len(risks) < len(outputs) || len(risks) == 0 {
		return one, false
	}
	return risks[0], true
}
