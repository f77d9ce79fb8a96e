package page

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/rivo/uniseg"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// bay is the picture of one bay. All is in millimetres of the real thing, and
// every bay is drawn at the same scale.
type bay struct {
	Name, Label string
	// Width and Height of the picture; Pixels is its width on a screen.
	Width, Height float64
	Pixels        int
	Numbers       []label
	Strips        []strip
	Pairs         []pair
	Jacks         []jack
	// Says what the picture shows, for those who do not see it.
	Says string
}

type label struct {
	X, Y float64
	Text string
}

// strip is the name of what is behind a run of jacks.
type strip struct {
	X, Y, Width, Height float64
	TextX, TextY        float64
	Text, Full          string
}

// pair is the normal between two jacks of a column.
type pair struct {
	X, Top, Bottom float64
	Mode           string
	Dead           bool
}

// jack is one jack with what is in it.
type jack struct {
	Name string
	X, Y float64
	// Hole is its radius, Ring that of the ring around the next move's jacks, and
	// Scale what a mark of 10 mm is drawn at.
	Hole, Ring, Scale float64
	// State is empty, in, coming, going or changing: going, and something else
	// comes after.
	State string
	Mark  *Mark
	// Plug is cord, lead or dummy; empty for none.
	Plug   string
	Next   bool
	Faulty bool
	Title  string
}

// The picture, from its upper edge, in millimetres. The rows stand as far apart
// as jacks do.
const (
	edge     = 3.0
	stripTop = 1.0
	stripIs  = 5.4
	numberAt = 11.2
	topAt    = 17.0
	belowAt  = topAt + float64(layout.Below)/float64(measure.Millimetre)
	lowStrip = belowAt + 6.4
	pictured = lowStrip + stripIs + 1
	// scale is pixels a millimetre: a mark at a bantam jack is 20 wide, and its
	// letter still reads.
	scale = 3.0
	// glyph is how wide a letter on a strip is taken to be.
	glyph = 1.75
)

func (p *page) bays(s keep.Status, next *move, marks map[joint]Mark) []bay {
	plugs := p.plugs(s, next, marks)
	var all []bay
	for _, b := range p.Studio.Bays {
		all = append(all, p.bay(b, plugs))
	}
	return all
}

func (p *page) bay(b studio.Bay, plugs plugs) bay {
	pitch := float64(b.Pitch) / float64(measure.Millimetre)
	if b.Pitch == 0 {
		pitch = float64(layout.Usual(b.Jack)) / float64(measure.Millimetre)
	}
	one := bay{
		Name: b.Name, Label: p.words.Owner(b.Name),
		Width:  pitch*float64(b.Pairs()) + 2*edge,
		Height: pictured,
	}
	one.Pixels = int(one.Width*scale + 0.5)
	looks := jack{Y: topAt, Hole: 2.2, Ring: 4.6, Scale: 0.82}
	if b.Jack != studio.Bantam && b.Jack != studio.JackUnknown {
		looks = jack{Y: topAt, Hole: 3.2, Ring: 6.2, Scale: 1.15}
	}
	count := map[string]int{}
	for n := 1; n <= b.Pairs(); n++ {
		x := edge + (float64(n)-0.5)*pitch
		one.Numbers = append(one.Numbers, label{x, numberAt, strconv.Itoa(n)})
		one.Pairs = append(one.Pairs, pair{X: x, Top: topAt, Bottom: belowAt, Mode: b.Modes[n-1].String(), Dead: plugs.deadNormals[b.TopJack(n)]})
		for _, at := range []name.Point{b.TopJack(n), b.BottomJack(n)} {
			j := looks
			j.Name, j.X = at.String(), x
			if at.Stem == studio.Bottom {
				j.Y = belowAt
			}
			p.fill(&j, at, b.Modes[n-1], plugs)
			count[j.State]++
			one.Jacks = append(one.Jacks, j)
		}
	}
	one.Strips = append(p.strips(b, b.TopJack, stripTop, pitch), p.strips(b, b.BottomJack, lowStrip, pitch)...)
	one.Says = fmt.Sprintf("Bay %s with %d pairs: %d jacks hold a plug, %d of which must come out; %d plugs must go in. The lists on this page name them.",
		one.Label, b.Pairs(), count["in"]+count["going"]+count["changing"], count["going"]+count["changing"], count["coming"]+count["changing"])
	return one
}

// fill says what is in a jack, and what must be.
func (p *page) fill(j *jack, at name.Point, mode studio.Mode, plugs plugs) {
	here := plugs.at[at]
	j.State, j.Mark, j.Plug = here.state, here.mark, here.kind
	if j.State == "" {
		j.State = "empty"
	}
	j.Next = plugs.next[at]
	j.Faulty = plugs.faulty[at]
	title := p.words.Point(at)
	if behind := p.words.Behind(at); behind != "" {
		title += ", " + behind
	}
	title += ", " + mode.String()
	if j.Faulty {
		title += ", faulty"
	}
	j.Title = title + here.says
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
