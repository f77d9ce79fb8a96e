package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
)

var faultyPlugged = rule{
	Rule: Rule{
		Code:     "faulty-plugged",
		Severity: "warning",
		Title:    "a patch has a plug in a jack that is tagged faulty",
		Manual: `Plans go round jacks that are tagged. The rest patch, or the patch that a session
keeps, was made before the tag, and relies on such a jack. Mend the jack and take the
tag out, or choose another.`,
		Bad: Example{Studio: `studio: A faulty jack in the rest patch
bays:
  main: {pairs: 2, modes: isolated}
faulty: [main/t1]
rest: {cords: [main/t1 - main/b2]}
`},
		Good: Example{Studio: `studio: Another jack in the rest patch
bays:
  main: {pairs: 2, modes: isolated}
faulty: [main/t1]
rest: {cords: [main/t2 - main/b2]}
`},
	},
	studio:  onRest(faultyIn),
	session: onKept(faultyIn),
}

func faultyIn(v *view, p patch.Patch, key string) []violation {
	var jacks []name.Point
	for _, jack := range p.Plugs() {
		if slices.Contains(v.studio.Faulty, jack) {
			jacks = append(jacks, jack)
		}
	}
	if len(jacks) == 0 {
		return nil
	}
	slices.SortFunc(jacks, name.Point.Compare)
	return []violation{{
		key:     key,
		message: phrase.Count(len(jacks), "{jacks} is plugged here and tagged faulty", "{jacks} are plugged here and tagged faulty", "jacks", folded(jacks)),
		hint:    "mend it and take it out of faulty:, or plug another jack",
	}}
}
