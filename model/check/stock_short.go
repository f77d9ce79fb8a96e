package check

import (
	"fmt"
	"strconv"

	"bayhand/model/patch"
	"bayhand/model/phrase"
)

var stockShort = rule{
	Rule: Rule{
		Code:     "stock-short",
		Severity: "warning",
		Title:    "a patch holds more cords or dummies than are owned",
		Manual: `All cords and dummies owned are counted, plugged or not, and each cord of a patch
must be one of them: long enough, and with the plugs for its jacks. The rest patch or
the patch that a session keeps holds more than that: something is counted wrong, or
was lost or lent.`,
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

func stocksShort(v *view, p patch.Patch, key string) []violation {
	var all []violation
	if !v.studio.Stock.Unlimited {
		all = append(all, cordsMissing(v, p, key)...)
	}
	if v.studio.Dummies >= 0 && len(p.Dummies) > v.studio.Dummies {
		all = append(all, short(key+".dummies", len(p.Dummies), v.studio.Dummies, "dummies plugged here: {used}, owned: {owned}"))
	}
	return all
}

// cordsMissing leaves out cords that none owned can be, alone: of those another
// rule speaks.
func cordsMissing(v *view, p patch.Patch, key string) []violation {
	var possible []patch.Cord
	for _, c := range p.Cords {
		if v.shelved([]patch.Cord{c}) == 1 {
			possible = append(possible, c)
		}
	}
	owned := 0
	for _, c := range v.studio.Stock.Cords {
		owned += c.Count
	}
	switch fit := v.shelved(possible); {
	case len(p.Cords) > owned:
		return []violation{short(key+".cords", len(p.Cords), owned, "cords plugged here: {used}, owned: {owned}")}
	case fit < len(possible):
		return []violation{{
			key: key + ".cords",
			message: fmt.Sprintf("the cords owned serve %d of the %d here: too few are long enough or have the plugs",
				fit, len(possible)),
			hint: "count the cords under cords: again; each one owned can be in one place",
		}}
	}
	return nil
}

// short says that more are used than owned, in a sentence with both numbers.
func short(key string, used, owned int, sentence string) violation {
	return violation{
		key:     key,
		message: phrase.Put(sentence, "used", strconv.Itoa(used), "owned", strconv.Itoa(owned)),
		hint:    "count again: those owned are all there are, plugged or not",
	}
}
