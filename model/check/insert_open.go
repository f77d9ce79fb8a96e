package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var insertOpen = rule{
	Rule: Rule{
		Code:     "insert-open",
		Severity: "warning",
		Title:    "an insert on the bay is open while nothing is plugged",
		Manual: `The cable to the bay holds the insert's own contact in the desk open for good: what
closes the channel is the normal of its pair. On isolated pairs, or with that normal dead,
the channel is silent until somebody plugs a cord from its send to its return. Use a
half-normal pair, the send on the jack that taps.`,
		Bad: Example{Studio: `studio: Silent channels
gear:
  desk: {inserts: {ins1-2: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - desk/ins1-2.send -> main/t1-2
  - main/b1-2 -> desk/ins1-2.return
`},
		Good: Example{Studio: `studio: Channels that go through
gear:
  desk: {inserts: {ins1-2: pro-line}}
bays:
  main: {pairs: 2, modes: half-normal}
wiring:
  - desk/ins1-2.send -> main/t1-2
  - main/b1-2 -> desk/ins1-2.return
`},
	},
	studio: insertsOpen,
}

// insertsOpen asks what each return hears at rest: nothing is an open channel.
// Of inserts on two pairs with normals another rule speaks.
func insertsOpen(v *view) []violation {
	var b batches
	for _, i := range v.inserts() {
		if i.back != studio.OtherJack(i.send) && (normalled(v.mode(i.send)) || normalled(v.mode(i.back))) {
			continue
		}
		back := i.name
		back.Part = name.Return
		if len(v.rest.Hears(back)) == 0 {
			b.add(i.key, "", i.name, i.back)
		}
	}
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "with nothing plugged, no signal comes back to {inserts} at {jacks}: the channel is open",
				"with nothing plugged, no signal comes back to {inserts} at {jacks}: these channels are open", "inserts", folded(line.points), "jacks", folded(line.others)),
			hint: "put send and return on one half-normal pair, or close it with a cord in rest:",
		})
	}
	return all
}

// inserts are those whose halves are on one jack each.
func (v *view) inserts() []insert {
	var all []insert
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if i, ok := v.insertOf(p.Point); ok {
				all = append(all, i)
			}
		}
	}
	return all
}
