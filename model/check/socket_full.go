package check

import (
	"fmt"
	"strings"

	"bayhand/model/schedule"
	"bayhand/model/studio"
)

var socketFull = rule{
	Rule: Rule{
		Code:     "socket-full",
		Severity: "error",
		Title:    "a connector has fewer circuits than are wired to it",
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
	studio: socketsFull,
}

func socketsFull(v *view) []violation {
	var all []violation
	v.socketsOf(func(key string, s studio.Socket) {
		if most := len(schedule.AES59); s.Pins == "aes59" && len(s.Ports) > most {
			all = append(all, violation{
				key:     key,
				message: fmt.Sprintf("the connector %s holds %d circuits, and %s has %d", s.Name, len(s.Ports), strings.ToUpper(s.Pins), most),
				hint:    "divide them among two connectors",
			})
		}
	})
	return all
}
