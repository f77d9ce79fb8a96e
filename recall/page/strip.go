package page

import (
	"slices"

	"github.com/rivo/uniseg"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// strip is the name of what is behind a run of jacks.
type strip struct {
	X, Y, Width, Height float64
	TextX, TextY        float64
	Text, Full          string
}

// strips group neighbouring jacks by what is behind them, as the strip on a bay
// does.
func (p *page) strips(b studio.Bay, jackAt func(int) name.Point, y, pitch float64) []strip {
	var all []strip
	for n := 1; n <= b.Pairs(); {
		first := p.words.Rear(jackAt(n))
		last := n
		for last < b.Pairs() && follows(first, p.words.Rear(jackAt(last+1)), last+1-n) {
			last++
		}
		if len(first) > 0 {
			all = append(all, p.strip(first[0], n, last, y, pitch))
		}
		n = last + 1
	}
	return all
}

// follows says whether what is behind a jack continues a run that began steps
// columns before: the same stem of the same owner, counted on.
func follows(first, here []name.Point, steps int) bool {
	if len(first) == 0 || len(here) == 0 {
		return false
	}
	want := first[0]
	want.Number += steps
	return here[0] == want
}

func (p *page) strip(first name.Point, from, to int, y, pitch float64) strip {
	s := strip{
		X: edge + float64(from-1)*pitch + 0.5, Y: y,
		Width: float64(to-from+1)*pitch - 1, Height: stripIs,
	}
	s.TextX, s.TextY = s.X+s.Width/2, y+stripIs-1.6
	s.Full = p.words.Run(first, first.Number+to-from)
	owner := p.words.Owner(first.Owner)
	texts := []string{s.Full, owner}
	if p.isBay(first.Owner) {
		s.Full = "tie to " + s.Full
		texts = []string{s.Full, "tie to " + owner, owner}
	}
	s.Text = short(int(s.Width/glyph), texts...)
	return s
}

func (p *page) isBay(owner string) bool {
	return slices.ContainsFunc(p.Studio.Bays, func(b studio.Bay) bool { return b.Name == owner })
}

// short is the first of the texts that fits into so many columns, or the
// beginning of the last one.
func short(room int, texts ...string) string {
	for _, text := range texts {
		if uniseg.StringWidth(text) <= room {
			return text
		}
	}
	beginning, used := "", 0
	g := uniseg.NewGraphemes(texts[len(texts)-1])
	for g.Next() && used+g.Width() <= room-1 {
		beginning += g.Str()
		used += g.Width()
	}
	return beginning + "."
}
