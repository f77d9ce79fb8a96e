package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// foldLines joins neighbouring lines of one form whose numbers all go up by one.
func foldLines(lines []written) []written {
	var folded []written
	for _, l := range lines {
		last := len(folded) - 1
		if last >= 0 && folded[last].label == l.label && slices.Equal(folded[last].via, l.via) && slices.Equal(folded[last].avoid, l.avoid) && follows(folded[last].root, l.root) {
			join(folded[last].root, l.root)
			continue
		}
		folded = append(folded, l)
	}
	return folded
}

// follows says whether every point of b is the one after the last of a.
func follows(a, b *branch) bool {
	if len(a.next) != len(b.next) || len(b.points) != 1 {
		return false
	}
	after := a.points[len(a.points)-1]
	after.Number++
	if after.Number < 2 || b.points[0] != after {
		return false
	}
	for i := range a.next {
		if !follows(a.next[i], b.next[i]) {
			return false
		}
	}
	return true
}

func join(a, b *branch) {
	a.points = append(a.points, b.points...)
	for i := range a.next {
		join(a.next[i], b.next[i])
	}
}

// oneText is a run of neighbours in one word.
func oneText(points []name.Point) string { return name.Fold(points)[0] }

func folded(points []name.Point) []string { return name.Fold(points) }

// foldPasses writes passes as pairs of points or ranges.
func foldPasses(passes []studio.Pass) []string {
	var texts []string
	for len(passes) > 0 {
		ins, outs := []name.Point{passes[0].In}, []name.Point{passes[0].Out}
		taken := 1
		for taken < len(passes) && foldsOn(&ins, &outs, passes[taken]) {
			taken++
		}
		texts = append(texts, oneText(ins)+" -> "+oneText(outs))
		passes = passes[taken:]
	}
	return texts
}

// foldsOn adds a pass to a run: one to one, or one to all.
func foldsOn(ins, outs *[]name.Point, p studio.Pass) bool {
	if !comesAfter(*outs, p.Out) {
		return false
	}
	switch {
	case len(*ins) == len(*outs) && comesAfter(*ins, p.In):
		*ins = append(*ins, p.In)
	case len(*ins) != 1 || (*ins)[0] != p.In:
		return false
	}
	*outs = append(*outs, p.Out)
	return true
}

func comesAfter(points []name.Point, p name.Point) bool {
	after := points[len(points)-1]
	after.Number++
	return after.Number > 1 && after == p
}
