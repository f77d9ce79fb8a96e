package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var portUnwired = rule{
	Rule: Rule{
		Code:     "port-unwired",
		Severity: "advice",
		Title:    "a port is wired nowhere, though its gear is wired",
		Manual: `A port that is on no bay and no matrix can only be reached with a gear cable, behind
the rack. Gear that is wired nowhere at all takes gear cables and is not meant here. Nor is
gear whose file says where its gear cables go (at: main).`,
		Bad: Example{Studio: `studio: One output forgotten
gear:
  synth: {outputs: {out1-2: home-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - synth/out1 -> main/t1
`},
		Good: Example{Studio: `studio: All or nothing
gear:
  synth: {outputs: {out1-2: home-line}}
  organ: {outputs: {out1: home-line}}
  drums: {outputs: {out1-3: home-line}, at: main}    # the third on a gear cable, when it is needed
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - synth/out1-2 -> main/t1-2
  - drums/out1-2 -> main/t3-4
`},
	},
	studio: portsUnwired,
}

func portsUnwired(v *view) []violation {
	leads := map[name.Point]bool{}
	for _, l := range v.studio.Rest.Leads {
		leads[l.Port] = true
	}
	var all []violation
	for _, g := range v.studio.Gear {
		var free []name.Point
		for _, s := range g.Overrides {
			leads[s.Front] = true // a socket at the front is there for leads
		}
		for _, p := range g.Ports {
			if len(v.cables[p.Point]) == 0 && !leads[p.Point] {
				free = append(free, p.Point)
			}
		}
		if len(free) == 0 || len(free) == len(g.Ports) || len(g.At) > 0 {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name + "." + section(v.ports[free[0]]),
			message: phrase.Count(len(free), "{ports} is wired nowhere", "{ports} are wired nowhere", "ports", folded(free)),
			hint:    phrase.Count(len(free), "wire it to a jack, or take it out of the file if nothing ever goes there", "wire them to jacks, or take them out of the file if nothing ever goes there"),
		})
	}
	return all
}

// section is the key of gear under which a port stands.
func section(p studio.Port) string {
	switch {
	case p.Point.Part != name.Whole:
		return "inserts"
	case p.Direction == studio.Output:
		return "outputs"
	default:
		return "inputs"
	}
}
