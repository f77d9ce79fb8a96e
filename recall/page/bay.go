package page

import (
	"fmt"
	"strconv"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// bay is the picture of one bay. All is in millimetres of the real thing, and
// every bay is drawn at the same scale.
type bay struct {
	Name, Label   string
	Left          float64
	Width, Height float64
	Numbers       []label
	Strips        []strip
	Pairs         []pair
	Jacks         []jack
	// InHand is the line of the cord in hand; empty where it is not on this bay.
	InHand string
	// Says what the picture shows, for those who do not see it.
	Says string
}

type label struct {
	X, Y float64
	Text string
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
	// Follow is the address of touching it.
	Follow string
	X, Y   float64
	// Hole is its radius, Ring that of the ring around the next move's jacks, and
	// Scale what a mark of 10 mm is drawn at. Wide is the room for a finger.
	Hole, Ring, Scale float64
	HitX, Wide        float64
	// First is the one jack of its bay that the tab key reaches; the others follow
	// by the arrow keys.
	First bool
	// State is empty, in, coming, going or changing: going, and something else
	// comes after.
	State string
	// Believed is what is in it only by belief.
	Believed bool
	Mark     *Mark
	// Plug is cord, lead or dummy; empty for none.
	Plug string
	// Word and Length stand between the rows: what to do, and the cord's length in
	// centimetres.
	Word, Length     string
	WordAt, LengthAt float64
	Next             bool
	Faulty           bool
	Lit, Chosen      bool
	Title            string
}

// Dressed says whether anything but the jack itself is drawn. It is drawn beside
// the link, whose name says it in words already.
func (j jack) Dressed() bool {
	return j.Plug != "" || j.Word != "" || j.Length != "" || j.Lit || j.Chosen
}

// The picture, from its upper edge, in millimetres. The rows stand as far apart
// as jacks do.
const (
	edge     = 3.0
	stripTop = 1.0
	stripIs  = 5.4
	numberAt = 10.8
	topAt    = 17.0
	belowAt  = topAt + float64(layout.Below)/float64(measure.Millimetre)
	lowStrip = belowAt + 11.4
	pictured = lowStrip + stripIs + 1
	// glyph is how wide a letter on a strip is taken to be.
	glyph = 1.75
)

func (p *page) bays(plugs plugs, a asked, next *move) []bay {
	var all []bay
	for _, b := range p.standing() {
		one := p.bay(b, 1, b.Pairs(), plugs)
		for i := range one.Jacks {
			at := one.Jacks[i].at()
			one.Jacks[i].Follow = a.touch(at).String()
		}
		if next != nil {
			one.InHand = one.line(next.joins)
		}
		one.Left = -p.sides[b.Name].indent
		one.Width -= one.Left
		all = append(all, one)
	}
	return all
}

// at is the jack's point.
func (j jack) at() name.Point {
	at, err := name.Parse(j.Name)
	if err != nil {
		panic(err) // the name was made from a point
	}
	return at
}

// pitchOf is from column to column, in millimetres.
func pitchOf(b studio.Bay) float64 {
	if b.Pitch == 0 {
		return float64(layout.Usual(b.Jack)) / float64(measure.Millimetre)
	}
	return float64(b.Pitch) / float64(measure.Millimetre)
}

// bay draws the columns from one to another.
func (p *page) bay(b studio.Bay, from, to int, plugs plugs) bay {
	pitch := pitchOf(b)
	one := bay{
		Name: b.Name, Label: p.words.Owner(b.Name),
		Left: float64(from-1) * pitch, Width: pitch*float64(to-from+1) + 2*edge, Height: pictured,
	}
	count := map[string]int{}
	for n := from; n <= to; n++ {
		x := edge + (float64(n)-0.5)*pitch
		one.Numbers = append(one.Numbers, label{x, numberAt, strconv.Itoa(n)})
		one.Pairs = append(one.Pairs, pair{X: x, Top: topAt, Bottom: belowAt, Mode: b.Modes[n-1].String(), Dead: plugs.deadNormals[b.TopJack(n)]})
		for _, at := range []name.Point{b.TopJack(n), b.BottomJack(n)} {
			j := p.jack(b, at, x, plugs)
			j.First = len(one.Jacks) == 0
			count[j.State]++
			one.Jacks = append(one.Jacks, j)
		}
	}
	one.Strips = append(p.strips(b, b.TopJack, stripTop, pitch), p.strips(b, b.BottomJack, lowStrip, pitch)...)
	one.Says = fmt.Sprintf("Bay %s with %d pairs: %d jacks hold a plug, %d of which must come out; %d plugs must go in. The lists on this page name them.",
		one.Label, b.Pairs(), count["in"]+count["going"]+count["changing"], count["going"]+count["changing"], count["coming"]+count["changing"])
	return one
}

func (p *page) jack(b studio.Bay, at name.Point, x float64, plugs plugs) jack {
	j := jack{Name: at.String(), X: x, Y: topAt, Hole: 2.2, Ring: 4.6, Scale: 0.82, WordAt: 6.1, LengthAt: 9, HitX: -pitchOf(b) / 2, Wide: pitchOf(b)}
	if b.Jack != studio.Bantam && b.Jack != studio.JackUnknown {
		j.Hole, j.Ring, j.Scale = 3.2, 6.2, 1.15
		j.WordAt, j.LengthAt = 7.4, 10.2
	}
	if at.Stem == studio.Bottom {
		j.Y = belowAt
	}
	p.fill(&j, at, b.Modes[at.Number-1], plugs)
	return j
}

// fill says what is in a jack, and what must be.
func (p *page) fill(j *jack, at name.Point, mode studio.Mode, plugs plugs) {
	here := plugs.at[at]
	j.State, j.Mark, j.Plug, j.Believed = here.state, here.mark, here.kind, here.believed
	switch here.state {
	case "":
		j.State = "empty"
	case "coming":
		j.Word = "plug"
	case "going", "changing":
		j.Word = "pull"
	}
	if here.believed && j.Word == "" {
		j.Word = "taken?"
	}
	if here.length > 0 {
		j.Length = strconv.FormatFloat(float64(here.length)/float64(measure.Centimetre), 'f', -1, 64)
	}
	if j.Word == "" {
		j.LengthAt = j.WordAt
	}
	j.Next, j.Faulty, j.Lit, j.Chosen = plugs.next[at], plugs.faulty[at], plugs.lit[at], plugs.chosen == at
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

// line is the cord in hand, hanging between two jacks of this bay.
func (b bay) line(ends []name.Point) string {
	var at []jack
	for _, end := range ends {
		for _, j := range b.Jacks {
			if j.Name == end.String() {
				at = append(at, j)
			}
		}
	}
	if len(at) != 2 {
		return ""
	}
	const sag = 6.0
	return fmt.Sprintf("M%.1f %.1fQ%.1f %.1f %.1f %.1f", at[0].X, at[0].Y, (at[0].X+at[1].X)/2, (at[0].Y+at[1].Y)/2+sag, at[1].X, at[1].Y)
}
