package check

import (
	"fmt"

	"bayhand/model/name"
)

var sourceBreaks = rule{
	Rule: Rule{
		Code:     "source-breaks",
		Severity: "warning",
		Title:    "a source is wired to the jack of a half-normal that breaks",
		Manual: `A half-normal is broken at one jack only, and that jack is for the destination: a
cord there replaces what the destination hears. With the source there instead,
tapping it silences the destination, and a source plugged in at the other jack is
joined to it. The usual layout has sources above and destinations below (trade
column on jackfield normals, tvtechnology.com).`,
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

func sourcesBreak(v *view) []found {
	var all []found
	for _, bay := range v.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			for _, jack := range []name.Point{bay.TopJack(n), bay.BottomJack(n)} {
				if f, ok := v.sourceBreaks(jack); ok {
					all = append(all, f)
				}
			}
		}
	}
	return all
}

func (v *view) sourceBreaks(jack name.Point) (found, bool) {
	if !v.breaks(jack) || v.breaks(twin(jack)) {
		return found{}, false
	}
	source, key := v.sourceAt(jack)
	destination, _ := v.destinationAt(twin(jack))
	if source.IsZero() || destination.IsZero() || sameInsert(source, destination) {
		return found{}, false
	}
	return found{
		key:     key,
		message: fmt.Sprintf("%s is on %s, the jack that breaks the %s to %s", source, jack, v.mode(jack), destination),
		hint:    fmt.Sprintf("wire the source to %s and the destination to %s, or make the pair %s", twin(jack), jack, turned(v.mode(jack))),
	}, true
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

// destinationAt is the input that is wired to a jack, and its line.
func (v *view) destinationAt(jack name.Point) (name.Point, string) {
	for _, c := range v.wired(jack) {
		if !v.output(c.far) && !v.isJack(c.far) {
			return c.far, c.key
		}
	}
	return name.Point{}, ""
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
