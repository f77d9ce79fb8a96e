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

// insert is one whose send and return are on one jack each.
type insert struct {
	send, back name.Point // the jacks
	name       name.Point
	key        string
}

// insertsApart has one finding for the inserts of one line of the file.
func insertsApart(v *view) []violation {
	var apart, reversed [][]insert
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			i, ok := v.insertOf(p.Point)
			switch {
			case !ok:
			case i.back != studio.OtherJack(i.send):
				if normalled(v.mode(i.send)) || normalled(v.mode(i.back)) {
					apart = byLine(apart, i)
				}
			case v.breaks(i.send) && !v.breaks(i.back):
				reversed = byLine(reversed, i)
			}
		}
	}
	var all []violation
	for _, line := range apart {
		all = append(all, insertsOnTwoPairs(line))
	}
	for _, line := range reversed {
		all = append(all, insertsTurned(v, line))
	}
	return all
}

// insertOf is the insert that a port is the send of, if both its halves are on
// one jack each.
func (v *view) insertOf(send name.Point) (insert, bool) {
	if send.Part != name.Send {
		return insert{}, false
	}
	whole, back := send, send
	whole.Part, back.Part = name.Whole, name.Return
	sends, returns := v.jacks(send), v.jacks(back)
	if len(sends) != 1 || len(returns) != 1 {
		return insert{}, false
	}
	return insert{sends[0], returns[0], whole, v.wired(back)[0].key}, true
}

// byLine adds an insert to those whose returns are on the same line of the file.
func byLine(lines [][]insert, i insert) [][]insert {
	for n := range lines {
		if lines[n][0].key == i.key {
			lines[n] = append(lines[n], i)
			return lines
		}
	}
	return append(lines, []insert{i})
}

// points lists one thing of each insert.
func points(line []insert, of func(insert) name.Point) string {
	var all []name.Point
	for _, i := range line {
		all = append(all, of(i))
	}
	return folded(all)
}

func insertName(i insert) name.Point { return i.name }
func sendJack(i insert) name.Point   { return i.send }
func backJack(i insert) name.Point   { return i.back }

func insertsOnTwoPairs(line []insert) violation {
	sends := points(line, sendJack)
	return violation{
		key: line[0].key,
		message: fmt.Sprintf("the send of %s is on %s and the return on %s, so that no normal closes the insert",
			points(line, insertName), sends, points(line, backJack)),
		hint: fmt.Sprintf("wire the return to %s, the other jack of the send's pair", points(line, func(i insert) name.Point { return studio.OtherJack(i.send) })),
	}
}

func insertsTurned(v *view, line []insert) violation {
	sends, returns := points(line, sendJack), points(line, backJack)
	return violation{
		key: line[0].key,
		message: fmt.Sprintf("the send of %s is on %s, the jack that breaks, and the return on %s, the jack that taps",
			points(line, insertName), sends, returns),
		hint: fmt.Sprintf("wire the send to %s and the return to %s, or make the pair %s", returns, sends, turned(v.mode(line[0].send))),
	}
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
