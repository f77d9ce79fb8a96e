package check

import (
	"fmt"

	"bayhand/model/patch"
)

var stockShort = rule{
	Rule: Rule{
		Code:     "stock-short",
		Severity: "warning",
		Title:    "a patch holds more cords or dummies than are owned",
		Manual: `All cords and dummies owned are counted, plugged or not. The rest patch or the
patch that a session keeps holds more than that: something is counted wrong, or was
lost or lent.`,
		Bad: Example{Studio: `studio: Two cords plugged, one owned
bays:
  main: {pairs: 4, modes: isolated}
cords: {stock: {60 cm: 1}}
rest: {cords: [main/t1 - main/b2, main/t3 - main/b4]}
`},
		Good: Example{Studio: `studio: Two cords plugged, two owned
bays:
  main: {pairs: 4, modes: isolated}
cords: {stock: {60 cm: 2}}
rest: {cords: [main/t1 - main/b2, main/t3 - main/b4]}
`},
	},
	studio:  onRest(stocksShort),
	session: onKept(stocksShort),
}

func stocksShort(v *view, p patch.Patch, key string) []found {
	var all []found
	owned := 0
	for _, c := range v.studio.Stock.Cords {
		owned += c.Count
	}
	if !v.studio.Stock.Unlimited && len(p.Cords) > owned {
		all = append(all, short(key+".cords", len(p.Cords), owned, "cord", "cords"))
	}
	if v.studio.Dummies >= 0 && len(p.Dummies) > v.studio.Dummies {
		all = append(all, short(key+".dummies", len(p.Dummies), v.studio.Dummies, "dummy", "dummies"))
	}
	return all
}

func short(key string, used, owned int, one, more string) found {
	return found{
		key:     key,
		message: fmt.Sprintf("%d %s plugged here and %d %s owned", used, plural(used, one+" is", more+" are"), owned, plural(owned, "is", "are")),
		hint:    "count again: those owned are all there are, plugged or not",
	}
}
