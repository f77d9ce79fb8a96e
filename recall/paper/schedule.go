package paper

import (
	"io"
	"slices"
	"strconv"
	"time"

	"bayhand/model/name"
	"bayhand/model/schedule"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Wiring is a cable schedule to print and tick by whoever makes the cables.
type Wiring struct {
	Studio string
	Date   time.Time
	Origin string
	// Title says what it is, such as what differs from an earlier one.
	Title  string
	Groups []WiringGroup
	Buy    schedule.Buy
	// Problems are what cannot be made as the file has it.
	Problems []string
	// Pins is true where the contacts of each pair are to stand beside it.
	Pins bool
	// BuyToo is true where what to buy is to stand at the end.
	BuyToo bool
	// Kit is what the worst session takes at the bay; nil where nobody asked.
	Kit *schedule.Kit
}

// WiringGroup is the cables of one place to stand at.
type WiringGroup struct {
	Title  string
	Cables []WiringCable
	// Caution stands above it; empty for none.
	Caution string
	// short are places by their short labels; nil where only the cables' own are known.
	short *words.Places
}

// WiringCable is a cable, and what is to be changed of it where it is there already.
type WiringCable struct {
	schedule.Cable
	Changes []string
}

// LoudCaution stands above loudspeaker lines.
const LoudCaution = "Loudspeaker lines carry tens of volts and amperes: never beside signal cables, never to a bay, and only with connectors that fit nothing else. Follow local codes, and leave this wiring to licensed people where those say so."

// Grouped puts cables where one stands to make them: at the rear of each bay, then at
// each piece of gear; each cable once, from left to right along the bay.
func Grouped(s *studio.Studio, all schedule.Schedule) []WiringGroup {
	w := words.In(s)
	var groups []WiringGroup
	left := slices.Clone(all.Cables)
	take := func(title, owner string) {
		var here, others []schedule.Cable
		for _, c := range left {
			if at(c, owner) {
				here = append(here, c)
			} else {
				others = append(others, c)
			}
		}
		left = others
		if len(here) == 0 {
			return
		}
		slices.SortStableFunc(here, func(a, b schedule.Cable) int { return firstColumn(a, owner) - firstColumn(b, owner) })
		g := WiringGroup{Title: title, short: w.Short()}
		for _, c := range here {
			g.Cables = append(g.Cables, WiringCable{Cable: c})
		}
		groups = append(groups, g)
	}
	for _, b := range s.Bays {
		take(words.Put("Behind {bay}", "bay", w.Owner(b.Name)), b.Name)
	}
	for _, g := range s.Gear {
		take(words.Put("At {gear}", "gear", w.Owner(g.Name)), g.Name)
	}
	for _, m := range s.Matrices {
		take(words.Put("At {gear}", "gear", w.Owner(m.Name)), m.Name)
	}
	for _, b := range s.Boxes {
		take(words.Put("At {gear}", "gear", w.Owner(b.Name)), b.Name)
	}
	if len(all.Loudspeakers) > 0 {
		g := WiringGroup{Title: "Loudspeaker lines", Caution: LoudCaution, short: w.Short()}
		for _, c := range all.Loudspeakers {
			g.Cables = append(g.Cables, WiringCable{Cable: c})
		}
		groups = append(groups, g)
	}
	return groups
}

func at(c schedule.Cable, owner string) bool {
	return slices.ContainsFunc(c.Pairs, func(p schedule.Pair) bool { return p.From.Point.Owner == owner || p.To.Point.Owner == owner })
}

// firstColumn is where a cable begins along a bay; the upper row before the lower.
func firstColumn(c schedule.Cable, owner string) int {
	first := name.MaxNumber * 2
	for _, p := range c.Pairs {
		for _, point := range []name.Point{p.From.Point, p.To.Point} {
			if point.Owner == owner {
				row := 0
				if point.Stem == studio.Bottom {
					row = 1
				}
				first = min(first, point.Number*2+row)
			}
		}
	}
	return first
}

// WiringPDF writes the schedule with boxes to tick: made, buzzed out, labelled. For
// fonts and warnings see PDF. The same schedule gives the same bytes.
func WiringPDF(w io.Writer, l Wiring, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: l.Title, Studio: l.Studio, Date: l.Date, Origin: l.Origin,
		Cautions: []string{"Switch everything off before its rear is touched. Mains is not in this schedule. Follow local codes, and leave mains to licensed people."}}, size, fonts)
	if err != nil {
		return nil, err
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, huge, words.Clean(l.Title))...)}
	blocks = append(blocks, d.list("To look at first", l.Problems)...)
	for _, g := range l.Groups {
		blocks = append(blocks, wiringGroup(d, g, l.Pins)...)
	}
	if len(l.Groups) == 0 {
		blocks = append(blocks, d.paragraph(0, middle, "Nothing is to be done."))
	}
	if l.BuyToo {
		blocks = append(blocks, d.list("To buy, with a tenth more of cable", BuyLines(l.Buy))...)
	}
	if l.Kit != nil {
		blocks = append(blocks, d.list(KitTitle, KitLines(*l.Kit))...)
	}
	d.print(blocks)
	return d.write(w)
}

func wiringGroup(d *document, g WiringGroup, pins bool) []block {
	head := append(d.heading(g.Title), d.paragraph(0, firm, g.Caution)...)
	head = append(head, row{height: small.height(), draw: func(y float64) {
		for i, text := range []string{"made", "buzzed", "labelled"} {
			d.text(d.left+float64(i)*tickApart, y, ink{7.5, false}, text)
		}
	}})
	var blocks []block
	for i, c := range g.Cables {
		b := cableBlock(d, c, pins)
		if i == 0 {
			b = append(head, b...)
		}
		blocks = append(blocks, b)
	}
	return blocks
}

const tickApart = 11.5

// cableBlock is one cable: three boxes, its headline, and a line a pair.
func cableBlock(d *document, c WiringCable, pins bool) block {
	const indent = 3*tickApart + 2
	b := block{d.ruled(), space(0.8), row{draw: func(y float64) {
		for i := range 3 {
			d.box(d.left+float64(i)*tickApart+1, y+0.2, tickSide)
		}
	}}}
	b = append(b, d.paragraph(indent, ink{middle.size, true}, words.Clean(c.Headline()))...)
	for _, what := range c.Changes {
		b = append(b, d.paragraph(indent+5, firm, words.Clean(what))...)
	}
	for _, p := range c.Pairs {
		text := arrowed(PairText(p))
		if len(c.Pairs) > 1 {
			text = strconv.Itoa(p.Pair) + "  " + text
		}
		b = append(b, d.paragraph(indent, small, text)...)
		for _, note := range Notes(p, pins) {
			b = append(b, d.paragraph(indent+5, ink{8, false}, note)...)
		}
	}
	if short := tickSide + 1.8 - b.height(); short > 0 {
		b = append(b, space(short))
	}
	return append(b, space(0.8))
}
