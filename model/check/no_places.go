package check

import (
	"fmt"
	"strings"

	"bayhand/model/layout"
)

var noPlaces = rule{
	Rule: Rule{
		Code:     "no-places",
		Severity: "advice",
		Title:    "bays joined by tie lines have no place in the file",
		Manual: `Where a bay has no ` + "`at:`" + ` bayhand assumes it close under the others. Bays joined by
tie lines are mostly apart: as long as neither has a place, plans go by the ties,
and ask for a cord from the one to the other only where there is no other plan. It may
not reach. Say where the bays are. Between bays of different rooms, as ` + "`rooms:`" + ` has
them, is a wall, and no cord goes there at all.`,
		Bad: Example{Studio: `studio: Two bays and a multicore
gear:
  desk: {outputs: {mix1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
  far: {pairs: 2, modes: isolated}
wiring:
  - desk/mix1 -> main/t1
ties: [main/b2 = far/t2]
`},
		Good: Example{Studio: `studio: Two bays in their places
gear:
  desk: {outputs: {mix1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated, at: {x: 0 cm, y: 120 cm}}
  far: {pairs: 2, modes: isolated, at: {x: 9 m, y: 120 cm}}
wiring:
  - desk/mix1 -> main/t1
ties: [main/b2 = far/t2]
`},
	},
	studio: baysWithoutPlaces,
}

// baysWithoutPlaces says it once for a studio.
func baysWithoutPlaces(v *view) []violation {
	tied, walls := map[string]bool{}, layout.NewWalls(v.studio)
	for _, t := range v.studio.Tied() {
		if v.isJack(t.A) && v.isJack(t.B) && t.A.Owner != t.B.Owner && !walls.Between(t.A.Owner, t.B.Owner) {
			tied[t.A.Owner], tied[t.B.Owner] = true, true
		}
	}
	var lost []string
	for _, b := range v.studio.Bays {
		if tied[b.Name] && !b.At.Said {
			lost = append(lost, b.Name)
		}
	}
	if len(lost) < 2 {
		return nil // one of them is where the others are measured from
	}
	return []violation{{
		key:     "bays." + lost[0],
		message: fmt.Sprintf("the bays %s have no place (at:), and tie lines join them: plans use the tie lines, and where these are too few, cords that may not reach", strings.Join(lost, ", ")),
		hint:    "write at: {rack: left, unit: 20} or at: {x: 0 cm, y: 120 cm} at each",
	}}
}
