package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var intoItself = rule{
	Rule: Rule{
		Code:     "into-itself",
		Severity: "warning",
		Title:    "an output goes straight back into its own gear",
		Manual: `An output patched into an input of the same gear feeds back as soon as a fader, a button
or the software takes that input to that output, and feedback at full level harms
hearing and loudspeakers. Said where nothing tells what the gear carries inside: with
passes: or can-pass: in the studio, or inside: in the session, loops are followed and
this rule is silent. Advice where it is so in the rest patch. If it is meant, describe the gear,
or write allow: in the session.`,
		Bad: Example{
			Studio:  itselfStudio,
			Session: "session: Round\nconnect:\n  - desk/mix1 -> desk/in1\n",
		},
		Good: Example{
			Studio:  itselfStudio,
			Session: "session: Onward\nconnect:\n  - desk/mix1 -> recorder/in1\n",
		},
	},
	studio: func(v *view) []violation {
		var b batches
		for _, m := range v.atRest() {
			if v.intoItself(m) {
				b.add(m.key, "in the rest patch", m.source.Point, m.destination.Point)
			}
		}
		return straightBack(b, "advice", "describe what it carries inside with passes: or can-pass:, or wire the pair another way")
	},
	session: func(v *sessionView) []violation {
		var b batches
		for _, m := range v.fresh() {
			if v.intoItself(m) && !v.insideTold(m.source.Point.Owner) && !v.allowed(m) {
				b.add(m.key, "in this session", m.source.Point, m.destination.Point)
			}
		}
		return straightBack(b, "", "say with passes:, can-pass: or inside: what it carries, or write allow: [loop ...] if it is meant")
	},
}

const itselfStudio = `studio: A desk that nobody described
gear:
  desk: {outputs: {mix1: pro-line}, inputs: {in1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> desk/in1
  - main/b2 -> recorder/in1
`

// intoItself says whether a meeting is within gear of which nobody said what it
// carries.
func (v *view) intoItself(m meeting) bool {
	owner := m.source.Point.Owner
	insert := m.source.Point.Part == name.Send && m.destination.Point.Part == name.Return
	if owner != m.destination.Point.Owner || insert {
		return false // inserts have rules of their own
	}
	g := v.studio.GearNamed(owner)
	return g != nil && len(g.Passes)+len(g.CanPass) == 0
}

// insideTold says whether the session says what the gear carries.
func (v *sessionView) insideTold(gear string) bool {
	return slices.ContainsFunc(v.session.Inside, func(p studio.Pass) bool { return p.In.Owner == gear || p.Out.Owner == gear })
}

func (v *sessionView) allowed(m meeting) bool {
	return slices.ContainsFunc(v.session.Loops, func(p name.Point) bool { return p == m.source.Point || p == m.destination.Point })
}

// straightBack has one finding for each piece of gear, at the first line: what
// mends one of them mends all.
func straightBack(b batches, severity, hint string) []violation {
	var all []violation
	told := map[string]bool{}
	for _, line := range b {
		gear := line.points[0].Owner
		if told[gear] {
			continue
		}
		told[gear] = true
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(len(line.points), "{when} {outputs} goes straight back into {inputs}, and nothing says what {gear} carries inside: it may feed back (howl)",
				"{when} {outputs} go straight back into {inputs}, and nothing says what {gear} carries inside: it may feed back (howl)",
				"when", line.words, "outputs", folded(line.points), "inputs", folded(line.others), "gear", gear),
			hint:     hint,
			severity: severity,
		})
	}
	return all
}
