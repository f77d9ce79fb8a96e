package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var micBesideLoud = rule{
	Rule: Rule{
		Code:     "mic-beside-loud",
		Severity: "advice",
		Title:    "microphone lines run beside those of loudspeakers or headphones",
		Manual: `Between a microphone line and one of headphones or loudspeakers lie 50 to 90 dB. In
one jacket, or on columns side by side, the loud one is heard in the quiet one, and
goes round through a preamplifier with its gain up. Keep them in cables of their own,
and a block of columns apart.`,
		Bad: Example{Studio: `studio: In one jacket
gear:
  mics: {outputs: {out1: microphone}}
  phones: {inputs: {in1: headphone}, role: headphone, mute: {by: person, at: level}}
bays:
  stage: {pairs: 8, modes: isolated}
wiring:
  - {from: mics/out1, to: stage/t1, cable: snake}
  - {from: stage/b8, to: phones/in1, cable: snake}
`},
		Good: Example{Studio: `studio: In jackets of their own
gear:
  mics: {outputs: {out1: microphone}}
  phones: {inputs: {in1: headphone}, role: headphone, mute: {by: person, at: level}}
bays:
  stage: {pairs: 8, modes: isolated}
wiring:
  - {from: mics/out1, to: stage/t1, cable: snake}
  - {from: stage/b8, to: phones/in1, cable: cue}
`},
	},
	studio: micsBesideLoud,
}

// micsBesideLoud looks at cables with one number, and at columns side by side.
func micsBesideLoud(v *view) []found {
	quiet, loud := map[string]run{}, map[string]name.Point{}
	var all []found
	for _, r := range v.runs() {
		if p, ok := v.loudEnd(r); ok && r.run.Cable != "" {
			loud[r.run.Cable] = p
		}
	}
	for _, r := range v.runs() {
		mic, ok := v.micEnd(r)
		if !ok {
			continue
		}
		if _, said := quiet[r.run.Cable]; !said && r.run.Cable != "" && !loud[r.run.Cable].IsZero() {
			quiet[r.run.Cable] = r
			all = append(all, besideLoud(r.key, mic, loud[r.run.Cable], "in one cable, "+r.run.Cable))
		}
		for _, jack := range []name.Point{r.a, r.b} {
			if p, ok := v.loudColumn(jack); ok {
				all = append(all, besideLoud(r.key, mic, p, "side by side on "+jack.Owner))
			}
		}
	}
	return all
}

func besideLoud(key string, mic, loud name.Point, where string) found {
	return found{
		key:     key,
		message: fmt.Sprintf("%s (microphone) and %s (headphones or loudspeakers) are %s", mic, loud, where),
		hint:    "keep them in cables of their own, and a block of columns apart",
	}
}

func (v *view) micEnd(r run) (name.Point, bool) {
	return v.endOf(r, studio.MicLevel)
}

func (v *view) loudEnd(r run) (name.Point, bool) {
	if p, ok := v.endOf(r, studio.HeadphoneLevel); ok {
		return p, true
	}
	return v.endOf(r, studio.LoudspeakerLevel)
}

// endOf is the end of a run that is a port of a kind.
func (v *view) endOf(r run, kind studio.LineKind) (name.Point, bool) {
	for _, p := range []name.Point{r.a, r.b} {
		if port, ok := v.ports[p]; ok && port.Line.Kind == kind {
			return p, true
		}
	}
	return name.Point{}, false
}

// loudColumn is a loud port on the columns beside a jack, or on its own.
func (v *view) loudColumn(jack name.Point) (name.Point, bool) {
	if !v.isJack(jack) {
		return name.Point{}, false
	}
	for column := jack.Number - 1; column <= jack.Number+1; column++ {
		for _, row := range []string{studio.Top, studio.Bottom} {
			for _, c := range v.wired(name.At(jack.Owner, row, column)) {
				p, ok := v.ports[c.far]
				if ok && (p.Line.Kind == studio.HeadphoneLevel || p.Line.Kind == studio.LoudspeakerLevel) {
					return p.Point, true
				}
			}
		}
	}
	return name.Point{}, false
}
