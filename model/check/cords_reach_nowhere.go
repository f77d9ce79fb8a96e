package check

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var cordsReachNowhere = rule{
	Rule: Rule{
		Code:     "cords-short",
		Severity: "advice",
		Title:    "cords owned reach between no two jacks that are used",
		Manual: `A cord is counted as owned, and no two jacks that something is wired to, or that the
rest patch or the patch of a session uses, are so near that it reaches with the slack, or none has the kind of
jack that its plugs fit. It can never be part of a plan: it was measured wrong, it is
for another bay, or the slack is said too large.`,
		Bad:  Example{Studio: fmt.Sprintf(twoWired, "5 cm: 4, 60 cm: 2")},
		Good: Example{Studio: fmt.Sprintf(twoWired, "60 cm: 6")},
	},
	studio: reachingNowhere,
}

const twoWired = `studio: Short cords
gear:
  tape: {outputs: {out1: pro-line}}
  deck: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 8, jack: bantam, modes: isolated}
wiring: [tape/out1 -> main/t1, main/b8 -> deck/in1]
cords: {stock: {%s}, slack: 10 cm}
`

func reachingNowhere(v *view) []violation {
	used := usedSpots(v)
	if v.studio.Stock.Unlimited || len(used) < 2 {
		return nil
	}
	least := map[[2]studio.Jack]measure.Length{}
	var all []violation
	for _, c := range v.studio.Stock.Cords {
		if c.Count == 0 {
			continue
		}
		way, known := least[c.Ends]
		if !known {
			way = nearest(used, c.Ends)
			least[c.Ends] = way
		}
		cords := phrase.Count(c.Count, "1 cord of {length}", "{n} cords of {length}", "length", c.Length.String())
		switch need := way + v.studio.Stock.Slack; {
		case way < 0:
			all = append(all, violation{
				key:     "cords.stock",
				message: fmt.Sprintf("no two jacks that are used take the plugs of the %s owned (%s and %s)", cords, c.Ends[0], c.Ends[1]),
				hint:    "look at the ends of the cords, and at the kinds of jack of the bays",
			})
		case c.Length < need:
			all = append(all, violation{
				key:     "cords.stock",
				message: fmt.Sprintf("the %s owned reach between no two jacks that are used: it takes %s at the least, with the slack", cords, centimetres(need)),
				hint:    "measure them again, say less slack, or leave them out",
			})
		}
	}
	return all
}

// usedSpot is a jack that something is wired to, or that the rest patch or one that a
// session keeps uses, and where it stands.
type usedSpot struct {
	kind studio.Jack
	at   layout.Spot
}

// usedSpots are sorted from left to right; none where no two jacks are wired.
func usedSpots(v *view) []usedSpot {
	seen := map[name.Point]bool{}
	var all []usedSpot
	add := func(points ...name.Point) {
		for _, p := range points {
			if at, ok := layout.At(v.studio, p); ok && !seen[p] {
				seen[p] = true
				all = append(all, usedSpot{layout.Kind(v.studio, p), at})
			}
		}
	}
	for _, r := range v.runs() {
		add(r.a, r.b)
	}
	if len(all) < 2 {
		return nil // nothing is wired yet
	}
	for _, in := range append([]patch.Patch{v.studio.Rest}, v.ofSessions...) {
		for _, c := range in.Cords {
			add(c.Ends()...)
		}
		for _, l := range in.Leads {
			add(l.Jack)
		}
	}
	slices.SortFunc(all, func(a, b usedSpot) int { return cmp.Or(cmp.Compare(a.at.X, b.at.X), cmp.Compare(a.at.Y, b.at.Y)) })
	return all
}

// nearest is the shortest way between two jacks that a cord with such ends fits;
// below zero where there are none. From each jack it looks no further to the right
// than the best so far.
func nearest(used []usedSpot, ends [2]studio.Jack) measure.Length {
	best := measure.Length(-1)
	for i, a := range used {
		for _, b := range used[i+1:] {
			if best >= 0 && b.at.X-a.at.X >= best {
				break
			}
			if way := a.at.Distance(b.at); layout.Fits(ends, a.kind, b.kind) && (best < 0 || way < best) {
				best = way
			}
		}
	}
	return best
}
