package page

import (
	"fmt"
	"html/template"
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
	// Strips are the whole bay's, made before; Near those of a few columns.
	Near    []printed
	Strips  template.HTML
	Columns []column
	jackSize
	// Touch is the address of touching one of its jacks, less the jack's name.
	Touch string
	// InHand is the line of the cord in hand; empty where it is not on this bay.
	InHand string
	// Undrawn is one that nobody has looked at yet.
	Undrawn bool
	// Says what the picture shows, for those who do not see it.
	Says string
}

// jackSize is how the jacks of one bay are drawn: Hole is their radius, Ring that of
// the ring around the next move's, and Scale what a mark of 10 mm is drawn at.
// Wide is the room for a finger, from HitX on.
type jackSize struct {
	Hole, Ring, Scale float64
	HitX, Wide        float64
}

// column is one pair: its number and normal, and the jack above and below.
type column struct {
	X      float64
	Number int
	Normal normal
	Jacks  [2]jack
	// Drawn is the column's markup where it was made before; empty otherwise.
	Drawn template.HTML
}

// Plain says whether nothing is in the column, to be done or touched at it.
func (c column) Plain() bool {
	return !c.Normal.Broken && c.Jacks[0].Plain() && c.Jacks[1].Plain() && !c.Jacks[0].First
}

// normal is what joins the two jacks of a pair.
type normal struct {
	Mode string
	// Dead is one that the studio's file calls faulty; Broken one that a plug
	// holds open now.
	Dead, Broken bool
}

// jack is one jack with what is in it.
type jack struct {
	Name string
	// Y is from the picture's upper edge, Row t or b.
	Y   float64
	Row string
	// First is the one jack of its bay that the tab key reaches; the others follow
	// by the arrow keys.
	First bool
	// State is empty, in, coming, going or changing: going, and something else
	// comes after.
	State string
	// Believed is what is in it only by belief.
	Believed bool
	Mark     *Mark
	// Plug is cord, lead or dummy; empty for none. Other is the jack of the cord's
	// other end.
	Plug, Other string
	// Word and Length stand below the jack: what to do, and the cord's length in
	// centimetres.
	Word, Length     string
	WordAt, LengthAt float64
	Next             bool
	Faulty           bool
	Lit, Chosen      bool
	Title            string
	jackSize
}

// Dressed says whether anything but the jack itself is drawn. It is drawn beside
// the link, whose name says it in words already.
func (j jack) Dressed() bool {
	return j.Plug != "" || j.Word != "" || j.Length != "" || j.Lit || j.Chosen
}

// Plain says whether the jack looks as an empty one does.
func (j jack) Plain() bool {
	return j.State == "empty" && !j.Believed && !j.Next && !j.Faulty && !j.Lit && !j.Chosen
}

// drawer makes the pictures of bays and matrices.
type drawer struct{ page *page }

// The picture, from its upper edge, in millimetres. The rows stand as far apart
// as jacks do.
const (
	edge       = 3.0
	pictureTop = -2.8
	stripTop   = -1.8
	stripIs    = 8.0
	numberAt   = 10.8
	topAt      = 17.0
	belowAt    = topAt + float64(layout.Below)/float64(measure.Millimetre)
	lowStrip   = belowAt + 11.4
	pictured   = lowStrip + stripIs + 1 - pictureTop
)

func (h drawer) bays(plugs plugs, touch string, next *move, d drawing) []bay {
	var all []bay
	for _, b := range h.standing() {
		to := b.Pairs()
		if !d.has(b.Name) {
			to = 0
		}
		one := h.bay(b, 1, to, touch, plugs)
		if to == 0 {
			one.Undrawn, one.Strips = true, ""
			one.Width = pitchOf(b)*float64(b.Pairs()) + 2*edge
		}
		if next != nil {
			one.InHand = one.line(next.joins)
		}
		one.Left = -h.page.sides[b.Name].indent
		one.Width -= one.Left
		all = append(all, one)
	}
	return all
}

// pitchOf is from column to column, in millimetres.
func pitchOf(b studio.Bay) float64 {
	if b.Pitch == 0 {
		return float64(layout.Usual(b.Jack)) / float64(measure.Millimetre)
	}
	return float64(b.Pitch) / float64(measure.Millimetre)
}

