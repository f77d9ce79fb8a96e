package check

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var loudPlug = rule{
	Rule: Rule{
		Code:     "loud-plug",
		Severity: "error",
		Title:    "a loudspeaker line has a plug that signal lines use",
		Manual: `A plug that fits will be plugged, one night. At loudspeaker level it destroys what
it is plugged into, and a plug whose contacts short on the way in destroys the
amplifier; a bridged amplifier has no leg at ground. Use the locking connectors made
for loudspeakers, and not XLR (IEC 61076-2-103), which is for signal lines. Keep
loudspeaker lines apart, and follow the local codes.`,
		Bad: Example{Studio: `studio: A loudspeaker on a jack plug
gear:
  power: {outputs: {out1: {line: loudspeaker, plug: ts}}}
  hall: {inputs: {in1: loudspeaker}}
wiring:
  - power/out1 -> hall/in1
`},
		Good: Example{Studio: `studio: A loudspeaker on its own connector
gear:
  power: {outputs: {out1: {line: loudspeaker, plug: locking}}}
  hall: {inputs: {in1: loudspeaker}}
wiring:
  - power/out1 -> hall/in1
`},
	},
	studio: loudPlugs,
}

// signalPlugs are the connectors of signal lines, in the trade's words.
var signalPlugs = []string{"xlr", "trs", "ts", "phono", "rca", "two-pole", "bantam", "quarter-inch", "long-frame", "d-sub", "d-sub-25"}

func loudPlugs(v *view) []violation {
	var b batches
	add := func(key, plug string, p name.Point) {
		port, ok := v.ports[p]
		if ok && port.Line.Kind == studio.LoudspeakerLevel && slices.Contains(signalPlugs, strings.ToLower(plug)) {
			b.add(key, plug, p, name.Point{})
		}
	}
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			add("gear."+g.Name+"."+section(p), p.Line.Plug, p.Point)
		}
	}
	for _, r := range v.runs() {
		add(r.key, r.run.Plugs[0], r.a)
		add(r.key, r.run.Plugs[1], r.b)
	}
	var all []violation
	for _, line := range b {
		all = append(all, violation{
			key:     line.key,
			message: phrase.Count(len(line.points), "{ports} is at loudspeaker level and has a plug that signal lines use ({plug})", "{ports} are at loudspeaker level and have a plug that signal lines use ({plug})", "ports", folded(line.points), "plug", line.words),
			hint:    "use a connector made for loudspeakers, and follow local codes",
		})
	}
	return all
}
