package check

import (
	"fmt"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

var jackTwice = rule{
	Rule: Rule{
		Code:     "jack-twice",
		Severity: "warning",
		Title:    "two cables end at the rear of one jack",
		Manual: `The rear of a jack takes one cable. Two of them are mostly one line written twice
or a wrong number; where a signal is to be shared, say it with a mult, so that the
schedule and the next person see it.`,
		Bad: Example{Studio: `studio: Two cables at one jack
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - desk/mix1 -> main/t1
  - main/t1 -> recorder/in1
`},
		Good: Example{Studio: `studio: One cable at each jack
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
	studio: jacksTwice,
}

func jacksTwice(v *view) []violation {
	var all []violation
	for _, jack := range v.sockets() {
		cables := v.cables[jack]
		if len(cables) < 2 {
			continue
		}
		all = append(all, violation{
			key:     cables[len(cables)-1].key,
			message: fmt.Sprintf("at the rear of %s end %d cables: %s", jack, len(cables), ends(cables)),
			hint:    "wire one of them to another jack; what shares a signal on purpose goes under mults:",
		})
	}
	return all
}

// sockets are all jacks of bays and boxes.
func (v *view) sockets() []name.Point {
	var all []name.Point
	for _, bay := range v.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			all = append(all, bay.TopJack(n), bay.BottomJack(n))
		}
	}
	for _, box := range v.studio.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			all = append(all, box.Socket(n))
		}
	}
	return all
}

func ends(cables []cable) string {
	var texts []string
	for _, c := range cables {
		if c.tie {
			texts = append(texts, phrase.Put("a tie line to {jack}", "jack", c.far.String()))
			continue
		}
		texts = append(texts, c.far.String())
	}
	return strings.Join(texts, " and ")
}
