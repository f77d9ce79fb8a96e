package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var insertApart = rule{
	Rule: Rule{
		Code:     "insert-apart",
		Severity: "warning",
		Title:    "the send and return of an insert do not meet in their pair",
		Manual: `An insert is closed by the normal between its send and its return, so both belong
on one pair, the send on the jack that taps and the return on the jack that breaks.
On different pairs the normals feed the return of another channel, or nothing; the
wrong way round a cord in the return breaks nothing and joins two outputs. Isolated
pairs have no normal, and any order will do.`,
		Bad: Example{Studio: `studio: An insert the wrong way round
gear:
  desk: {inserts: {ins1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/ins1.send -> main/b1
  - main/t1 -> desk/ins1.return
`},
		Good: Example{Studio: `studio: An insert on its pair
gear:
  desk: {inserts: {ins1: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/ins1.send -> main/t1
  - main/b1 -> desk/ins1.return
`},
	},
	studio: insertsApart,
}

func insertsApart(v *view) []found {
	var all []found
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Point.Part == name.Send {
				all = append(all, v.insertApart(p.Point)...)
			}
		}
	}
	return all
}

func (v *view) insertApart(send name.Point) []found {
	back := send
	back.Part = name.Return
	sends, returns := v.jacks(send), v.jacks(back)
	if len(sends) != 1 || len(returns) != 1 {
		return nil
	}
	s, r := sends[0], returns[0]
	insert := name.Point{Owner: send.Owner, Stem: send.Stem, Number: send.Number}
	key := v.wired(back)[0].key
	switch {
	case r != twin(s):
		if !normalled(v.mode(s)) && !normalled(v.mode(r)) {
			return nil
		}
		return []found{{key: key,
			message: fmt.Sprintf("the send of %s is on %s and its return on %s, so that no normal closes the insert", insert, s, r),
			hint:    fmt.Sprintf("wire the return to %s, the other jack of the send's pair", twin(s)),
		}}
	case v.breaks(s) && !v.breaks(r):
		return []found{{key: key,
			message: fmt.Sprintf("the send of %s is on %s, the jack that breaks, and its return on %s, the jack that taps", insert, s, r),
			hint:    fmt.Sprintf("wire the send to %s and the return to %s, or make the pair %s", r, s, turned(v.mode(s))),
		}}
	}
	return nil
}

// breaks says whether a plug in a jack alone breaks the normal of its pair.
func (v *view) breaks(jack name.Point) bool {
	mode := v.mode(jack)
	top := jack.Stem == studio.Top
	return normalled(mode) && !mode.Joined(top, !top)
}

// turned is the mode of a half-normal module that is put in the other way round.
func turned(m studio.Mode) studio.Mode {
	switch m {
	case studio.HalfNormal:
		return studio.HalfNormalTop
	case studio.HalfNormalTop:
		return studio.HalfNormal
	case studio.FullNormal, studio.Isolated, studio.Parallel, studio.ModeUnknown:
	}
	return m
}
