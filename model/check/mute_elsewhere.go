package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var muteElsewhere = rule{
	Rule: Rule{
		Code:     "mute-elsewhere",
		Severity: "warning",
		Title:    "the matrix output that mutes a loudspeaker does not feed all of it",
		Manual: `The output named by mute: is switched off before anything in the path of the
loudspeaker moves. An input that gets its signal from somewhere else stays live, and
whoever trusts the mute gets the click or the feedback. Turn it down by hand whenever in
doubt: hearing does not heal. Name an output for which it is true, or say
mute: {by: person, at: the switch}.`,
		Bad: Example{Studio: `studio: One side muted
gear:
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
matrices:
  shade: {inputs: 2, outputs: 2, device: {description: scpi-switch, link: "tcp:127.0.0.1:5025"}}
wiring:
  - shade/out1-2 -> speakers/in1-2
`},
		Good: Example{Studio: `studio: Muted at the monitor cut
gear:
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
matrices:
  shade: {inputs: 2, outputs: 2}
wiring:
  - shade/out1-2 -> speakers/in1-2
`},
	},
	studio: mutesElsewhere,
}

func mutesElsewhere(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		if g.Mute.Output.IsZero() {
			continue
		}
		by := v.studio.Gang(g.Mute.Output)
		var live []name.Point
		for _, p := range g.Ports {
			if p.Direction == studio.Input && !slices.ContainsFunc(by, func(out name.Point) bool { return comesFrom(v, p.Point, out) }) {
				live = append(live, p.Point)
			}
		}
		if len(live) == 0 {
			continue
		}
		all = append(all, violation{
			key:     "gear." + g.Name + ".mute",
			message: phrase.Count(len(live), "{inputs} is not fed by {output}, which is said to mute {gear}", "{inputs} are not fed by {output}, which is said to mute {gear}", "inputs", folded(live), "output", g.Mute.Output.String(), "gear", g.Name),
			hint:    "name the output that feeds it, or write mute: {by: person, at: the switch}",
		})
	}
	return all
}

// comesFrom says whether an input at rest is joined with a matrix output, or
// gets its signal from it through gear.
func comesFrom(v *view, in, output name.Point) bool {
	seen := map[name.Point]bool{in: true}
	for queue := []name.Point{in}; len(queue) > 0; queue = queue[1:] {
		if v.rest.Joined(queue[0], output) {
			return true
		}
		for _, before := range v.before(queue[0]) {
			if !seen[before] {
				seen[before] = true
				queue = append(queue, before)
			}
		}
	}
	return false
}

// before are the inputs of gear whose signal comes to a point through that gear.
func (v *view) before(p name.Point) []name.Point {
	var inputs []name.Point
	for _, g := range v.studio.Gear {
		for _, ways := range [][]studio.Pass{g.Passes, g.CanPass} {
			for _, w := range ways {
				if v.rest.Joined(w.Out, p) {
					inputs = append(inputs, w.In)
				}
			}
		}
	}
	return inputs
}
