package check

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var skipsPass = rule{
	Rule: Rule{
		Code:     "chain-skips-pass",
		Severity: "warning",
		Title:    "a session goes into gear at one channel and out of it at another",
		Manual: `What gear does inside is not followed: a line asks an input for an output, and no
more. Where a signal goes in at one channel and nothing takes it from there, while
something is taken from a channel that nothing goes into, one of the two is mostly a
slip. Go on from the output that the gear passes the signal to.`,
		Bad: Example{
			Studio: skipsStudio,
			Session: `session: In at one, out at two
connect:
  - interface/out1 -> squeeze/in1
  - squeeze/out2 -> interface/in1
`,
		},
		Good: Example{
			Studio: skipsStudio,
			Session: `session: In at one, out at one
connect:
  - interface/out1 -> squeeze/in1
  - squeeze/out1 -> interface/in1
`,
		},
	},
	session: skippedPasses,
}

const skipsStudio = `studio: A compressor
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}
  squeeze: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}, passes: [in1-2 -> out1-2]}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - interface/out1 -> main/t1
  - main/b1 -> interface/in1
  - squeeze/out1-2 -> main/t2-3
  - main/b2-3 -> squeeze/in1-2
`

func skippedPasses(v *sessionView) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		stuck := v.stuck(g)
		if len(stuck) == 0 {
			continue
		}
		for _, w := range v.session.Wants {
			if w.Source.Owner != g.Name || !v.starved(g, w.Source) {
				continue
			}
			all = append(all, violation{
				key:     orElse(w.Key, "connect"),
				message: fmt.Sprintf("a signal goes in at %s and %s is taken from, but %s passes %s", folded(stuck), w.Source, g.Name, passed(g, stuck)),
				hint:    "go on from the output that the signal comes out of, or go in where this one comes from",
			})
		}
	}
	return all
}

// stuck are the inputs of gear that the session feeds, and whose outputs nobody
// takes.
func (v *sessionView) stuck(g studio.Gear) []name.Point {
	var inputs []name.Point
	for _, w := range v.session.Wants {
		outs := outsOf(g, w.Destination)
		if w.Destination.Owner == g.Name && len(outs) > 0 && !slices.ContainsFunc(outs, v.taken) {
			inputs = append(inputs, w.Destination)
		}
	}
	return inputs
}

// starved says whether an output is fed by inputs that hear nothing.
func (v *sessionView) starved(g studio.Gear, out name.Point) bool {
	fed := false
	for _, p := range append(slices.Clone(g.Passes), g.CanPass...) {
		if p.Out != out {
			continue
		}
		fed = true
		if v.feeds(p.In) {
			return false
		}
	}
	return fed
}

func outsOf(g studio.Gear, in name.Point) []name.Point {
	var outs []name.Point
	for _, p := range append(slices.Clone(g.Passes), g.CanPass...) {
		if p.In == in {
			outs = append(outs, p.Out)
		}
	}
	return outs
}

// taken says whether anybody hears an output, in the session or at rest.
func (v *sessionView) taken(out name.Point) bool {
	for _, w := range v.session.Wants {
		if w.Source == out {
			return true
		}
	}
	return len(v.rest.Reaches(out)) > 0
}

// feeds says whether an input hears anything, in the session or at rest.
func (v *sessionView) feeds(in name.Point) bool {
	for _, w := range v.session.Wants {
		if w.Destination == in {
			return true
		}
	}
	return len(v.rest.Hears(in)) > 0
}

func passed(g studio.Gear, inputs []name.Point) string {
	var ways []string
	for _, in := range inputs {
		ways = append(ways, phrase.Put("{input} to {outputs}", "input", in.Port(), "outputs", folded(outsOf(g, in))))
	}
	return strings.Join(ways, ", ")
}
