package check

import (
	"fmt"
	"math"

	"bayhand/model/studio"
)

var levelDiffers = rule{
	Rule: Rule{
		Code:     "level-differs",
		Severity: "advice",
		Title:    "professional and domestic line level meet",
		Manual: `Line level is +4 dBu in professional gear and -10 dBV in domestic gear, 11.8 dB
apart. Into a domestic input professional level is too hot and clips early; the
other way round it is quiet and noisy. Said where the working levels of a source and
a destination differ by 6 dB or more; set the gear for it, put a level box between,
or describe the port with the level that it is really set to. Where the professional
side is balanced and the domestic one is not, such a box with a transformer also keeps
the cold leg off ground, which otherwise costs 6.02 dB more in an output that does not
float (Ballou, Handbook for Sound Engineers).`,
		Bad: Example{Studio: `studio: Professional into domestic
gear:
  desk: {outputs: {mix1: pro-line}}
  cassette: {inputs: {in1: home-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> cassette/in1
`},
		Good: Example{Studio: `studio: Professional into professional
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> recorder/in1
`},
	},
	studio:  func(v *view) []found { return levelsDiffer(v.metal, v.atRest()) },
	session: func(v *sessionView) []found { return levelsDiffer(v.metal, v.fresh()) },
}

const levelApart = 6 // dB: common practice, no published source

// coldLeg is what an output that drives both legs loses where the cold one is grounded.
const coldLeg = 6.0 // dB: half the voltage

// grounded is what a meeting loses at the unbalanced end of its metal: an active
// output half its voltage, a floating or cross-coupled one nothing.
func (m meeting) grounded() float64 {
	if m.source.Line.Balanced && !m.destination.Line.Balanced && m.source.Line.Stage == studio.ActiveStage {
		return coldLeg
	}
	return 0
}

func levelsDiffer(metal func(meeting) bool, all []meeting) []found {
	var out []found
	for _, g := range grouped(all) {
		from, to := g.source.Line, g.destination.Line
		over := g.over()
		if metal(g.meeting) && over > 0 { // of a leg that is lost alone other rules speak
			over = tenths(over - g.grounded())
		}
		if from.Kind != studio.LineLevel || to.Kind != studio.LineLevel || math.Abs(over) < levelApart {
			continue
		}
		sense, remedy := "above", "turn it down there, or put a level box between"
		if over < 0 {
			sense, remedy = "below", "make up for it at the destination, or put a level box between"
		}
		remedy += "; where a switch sets the port to another level, write it with the port, such as level: +4 dBu, and what is to stay so under accept:"
		out = append(out, found{
			key: g.key,
			message: fmt.Sprintf("%s (%s) %s %s %s what %s (%s) %s at", folded(g.sources), worksAt(from), plural(len(g.sources), "is", "are"),
				decibels(over), sense, folded(g.destinations), worksAt(to), plural(len(g.destinations), "works", "work")),
			hint: remedy,
		})
	}
	return out
}

// worksAt is a line's name, or its level where it has none.
func worksAt(l studio.Line) string { return orElse(l.Name, l.Level.String()) }
