package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var stockTwoPole = rule{
	Rule: Rule{
		Code:     "stock-two-pole",
		Severity: "advice",
		Title:    "all cords owned are TS (two poles), and balanced outputs are on the bays",
		Manual: `Every one of these cords grounds the cold leg of what it is plugged into: balanced
outputs that do not float are 6.02 dB down and drive a short with their cold stage, and
no line rejects hum. Get TRS cords for the balanced gear, or describe it as balanced:
false if it is wired that way.`,
		Bad: Example{Studio: stockPolesStudio + `cords: {stock: [{length: 60 cm, poles: 2, count: 12}]}
`},
		Good: Example{Studio: stockPolesStudio + `cords: {stock: [{length: 60 cm, poles: 3, count: 12}]}
`},
	},
	studio: stockOfTwoPoles,
}

const stockPolesStudio = `studio: A drawer of cords
gear:
  desk: {outputs: {mix1-2: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - desk/mix1-2 -> main/t1-2
`

func stockOfTwoPoles(v *view) []violation {
	count := 0
	for _, c := range v.studio.Stock.Cords {
		if c.Count > 0 && c.Poles != 2 {
			return nil
		}
		count += c.Count
	}
	if count == 0 {
		return nil
	}
	var balanced []name.Point
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output && p.Line.Balanced && len(v.jacks(p.Point)) > 0 {
				balanced = append(balanced, p.Point)
			}
		}
	}
	if len(balanced) == 0 {
		return nil
	}
	return []violation{{
		key: "cords.stock",
		message: phrase.Put("{cords}; {outputs}, such as {port}",
			"cords", phrase.Count(count, "the one cord owned is TS", "all {n} cords owned are TS"),
			"outputs", phrase.Count(len(balanced), "1 balanced output is on the bays", "{n} balanced outputs are on the bays"), "port", balanced[0].String()),
		hint: "get TRS cords for balanced gear",
	}}
}
