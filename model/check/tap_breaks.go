package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var tapBreaks = rule{
	Rule: Rule{
		Code:     "tap-breaks",
		Severity: "advice",
		Title:    "a session shares a source whose pair breaks when it is tapped",
		Manual: `The session asks for a source at the destination that its normal feeds and somewhere
else as well. On a full normal a cord in the source's jack breaks the normal, so it
takes a mult and two more cords; on a half-normal one cord taps and the normal holds.
If this is done often, turn the pair's module or strap it half-normal.`,
		Bad:  Example{Studio: tapBreaksStudio("normal"), Session: tapBreaksSession},
		Good: Example{Studio: tapBreaksStudio("half-normal"), Session: tapBreaksSession},
	},
	session: tapsBreak,
}

func tapBreaksStudio(mode string) string {
	return `studio: A tap
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
  cassette: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: {1: ` + mode + `, 2: isolated, 3-4: parallel}}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> recorder/in1
  - main/b2 -> cassette/in1
mults: [[main/t3, main/t4]]
`
}

const tapBreaksSession = `session: Two copies
connect:
  - desk/mix1 -> [recorder/in1, cassette/in1]
`

func tapsBreak(v *sessionView) []violation {
	var b batches
	for _, w := range v.session.Wants {
		jack, ok := fullNormal(v.view, w.Source, w.Destination)
		if !ok {
			continue
		}
		for _, other := range v.session.Wants {
			if other.Source == w.Source && other.Destination != w.Destination && v.metal(meeting{source: v.ports[w.Source], destination: v.ports[other.Destination]}) {
				b.add(orElse(w.Key, "connect"), jack.Owner, w.Source, jack)
				break
			}
		}
	}
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "{sources} is shared, and a cord in {jacks} breaks the normal that feeds one of its destinations",
				"{sources} are shared, and a cord in {jacks} breaks the normal that feeds one of its destinations", "sources", folded(line.points), "jacks", folded(line.others)),
			hint: phrase.Count(n, "make the pair half-normal, so that a tap leaves the normal alone", "make the pairs half-normal, so that a tap leaves the normal alone"),
		})
	}
	return all
}

// fullNormal is the source's jack if a full normal feeds the destination from it.
func fullNormal(v *view, source, destination name.Point) (name.Point, bool) {
	for _, jack := range v.jacks(source) {
		for _, far := range v.wired(studio.OtherJack(jack)) {
			if far.far == destination && v.mode(jack) == studio.FullNormal {
				return jack, true
			}
		}
	}
	return name.Point{}, false
}
