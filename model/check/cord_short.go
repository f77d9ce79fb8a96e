package check

import (
	"fmt"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

var cordShort = rule{
	Rule: Rule{
		Code:     "cord-too-short",
		Severity: "warning",
		Title:    "no cord owned reaches, or has the plugs for, what is asked of it",
		Manual: `A cord must reach along the bays, with slack, and have the plugs for both jacks. A
cord of the rest patch, or of the patch that a session keeps, that no cord owned can
be, was written down wrong or belongs to a bay that has moved since. A bay whose ends
no cord owned joins is advice: some of its pairs cannot be patched to others. So are
two bays between which nothing is tied and no cord owned goes, or not so far as half a
row to the side; parts of different rooms are left out. A bay for whose jacks no cord
has the plugs is a warning. Quarter-inch and long-frame plugs are of one diameter (IEC
60603-11, EIA RS-453) and go into each other's jacks, and must not: a quarter-inch plug
strains the springs of a long-frame jack, a long-frame plug with its smaller tip makes
poor contact in a quarter-inch jack. A bantam plug falls out of either.`,
		Bad: Example{Studio: cordStudio + `cords: {stock: {20 cm: 6}, slack: 10 cm}
rest: {cords: [main/t1 - main/b20]}
`},
		Good: Example{Studio: cordStudio + `cords: {stock: {20 cm: 6, 60 cm: 2}, slack: 10 cm}
rest: {cords: [main/t1 - main/b20]}
`},
	},
	studio: func(v *view) []violation {
		return slices.Concat(baysUnspanned(v), baysApart(v), cordsShort(v, v.studio.Rest, "rest"))
	},
	session: onKept(cordsShort),
}

const cordStudio = `studio: A wide bay
bays:
  main: {pairs: 24, jack: bantam, modes: isolated}
`

func cordsShort(v *view, p patch.Patch, key string) []violation {
	var all []violation
	for i, c := range p.Cords {
		if c.B.IsZero() || v.studio.Stock.Unlimited && c.Length == 0 {
			continue
		}
		way, ok := layout.Distance(v.studio, c.A, c.B)
		if !ok {
			continue // jacks that are gone; patch-stale says so
		}
		need := way + v.studio.Stock.Slack
		switch {
		case c.Length > 0 && c.Length < need:
			all = append(all, violation{
				key:     cordKey(key, i),
				message: fmt.Sprintf("from %s to %s it takes %s with the slack, and the cord there is %s", c.A, c.B, centimetres(need), c.Length),
				hint:    "write the length that the cord really has, or plug a longer one",
			})
		case !owned(v, c, need):
			all = append(all, violation{
				key:     cordKey(key, i),
				message: fmt.Sprintf("from %s to %s it takes %s with the slack, and no cord owned %s", c.A, c.B, centimetres(need), lacks(c)),
				hint:    "count the cords under cords: again, or choose jacks that are nearer",
			})
		}
	}
	return all
}

func lacks(c patch.Cord) string {
	if c.Length > 0 {
		return fmt.Sprintf("is %s long and has the plugs", c.Length)
	}
	return "is that long and has the plugs"
}

// owned says whether some cord of the stock can be a cord of a patch. How many
// there are is for another rule.
func owned(v *view, c patch.Cord, need measure.Length) bool {
	if v.studio.Stock.Unlimited {
		return true
	}
	a, b := layout.Kind(v.studio, c.A), layout.Kind(v.studio, c.B)
	for _, s := range v.studio.Stock.Cords {
		length := c.Length == 0 || c.Length == s.Length
		if s.Count > 0 && length && s.Length >= need && layout.Fits(s.Ends, a, b) {
			return true
		}
	}
	return false
}

// baysUnspanned looks at each bay from end to end.
func baysUnspanned(v *view) []violation {
	if v.studio.Stock.Unlimited {
		return nil
	}
	var all []violation
	for _, bay := range v.studio.Bays {
		first, last := bay.TopJack(1), bay.BottomJack(bay.Pairs())
		way, _ := layout.Distance(v.studio, first, last)
		longest, any := v.longest(bay, bay)
		switch {
		case !any && v.hasStock():
			all = append(all, violation{
				key:     "cords.stock",
				message: fmt.Sprintf("no cord owned has the plugs for two jacks of %s (%s)", bay.Name, bay.Jack),
				hint:    "write cords with such ends under cords:, or the kind of jack that the bay has",
			})
		case any && longest < way+v.studio.Stock.Slack:
			all = append(all, violation{
				key: "cords.stock",
				message: fmt.Sprintf("from end to end of %s, from %s to %s, it takes %s with the slack, and the longest cord owned is %s",
					bay.Name, first, last, centimetres(way+v.studio.Stock.Slack), longest),
				hint:     "get some that reach: without them not every pair can be patched to every other",
				severity: "advice",
			})
		}
	}
	return all
}

func (v *view) hasStock() bool {
	for _, s := range v.studio.Stock.Cords {
		if s.Count > 0 {
			return true
		}
	}
	return false
}

// longest is the longest cord owned whose plugs fit a jack of one bay and one of another.
func (v *view) longest(a, b studio.Bay) (length measure.Length, ok bool) {
	for _, s := range v.studio.Stock.Cords {
		if s.Count > 0 && layout.Fits(s.Ends, a.Jack, b.Jack) {
			length, ok = max(length, s.Length), true
		}
	}
	return length, ok
}

// centimetres rounds up to whole ones, as one looks for a cord.
func centimetres(l measure.Length) string {
	up := (l + measure.Centimetre - 1) / measure.Centimetre * measure.Centimetre
	return up.String()
}

// jackOf is the kind of jack that a plug goes into.
func (v *view) jackOf(p name.Point) studio.Jack { return v.bays[p.Owner].Jack }
