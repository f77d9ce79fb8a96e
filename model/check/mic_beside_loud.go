package check

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/schedule"
	"bayhand/model/studio"
)

var micBesideLoud = rule{
	Rule: Rule{
		Code:     "mic-beside-loud",
		Severity: "advice",
		Title:    "microphone lines run beside those of loudspeakers or headphones",
		Manual: `Between a microphone line and one of headphones or loudspeakers lie 50 to 90 dB. In
one jacket, or on columns side by side, the loud one is heard in the quiet one, and can
feed back through a preamplifier with its gain up. Keep them in cables of their own,
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

// micsBesideLoud looks at what runs in one jacket, and at columns side by side.
func micsBesideLoud(v *view) []violation {
	var all []violation
	for _, jacket := range v.jackets() {
		mic, quiet := endIn(v, jacket, studio.MicLevel)
		loud, ok := endIn(v, jacket, studio.HeadphoneLevel, studio.LoudspeakerLevel)
		if quiet >= 0 && ok >= 0 {
			where := "in one cable"
			if jacket.Number != "" {
				where += ", " + jacket.Number
			}
			all = append(all, besideLoud(orElse(jacket.Pairs[quiet].Key, "wiring"), mic, loud, where))
		}
	}
	for _, r := range v.runs() {
		mic, ok := endOf(v, r.a, r.b, studio.MicLevel)
		if !ok {
			continue
		}
		for _, jack := range []name.Point{r.a, r.b} {
			if p, ok := loudColumn(v, jack); ok {
				all = append(all, besideLoud(r.key, mic, p, phrase.Put("side by side on {bay}", "bay", jack.Owner)))
			}
		}
	}
	return all
}

func besideLoud(key string, mic, loud name.Point, where string) violation {
	return violation{
		key:     key,
		message: fmt.Sprintf("%s (microphone) and %s (headphones or loudspeakers) are %s", mic, loud, where),
		hint:    "keep them in cables of their own, and a block of columns apart",
	}
}

// endIn is the first end in a jacket that is a port of one of the kinds, and the pair
// that it belongs to; -1 where there is none.
func endIn(v *view, jacket schedule.Cable, kinds ...studio.LineKind) (name.Point, int) {
	for i, pair := range jacket.Pairs {
		if p, ok := endOf(v, pair.From.Point, pair.To.Point, kinds...); ok {
			return p, i
		}
	}
	return name.Point{}, -1
}

// endOf is which of two points is a port of one of the kinds.
func endOf(v *view, a, b name.Point, kinds ...studio.LineKind) (name.Point, bool) {
	for _, p := range []name.Point{a, b} {
		if port, ok := v.ports[p]; ok && slices.Contains(kinds, port.Line.Kind) {
			return p, true
		}
	}
	return name.Point{}, false
}

// loudColumn is a loud port on the columns beside a jack, or on its own.
func loudColumn(v *view, jack name.Point) (name.Point, bool) {
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
