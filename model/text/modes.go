package text

import (
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// modeSynonyms are words of the trade that are read for a mode.
var modeSynonyms = map[string]string{
	"full-normal": "normal",
	"thru":        "isolated",
	"open":        "isolated",
	"mult":        "parallel",
}

// modes fills the modes of a bay from ranges of pairs, or from one word for all
// of them.
func (r *bayReader) modes(n *node, modes []studio.Mode) {
	switch {
	case n == nil:
		return
	case n.shape == scalar:
		mode := r.mode(n)
		for i := range modes {
			modes[i] = mode
		}
		return
	case n.shape != mapping:
		r.fault(n, "shape", "write {1-16: half-normal, 17-24: isolated}, or one word for all pairs", "%s stands here; modes are a mapping of pairs to modes", n.shape)
		return
	}
	named := make([]*node, len(modes))
	for _, e := range n.entries {
		r.modeRange(e, modes, named)
	}
	r.unnamed(n, named)
}

func (r *bayReader) modeRange(e entry, modes []studio.Mode, named []*node) {
	points, err := name.Ports("", e.key.text)
	if err != nil || points[0].Stem != "" || points[0].Number == 0 || points[0].Part != name.Whole {
		r.fault(e.key, "range", "", "%s stands here; pairs are named by numbers, such as 7, 1-16 or 1,3,5-8", quoteText(e.key.text))
		return
	}
	r.spend(e.key, len(points))
	mode := r.mode(e.value)
	var overlaps *node
	for _, p := range points {
		if p.Number > len(modes) {
			r.fault(e.key, "range", "", "pair %d stands here; the bay has pairs 1 to %d", p.Number, len(modes))
			break
		}
		if first := named[p.Number-1]; first != nil && first != overlaps {
			r.fault(e.key, "range", "", "%s overlaps %s in line %d: both name pair %d", e.key.text, first.text, first.place.Line, p.Number)
			overlaps = first
		}
		named[p.Number-1] = e.key
		modes[p.Number-1] = mode
	}
}

func (r *bayReader) mode(n *node) studio.Mode {
	if !r.isText(n) {
		return studio.ModeUnknown
	}
	text := n.text
	if word, ok := modeSynonyms[text]; ok {
		text = word
	}
	for m := studio.FullNormal; m <= studio.Parallel; m++ {
		if m.String() == text {
			return m
		}
	}
	r.fault(n, "word", maybe(text, modeChoices), "%s is no mode; legal are %s", quoteText(n.text), oneOf(modeWords))
	return studio.ModeUnknown
}

// unnamed refuses pairs without a mode: a guess would be a wrong patch.
func (r *bayReader) unnamed(n *node, named []*node) {
	var missing []name.Point
	for i, by := range named {
		if by == nil {
			missing = append(missing, name.At("p", "p", i+1))
		}
	}
	if len(missing) == 0 || n.torn {
		return
	}
	numbers := strings.TrimPrefix(name.Fold(missing)[0], "p/p")
	which, have, write := "pairs", "have", numbers
	if len(missing) == 1 {
		which, have = "pair", "has"
	}
	if strings.Contains(numbers, ",") && n.flow {
		write = `"` + numbers + `"`
	}
	r.report(r.placeOf(n), "missing", phrase.Put("write {pairs}: isolated if nothing joins its jacks", "pairs", write), "%s %s %s no mode", which, numbers, have)
}
