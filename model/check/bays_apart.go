package check

import (
	"fmt"

	"bayhand/model/disjoint"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

// baysApart looks from bay to bay, where nothing that is tied leads from the one to the
// other and they no wall is between them: whether a cord goes there at all, and
// as far to the side as is usual. It takes time that grows with the square of the number of bays.
func baysApart(v *view) []violation {
	if v.studio.Stock.Unlimited || !v.hasStock() {
		return nil
	}
	used, group, walls := usedBays(v), tiedBays(v), layout.NewWalls(v.studio)
	var all []violation
	for i, a := range v.studio.Bays {
		for j, b := range v.studio.Bays[:i] {
			if !used[a.Name] || !used[b.Name] || group.Joined(i, j) || walls.Between(a.Name, b.Name) {
				continue
			}
			if f := fromTo(v, b, a); f.message != "" {
				all = append(all, f)
			}
		}
	}
	return all
}

// fromTo is what is to be said of the way between two bays; without a message nothing.
func fromTo(v *view, a, b studio.Bay) violation {
	near, usual := ways(v, a, b)
	longest, fits := v.longest(a, b)
	slack := v.studio.Stock.Slack
	f := violation{key: "cords.stock", severity: "advice"}
	switch {
	case !fits:
		f.message = fmt.Sprintf("no cord owned has a plug for %s (%s) and one for %s (%s), and nothing that is tied leads there", a.Name, a.Jack, b.Name, b.Jack)
		f.hint = "write cords with such ends under cords:, or lines between the two under ties:"
	case longest < near+slack:
		f.message = fmt.Sprintf("from %s to %s it takes %s at the least, with the slack, the longest cord owned is %s, and nothing that is tied leads there",
			a.Name, b.Name, centimetres(near+slack), longest)
		f.hint = "get some that reach, or tie lines between the two: without them nothing goes from the one bay to the other"
	case longest < usual+slack && spans(v, a) && spans(v, b):
		f.message = fmt.Sprintf("from %s to %s, half the row to the side, it takes %s with the slack, and the longest cord owned is %s",
			a.Name, b.Name, centimetres(usual+slack), longest)
		f.hint = "get some that reach: without them little of the one bay can be patched to the other"
	}
	return f
}

// spans says whether a cord owned goes from end to end of a bay. Where none does,
// baysUnspanned says so, and the way to the next bay is no news.
func spans(v *view, bay studio.Bay) bool {
	way, _ := layout.Distance(v.studio, bay.TopJack(1), bay.BottomJack(bay.Pairs()))
	longest, fits := v.longest(bay, bay)
	return fits && longest >= way+v.studio.Stock.Slack
}

// ways are the shortest way between jacks of two bays, which may be less by half a
// column, and a usual one: from a jack to one in the other bay that stands half of the
// wider row to the side.
func ways(v *view, a, b studio.Bay) (near, usual measure.Length) {
	first, last := corners(v, a)
	left, right := corners(v, b)
	beside := max(0, left.X-last.X, first.X-right.X)
	above := max(left.Y-first.Y, first.Y-left.Y)
	half := max(last.X-first.X, right.X-left.X) / 2
	return beside + max(0, above-layout.Below), beside + half + above
}

// corners are the first and the last jack of the upper row of a bay.
func corners(v *view, bay studio.Bay) (first, last layout.Spot) {
	first, _ = layout.At(v.studio, bay.TopJack(1))
	last, _ = layout.At(v.studio, bay.TopJack(bay.Pairs()))
	return first, last
}

// usedBays are those that gear or a matrix is wired to.
func usedBays(v *view) map[string]bool {
	used := map[string]bool{}
	for _, w := range v.studio.Wires {
		for _, p := range []string{w.From.Owner, w.To.Owner} {
			if v.bays[p].Pairs() > 0 {
				used[p] = true
			}
		}
	}
	return used
}

// tiedBays are the bays by their numbers, joined where a tie, a mult or a normal
// leads from the one to the other.
func tiedBays(v *view) disjoint.Sets {
	number := map[string]int{}
	for i, b := range v.studio.Bays {
		number[b.Name] = i
	}
	f := disjoint.New(len(v.studio.Bays))
	join := func(a, b string) {
		i, okA := number[a]
		j, okB := number[b]
		if okA && okB {
			f.Join(i, j)
		}
	}
	for _, t := range v.studio.Tied() {
		join(t.A.Owner, t.B.Owner)
	}
	for _, n := range v.studio.Normals {
		join(n.From.Owner, n.To.Owner)
	}
	for _, m := range v.studio.Mults {
		for _, p := range m.Jacks {
			join(m.Jacks[0].Owner, p.Owner)
		}
	}
	return f
}
