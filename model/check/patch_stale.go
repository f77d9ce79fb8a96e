package check

import (
	"strconv"

	"bayhand/model/heard"
	"bayhand/model/phrase"
)

var patchStale = rule{
	Rule: Rule{
		Code:     "patch-stale",
		Severity: "advice",
		Title:    "the patch that a session keeps does not give it any more",
		Manual: `bayhand keeps the patch with which a session was ready last, so that a recall weeks later looks
as it did. The studio or the session has changed since, so that it gives the session no
more, or names what is gone: the next recall finds another patch, and keeps that one.
Nothing needs to be done.`,
		Bad: Example{
			Studio: `studio: A bay
gear:
  synth: {outputs: {out1: home-line}}
  recorder: {inputs: {in1: home-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - main/b2 -> recorder/in1
`,
			Session: `session: Synthesiser
connect:
  - synth/out1 -> recorder/in1
patch: {cords: [main/t1 - main/b1]}
`,
		},
		Good: Example{
			Studio: `studio: A bay
gear:
  synth: {outputs: {out1: home-line}}
  recorder: {inputs: {in1: home-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - main/b2 -> recorder/in1
`,
			Session: `session: Synthesiser
connect:
  - synth/out1 -> recorder/in1
patch: {cords: [main/t1 - main/b2]}
`,
		},
	},
	session: patchesStale,
}

func patchesStale(v *sessionView) []violation {
	if v.session.Patch == nil {
		return nil
	}
	faults := v.room.CheckGiven(v.session, *v.session.Patch, nil)
	var first heard.Fault
	count := 0
	for _, f := range faults {
		if f.Kind == heard.Joined {
			continue // said by its own rule
		}
		if count++; count == 1 {
			first = f
		}
	}
	if count == 0 {
		return nil
	}
	what := first.String()
	if count > 1 {
		what = phrase.Put("{fault}, and {n} more", "fault", what, "n", strconv.Itoa(count-1))
	}
	return []violation{{
		key:     "patch",
		message: phrase.Put("the patch that is kept no longer sets up the session: {fault}", "fault", what),
		hint:    "nothing needs to be done; the next recall finds another and keeps that",
	}}
}
