package check

import (
	"fmt"
	"slices"

	"bayhand/model/phrase"
	"bayhand/model/session"
)

var standInSet = rule{
	Rule: Rule{
		Code:     "stand-in-unset",
		Severity: "advice",
		Title:    "a unit is away, and what is set stands for it and not for its stand-in",
		Manual: `With substitute: the lines of a session go through the stand-in. Its knobs are not
those of the unit that is away: settings: of that unit say what was meant, not where
the stand-in has it, and programs: of it are not sent to anybody, which is a warning.
Write settings: of the stand-in beside them, and its programs in the place of those.`,
		Bad: Example{Studio: standInStudio, Session: `session: The slow one is away
substitute: {opto: vari}
connect: [synth/out1 -> opto/1 -> recorder/in1]
settings: {opto: {reduction: 4 dB}}
`},
		Good: Example{Studio: standInStudio, Session: `session: The slow one is away
substitute: {opto: vari}
connect: [synth/out1 -> opto/1 -> recorder/in1]
settings: {opto: {reduction: 4 dB}, vari: {threshold: -14 dB}}
`},
	},
	session: standInsUnset,
}

const standInStudio = `studio: Two compressors
gear:
  synth: {outputs: {out1: pro-line}}
  opto: {channels: 1, line: pro-line}
  vari: {channels: 1, line: pro-line}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - opto/out1 -> main/t2
  - main/b2 -> opto/in1
  - vari/out1 -> main/t3
  - main/b3 -> vari/in1
  - main/b4 -> recorder/in1
`

func standInsUnset(v *sessionView) []violation {
	set := func(gear string) bool {
		return slices.ContainsFunc(v.session.Settings, func(s session.Settings) bool { return s.Gear == gear })
	}
	var all []violation
	for _, s := range v.session.Substitutes {
		if set(s.Away) && !set(s.StandIn) {
			all = append(all, violation{
				key:     "settings",
				message: fmt.Sprintf("%s is away and %s stands in for it, but the settings are those of %s", s.Away, s.StandIn, s.Away),
				hint:    phrase.Put("write settings of {stand in} as well", "stand in", s.StandIn),
			})
		}
		if slices.ContainsFunc(v.session.Programs, func(p session.Program) bool { return p.Gear == s.Away }) {
			all = append(all, violation{
				key:      "programs",
				message:  fmt.Sprintf("%s is away, and a program of it is asked for", s.Away),
				hint:     phrase.Put("take it out, or give the program of {stand in}", "stand in", s.StandIn),
				severity: "warning",
			})
		}
	}
	return all
}
