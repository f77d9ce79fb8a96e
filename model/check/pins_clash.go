package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var pinsClash = rule{
	Rule: Rule{
		Code:     "pins-clash",
		Severity: "error",
		Title:    "two wires go to one contact of a connector",
		Manual: `A contact of a multiway connector takes one wire. Two of them in one solder cup break,
and nobody sees from outside that the line is split there.`,
		Bad: Example{Studio: `studio: Clash
gear: {a: {outputs: {out1-2: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-2, pins: aes59}}}, b: {inputs: {in1: pro-line}}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [a/out1 -> main/t1, a/out1 -> b/in1, a/out2 -> main/t2]
`},
		Good: Example{Studio: `studio: Clash
gear: {a: {outputs: {out1-2: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-2, pins: aes59}}}, b: {inputs: {in1: pro-line}}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [a/out1 -> main/t1, main/b1 -> b/in1, a/out2 -> main/t2]
`},
	},
	studio: pinsClashing,
}

// pinsClashing looks at the circuits of connectors that two lines go to.
func pinsClashing(v *view) []violation {
	held := map[name.Point]string{}
	v.socketsOf(func(_ string, s studio.Socket) {
		for _, p := range s.Ports {
			held[p] = s.Name
		}
	})
	first := map[name.Point]run{}
	var all []violation
	for _, r := range v.runs() {
		for _, p := range []name.Point{r.a, r.b} {
			before, had := first[p]
			switch {
			case held[p] == "":
			case had:
				all = append(all, violation{
					key:     r.key,
					message: fmt.Sprintf("%s is one circuit of the connector %s, and both %s -> %s and %s -> %s go to its contacts", p, held[p], before.a, before.b, r.a, r.b),
					hint:    "split the line at the bay, or give the port a connector of its own",
				})
			default:
				first[p] = r
			}
		}
	}
	return all
}