// bay draws the columns from one to another. Touch is the address of touching a
// jack, less the jack's name; empty for a picture that cannot be touched.
func (h drawer) bay(b studio.Bay, from, to int, touch string, plugs plugs) bay {
	pitch := pitchOf(b)
	one := bay{
		Name: b.Name, Label: h.page.words.Owner(b.Name), jackSize: jackSizeOf(b),
		Touch: touch, Left: float64(from-1) * pitch, Width: pitch*float64(to-from+1) + 2*edge, Height: pictured,
	}
	count := map[string]int{}
	for n := from; n <= to; n++ {
		if html, ok := h.plain(b, n, plugs); ok && touch == plainTouch {
			one.Columns = append(one.Columns, column{Drawn: html})
			continue
		}
		col := h.column(b, n, one.jackSize, plugs)
		col.Jacks[0].First = n == from
		for _, j := range col.Jacks {
			count[j.State]++
		}
		one.Columns = append(one.Columns, col)
	}
	if from == 1 && to == b.Pairs() {
		one.Strips = h.page.strips.of(b).html
	}
	one.Says = fmt.Sprintf("Bay %s with %d pairs: %d jacks hold a plug, %d of which must come out; %d plugs must go in. The lists on this page name them.",
		one.Label, b.Pairs(), count["in"]+count["going"]+count["changing"], count["going"]+count["changing"], count["coming"]+count["changing"])
	return one
}

func (h drawer) column(b studio.Bay, n int, s jackSize, plugs plugs) column {
	mode := b.Modes[n-1]
	top, bottom := b.TopJack(n), b.BottomJack(n)
	col := column{
		X: edge + (float64(n)-0.5)*pitchOf(b), Number: n,
		Normal: normal{Mode: mode.String(), Dead: plugs.deadNormals[top], Broken: plugs.brokenNormals[top]},
	}
	for i, at := range []name.Point{top, bottom} {
		j := jack{Name: at.String(), Row: at.Stem, Y: topAt, WordAt: 6.1, LengthAt: 9, jackSize: s}
		if i == 1 {
			j.Y = belowAt
		}
		if s.Hole > small.Hole {
			j.WordAt, j.LengthAt = 7.4, 10.2
		}
		h.fill(&j, at, col.Normal, plugs)
		col.Jacks[i] = j
	}
	return col
}

// small and large are how jacks of 4.4 mm and of 6.35 mm are drawn.
var (
	small = jackSize{Hole: 2.2, Ring: 4.6, Scale: 0.82}
	large = jackSize{Hole: 3.2, Ring: 6.2, Scale: 1.15}
)

func jackSizeOf(b studio.Bay) jackSize {
	s := small
	if b.Jack != studio.Bantam && b.Jack != studio.JackUnknown {
		s = large
	}
	s.HitX, s.Wide = -pitchOf(b)/2, pitchOf(b)
	return s
}

// fill says what is in a jack, and what must be.
func (h drawer) fill(j *jack, at name.Point, pair normal, plugs plugs) {
	here := plugs.at[at]
	j.State, j.Mark, j.Plug, j.Believed = here.state, here.mark, here.kind, here.believed
	j.Other = pointText(here.other)
	switch here.state {
	case "":
		j.State = "empty"
	case "coming":
		j.Word = "plug"
	case "going", "changing":
		j.Word = "unplug"
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
	facts := []string{h.page.words.Point(at), h.page.words.Behind(at), pair.Mode}
	if pair.Broken {
		facts = append(facts, "broken")
	}
	if j.Faulty {
		facts = append(facts, "faulty")
	}
	j.Title = joinedFacts(facts...)
	if here.says != "" {
		j.Title += ": " + here.says
	}
}

// line is the cord in hand, hanging between two jacks of this bay.
func (b bay) line(ends []name.Point) string {
	var at [][2]float64
	for _, end := range ends {
		for _, col := range b.Columns {
			for _, j := range col.Jacks {
				if j.Name == end.String() {
					at = append(at, [2]float64{col.X, j.Y})
				}
			}
		}
	}
	if len(at) != 2 {
		return ""
	}
	const sag = 6.0
	return fmt.Sprintf("M%.1f %.1fQ%.1f %.1f %.1f %.1f", at[0][0], at[0][1], (at[0][0]+at[1][0])/2, (at[0][1]+at[1][1])/2+sag, at[1][0], at[1][1])
}

func (p *page) isBay(owner string) bool {
	return p.Studio.BayNamed(owner) != nil
}
