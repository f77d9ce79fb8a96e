package check

var socketFull = rule{
	Rule: Rule{
		Code:     "socket-full",
		Severity: "error",
		Title:    "a connector has fewer circuits than it is given",
		Manual: `A 25-way connector has eight balanced circuits by AES59. What is named beyond them has
no contact.`,
		Bad: Example{Studio: `studio: Full
gear: {a: {outputs: {out1-9: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-9, pins: aes59}}}}
bays: {main: {pairs: 9, modes: isolated}}
wiring: [a/out1-9 -> main/t1-9]
`},
		Good: Example{Studio: `studio: Full
gear: {a: {outputs: {out1-9: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-8, pins: aes59}}}}
bays: {main: {pairs: 9, modes: isolated}}
wiring: [a/out1-9 -> main/t1-9]
`},
	},
	studio: scheduled("socket-full"),
}
