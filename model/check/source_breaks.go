package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var sourceBreaks = rule{
	Rule: Rule{
		Code:     "source-breaks",
		Severity: "warning",
		Title:    "a source is wired to the jack of a half-normal that breaks",
		Manual: `A half-normal is broken at one jack only, and that jack is for the destination: a
cord there replaces what the destination hears. With the source there instead,
tapping it silences the destination, and a source plugged in at the other jack is
joined to it. The usual layout has sources above and destinations below.`,
		Bad: Example{Studio: `studio: A source below
gear:
  player: {outputs: {out1: pro-line}}
  desk: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - player/out1 -> main/b1
  - main/t1 -> desk/in1
`},
		Good: Example{Studio: `studio: A source below, its module turned round
gear:
  player: {outputs: {out1: pro-line}}
  desk: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal-top}
wiring:
  - player/out1 -> main/b1
  - main/t1 -> desk/in1
`},
	},
	studio: sourcesBreak,
}

// turnedSources are sources of one line of the file, on jacks that break.
type turnedSources struct {
	key                          string
	mode                         studio.Mode
	sources, jacks, destinations []name.Point
}

func sourcesBreak(v *view) []violation {
	var all []*turnedSources
	for _, bay := range v.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			for _, jack := range []name.Point{bay.TopJack(n), bay.BottomJack(n)} {
				all = addTurned(v, all, jack)
			}
		}
	}
	var out []violation
	for _, t := range all {
		out = append(out, t.finding())
	}
	return out
}

// addTurned adds the source of a jack, if it is on the jack that breaks, to
// those of its line.
func addTurned(v *view, all []*turnedSources, jack name.Point) []*turnedSources {
	if !v.breaks(jack) || v.breaks(studio.OtherJack(jack)) {
		return all
	}
	source, key := v.sourceAt(jack)
	destination := v.destinationAt(studio.OtherJack(jack))
	if source.IsZero() || destination.IsZero() || sameInsert(source, destination) {
		return all
	}
	alike := func(t *turnedSources) bool { return t.key == key && t.mode == v.mode(jack) }
	i := slices.IndexFunc(all, alike)
	if i < 0 {
		i = len(all)
		all = append(all, &turnedSources{key: key, mode: v.mode(jack)})
	}
	t := all[i]
	t.sources, t.jacks, t.destinations = append(t.sources, source), append(t.jacks, jack), append(t.destinations, destination)
	return all
}

func (t *turnedSources) finding() violation {
	var others []name.Point
	for _, jack := range t.jacks {
		others = append(others, studio.OtherJack(jack))
	}
	n := len(t.jacks)
	return violation{
		key: t.key,
		message: phrase.Count(n, "{sources} is on {jacks}, the jack that breaks the {mode} to {destinations}", "{sources} are on {jacks}, the jacks that break the {mode} to {destinations}",
			"sources", folded(t.sources), "jacks", folded(t.jacks), "mode", t.mode.String(), "destinations", folded(t.destinations)),
		hint: phrase.Count(n, "wire the source to {jacks} and the destination to {others}, or make the pair {mode}", "wire the sources to {jacks} and the destinations to {others}, or make the pairs {mode}",
			"jacks", folded(others), "others", folded(t.jacks), "mode", turned(t.mode).String()),
	}
}

// sourceAt is the output that is wired to a jack, and its line.
func (v *view) sourceAt(jack name.Point) (name.Point, string) {
	for _, c := range v.wired(jack) {
		if v.output(c.far) {
			return c.far, c.key
		}
	}
	return name.Point{}, ""
}

// destinationAt is the input that is wired to a jack.
func (v *view) destinationAt(jack name.Point) name.Point {
	for _, c := range v.wired(jack) {
		if !v.output(c.far) && !v.isJack(c.far) {
			return c.far
		}
	}
	return name.Point{}
}

// sameInsert says whether two ports are the halves of one insert, of which
// another rule speaks.
func sameInsert(a, b name.Point) bool {
	if a.Part == name.Whole || b.Part == name.Whole {
		return false
	}
	a.Part, b.Part = name.Whole, name.Whole
	return a == b
}
