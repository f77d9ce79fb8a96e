package check

import (
	"fmt"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var plugPoles = rule{
	Rule: Rule{
		Code:     "plug-poles",
		Severity: "warning",
		Title:    "a TS plug is in a balanced port",
		Manual: `A TS plug (two poles) has no ring: in a balanced jack its sleeve lies on the cold contact
and grounds that leg. An output whose legs are both driven loses 6.02 dB unless it
floats, and drives a short with its cold stage; an input no longer rejects hum. The
other way round, a TRS plug in an unbalanced jack, the ring lies on the sleeve contact
and nothing is lost. Use a TRS plug, or describe the port as balanced: false if that is
how it is used. Plugs that are known to have two poles: ts, phono, two-pole.`,
		Bad: Example{Studio: `studio: A TS plug
gear:
  desk: {outputs: {mix1: pro-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - {from: desk/mix1, to: main/t1, plugs: [ts, bare]}
`},
		Good: Example{Studio: `studio: A TRS plug
gear:
  desk: {outputs: {mix1: pro-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - {from: desk/mix1, to: main/t1, plugs: [trs, bare]}
`},
	},
	studio: plugsOfTwoPoles,
}

func plugsOfTwoPoles(v *view) []violation {
	var b batches
	for _, w := range v.studio.Wires {
		for i, end := range []name.Point{w.From, w.To} {
			p, ok := v.ports[end]
			if ok && p.Line.Balanced && level.TwoPoles(w.Run.Plugs[i]) {
				b.add(orElse(w.Key, "wiring"), w.Run.Plugs[i], end, name.Point{})
			}
		}
	}
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Line.Balanced && level.TwoPoles(p.Line.Plug) {
				b.add("gear."+g.Name+"."+section(p), p.Line.Plug, p.Point, name.Point{})
			}
		}
	}
	var all []violation
	for _, line := range b {
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(len(line.points), "{ports} is balanced, and the plug there ({plug}) is TS: {effect}", "{ports} are balanced, and the plugs there ({plug}) are TS: {effect}",
				"ports", folded(line.points), "plug", line.words, "effect", legGrounded(v, line.points[0])),
			hint: "use a TRS plug, or write balanced: false if the port is used that way",
		})
	}
	return all
}

// legGrounded says what a plug without a ring does to a balanced port.
func legGrounded(v *view, p name.Point) string {
	if v.ports[p].Direction == studio.Output {
		return fmt.Sprintf("it grounds the cold leg, which costs an output that does not float %.1f dB", legLost)
	}
	return "it grounds the cold leg, and hum is rejected no longer"
}
