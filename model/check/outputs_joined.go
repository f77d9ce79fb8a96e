package check

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
)

var outputsJoined = rule{
	Rule: Rule{
		Code:     "outputs-joined",
		Severity: "error",
		Title:    "two outputs are joined by metal",
		Manual: `Two outputs on one piece of metal drive each other: the signal is wrong everywhere
on it, and output stages run hot or fail. A passive bay cannot mix. Looked for in
the rest patch, and in the patch that a session keeps. Put each output on a jack
of its own, or mix in the desk or the software.`,
		Bad: Example{Studio: `studio: Two outputs on one parallel pair
gear:
  synth: {outputs: {out1: home-line}}
  organ: {outputs: {out1: home-line}}
bays:
  main: {pairs: 1, modes: parallel}
wiring:
  - synth/out1 -> main/t1
  - organ/out1 -> main/b1
`},
		Good: Example{Studio: `studio: Each output has its pair
gear:
  synth: {outputs: {out1: home-line}}
  organ: {outputs: {out1: home-line}}
bays:
  main: {pairs: 2, modes: parallel}
wiring:
  - synth/out1 -> main/t1
  - organ/out1 -> main/t2
`},
	},
	studio:  outputsJoinedAtRest,
	session: outputsJoinedKept,
}

func outputsJoinedAtRest(v *view) []violation {
	var all []violation
	for _, c := range v.rest.Contentions() {
		if v.normalJoins(c) || v.inMult(v.studio.Rest, v.rest, c) {
			continue // said by its own rule
		}
		all = append(all, violation{
			key:     v.keyOf(c.Drivers),
			message: joins(v.rest, c, "in the rest patch these outputs are joined: {outputs}", "in the rest patch these outputs are joined by {what}: {outputs}"),
			hint:    remedy(v, v.studio.Rest, c),
		})
	}
	return all
}

func outputsJoinedKept(v *sessionView) []violation {
	if v.kept == nil {
		return nil
	}
	var all []violation
	for _, c := range v.kept.Contentions() {
		if slices.ContainsFunc(v.rest.Contentions(), func(d heard.Contention) bool { return slices.Equal(c.Drivers, d.Drivers) }) {
			continue // said of the studio
		}
		if v.inMult(*v.session.Patch, v.kept, c) {
			continue // said by its own rule
		}
		all = append(all, violation{
			key:     "patch",
			message: joins(v.kept, c, "the patch that is kept joins outputs: {outputs}", "the patch that is kept joins outputs by {what}: {outputs}"),
			hint:    "take patch: out of the file; the next plan finds one that does not",
		})
	}
	return all
}

// joins says which outputs are joined, by what where that is known, and which inputs they
// reach.
func joins(s *heard.State, c heard.Contention, plain, by string) string {
	what := joinedBy(s, c)
	if what != "" {
		plain = by
	}
	text := phrase.Put(plain, "outputs", folded(c.Drivers), "what", what)
	if len(c.Listeners) == 0 {
		return text
	}
	return phrase.Put("{outputs}, which reach {inputs}", "outputs", text, "inputs", folded(c.Listeners))
}

// joinedBy tells what two joined outputs meet through, where it is more than
// wires: the half-normal, the parallel pair, the cords. Empty if nothing is known.
func joinedBy(s *heard.State, c heard.Contention) string {
	for _, way := range s.Ways(c.Drivers[len(c.Drivers)-1]) {
		if !slices.Contains(c.Drivers, way.From) || !slices.Contains(c.Drivers, way.To) {
			continue
		}
		var by []string
		for i, step := range way.Steps {
			if i == 0 || step.By == heard.ByWire {
				continue
			}
			text := fmt.Sprintf("the %s %s - %s", step.By, way.Steps[i-1].Point, step.Point)
			by = append(by, text)
		}
		if len(by) > 0 && len(by) <= 4 {
			return sentence(by)
		}
	}
	return ""
}

// keyOf is the line of the file that brings the last of some outputs to the bay.
func (v *view) keyOf(outputs []name.Point) string {
	for _, p := range slices.Backward(outputs) {
		for _, c := range v.cables[p] {
			return c.key
		}
	}
	return "rest"
}

// remedy says what to do: without the rest patch it is the wiring, with it the
// patch.
func remedy(v *view, rest patch.Patch, c heard.Contention) string {
	bare := v.room.Hear(patch.Patch{})
	for _, q := range c.Drivers[1:] {
		if bare.Joined(c.Drivers[0], q) {
			return "bring each output out on a jack of its own"
		}
	}
	return phrase.Count(len(rest.Cords), "take what joins them out of rest:, which holds 1 cord", "take what joins them out of rest:, which holds {n} cords")
}
