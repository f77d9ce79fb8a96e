package check

import (
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var insertParallel = rule{
	Rule: Rule{
		Code:     "insert-parallel",
		Severity: "warning",
		Title:    "send and return of an insert are on a parallel pair",
		Manual: `Nothing breaks a parallel pair: the channel goes through, and gear plugged into the
return is joined with the send, output to output. Make the pair half-normal.`,
		Bad: Example{Studio: `studio: An insert that cannot be used
gear:
  desk: {inserts: {ins1: pro-line}}
bays:
  main: {pairs: 1, modes: parallel}
wiring:
  - desk/ins1.send -> main/t1
  - main/b1 -> desk/ins1.return
`},
		Good: Example{Studio: `studio: An insert that can
gear:
  desk: {inserts: {ins1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/ins1.send -> main/t1
  - main/b1 -> desk/ins1.return
`},
	},
	studio: func(v *view) []violation {
		var b batches
		for _, i := range v.inserts() {
			if i.back == studio.OtherJack(i.send) && v.mode(i.send) == studio.Parallel {
				b.add(i.key, "", i.name, i.send)
			}
		}
		var all []violation
		for _, line := range b {
			n := len(line.points)
			all = append(all, violation{
				key: line.key,
				message: phrase.Count(n, "{inserts} is on a parallel pair: what is plugged into the return is joined with the send",
					"{inserts} are on parallel pairs: what is plugged into the return is joined with the send", "inserts", folded(line.points)),
				hint: phrase.Count(n, "make the pair half-normal", "make the pairs half-normal"),
			})
		}
		return all
	},
}
