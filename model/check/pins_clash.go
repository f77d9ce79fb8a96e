package check

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
	studio: scheduled("pins-clash"),
}
