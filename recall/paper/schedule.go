package paper

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
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
		g := WiringGroup{Title: title}
		for _, c := range here {
			g.Cables = append(g.Cables, WiringCable{Cable: c})
		}
		groups = append(groups, g)
	}
	for _, b := range s.Bays {
		take("Behind "+w.Owner(b.Name), b.Name)
	}
	for _, g := range s.Gear {
		take("At "+w.Owner(g.Name), g.Name)
	}
	for _, m := range s.Matrices {
		take("At "+w.Owner(m.Name), m.Name)
	}
	for _, b := range s.Boxes {
		take("At "+w.Owner(b.Name), b.Name)
	}
	if len(all.Loudspeakers) > 0 {
		g := WiringGroup{Title: "Loudspeaker lines", Caution: LoudCaution}
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

// Headline is a cable in one line: its number, kind and length.
func (c WiringCable) Headline() string {
	number := c.Number
	if number == "" {
		number = "----"
	}
	parts := []string{number}
	if c.Kind != "" {
		parts = append(parts, c.Kind)
	}
	switch {
	case c.Length == 0:
		parts = append(parts, "length not known")
	case c.Estimated:
		parts = append(parts, "about "+c.Length.String()+", estimated")
	default:
		parts = append(parts, c.Length.String())
	}
	return strings.Join(parts, ", ")
}

// Notes are what must be known of a pair to make it; pins asks for the contacts.
func Notes(p schedule.Pair, pins bool) []string {
	var notes []string
	if pins {
		notes = append(notes, "hot "+contact(p.From.Hot)+" to "+contact(p.To.Hot)+", cold "+contact(p.From.Cold)+" to "+contact(p.To.Cold)+
			", shield "+contact(p.From.Shield)+" to "+contact(p.To.Shield))
	}
	switch {
	case p.Cold == "":
		notes = append(notes, "cold leg: "+p.Because)
	case p.Because != "":
		notes = append(notes, "cold leg "+p.Cold+": "+p.Because)
	}
	if p.Shield != studio.ShieldBoth.String() {
		notes = append(notes, "shield joined at the "+p.Shield+" alone; mark its other end")
	}
	return notes
}

func contact(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// PairText is a pair in one line, with its plugs.
func PairText(p schedule.Pair) string {
	return endText(p.From) + " -> " + endText(p.To)
}

func endText(e schedule.End) string {
	text := words.Clean(e.Label)
	switch plug := strings.TrimSpace(e.Plug + " " + e.Gender); {
	case e.Plug == schedule.Bare:
		text += " (bare)"
	case e.Socket != "":
		text += " (" + strings.TrimSpace(plug+" "+words.Clean(e.Socket)) + ")"
	case plug != "":
		text += " (" + words.Clean(plug) + ")"
	}
	return text
}

// BuyLines are what to buy in words.
func BuyLines(b schedule.Buy) []string {
	var all []string
	for _, p := range b.Plugs {
		all = append(all, fmt.Sprintf("%d x %s", p.Count, strings.TrimSpace(words.Clean(p.Plug+" "+p.Gender))))
	}
	for _, c := range b.Cable {
		kind := c.Kind
		if kind == "" {
			kind = "of a kind not said"
		}
		all = append(all, fmt.Sprintf("%s of cable %s, in %s", metres(c), words.Clean(kind), count(c.Cuts, "cut")))
	}
	all = append(all, count(b.Joints, "joint")+" to solder, press or screw", count(b.Wraps, "wrap")+" for ends")
	if b.UnknownLengths > 0 {
		all = append(all, count(b.UnknownLengths, "cable")+" of a length not known: not counted above")
	}
	if b.UnknownPlugs > 0 {
		all = append(all, count(b.UnknownPlugs, "end")+" of a plug not known: not counted above")
	}
	return all
}

// KitTitle stands above KitLines.
const KitTitle = "To own for the bay, as the sessions that take most need it"

// KitLines are cords, leads and dummies in words, the shortest last.
func KitLines(k schedule.Kit) []string {
	var all []string
	for _, c := range k.Cords {
		length := "of a length not known"
		if c.Length > 0 {
			length = "of " + c.Length.String()
		}
		kind := words.Clean(c.Plugs[0])
		if c.Plugs[0] != c.Plugs[1] {
			kind = strings.TrimSpace(words.Clean(c.Plugs[0] + " to " + c.Plugs[1]))
		}
		line := count(c.Count, strings.TrimSpace(kind+" cord")) + " " + length
		if c.Poles == 2 {
			line += ", two-pole"
		}
		all = append(all, line)
	}
	if k.Leads > 0 {
		all = append(all, count(k.Leads, "lead")+" to gear")
	}
	switch {
	case k.Dummies == 1:
		all = append(all, "1 dummy")
	case k.Dummies > 1:
		all = append(all, strconv.Itoa(k.Dummies)+" dummies")
	}
	if len(all) == 0 {
		all = []string{"nothing: no session takes a cord"}
	}
	return all
}

func metres(c schedule.Metres) string {
	return strconv.FormatInt(int64(c.Length/1e9), 10) + " m"
}

// WiringPDF writes the schedule with boxes to tick: made, buzzed out, labelled. For
// fonts and warnings see PDF. The same schedule gives the same bytes.
func WiringPDF(w io.Writer, l Wiring, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: l.Title, Studio: l.Studio, Date: l.Date, Origin: l.Origin,
		Cautions: []string{"Switch everything off before its rear is touched. Mains is not in this schedule. Local codes and licensed practice come first."}}, size, fonts)
	if err != nil {
		return nil, err
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, huge, words.Clean(l.Title))...)}
	blocks = append(blocks, d.list("To look at first", l.Problems)...)
	for _, g := range l.Groups {
		blocks = append(blocks, d.wiringGroup(g, l.Pins)...)
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

func (d *document) wiringGroup(g WiringGroup, pins bool) []block {
	head := append(d.heading(g.Title), d.paragraph(0, firm, g.Caution)...)
	head = append(head, row{height: small.height(), draw: func(y float64) {
		for i, text := range []string{"made", "buzzed", "labelled"} {
			d.text(d.left+float64(i)*tickApart, y, ink{7.5, false}, text)
		}
	}})
	var blocks []block
	for i, c := range g.Cables {
		b := d.cableBlock(c, pins)
		if i == 0 {
			b = append(head, b...)
		}
		blocks = append(blocks, b)
	}
	return blocks
}

const tickApart = 11.5

// cableBlock is one cable: three boxes, its headline, and a line a pair.
func (d *document) cableBlock(c WiringCable, pins bool) block {
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

// Labels for ends, in millimetres: long enough to go round a cable and overlap.
const (
	wrapWide = 58.0
	wrapHigh = 13.0
)

// WrapsPDF writes a label for both ends of each cable: the number large, the near end
// first and the far end second. Each is folded round the cable. The same schedule gives
// the same bytes.
func WrapsPDF(w io.Writer, l Wiring, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: "Wraps for cables", Studio: l.Studio, Date: l.Date, Origin: l.Origin, Scale: true,
		Cautions: []string{"Print at 100 %. Cut along the frames; wrap the clear end over the text."}}, size, fonts)
	if err != nil {
		return nil, err
	}
	type wrap struct{ number, near, far string }
	var all []wrap
	for _, g := range l.Groups {
		for _, c := range g.Cables {
			first, last := c.Pairs[0], c.Pairs[len(c.Pairs)-1]
			a, b := fanText(first.From, last.From, len(c.Pairs)), fanText(first.To, last.To, len(c.Pairs))
			all = append(all, wrap{c.Number, a, b}, wrap{c.Number, b, a})
		}
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, large, "Wraps for cables")...)}
	across := max(1, int(d.textWidth()/(wrapWide+2)))
	for i := 0; i < len(all); i += across {
		here := all[i:min(i+across, len(all))]
		blocks = append(blocks, block{row{height: wrapHigh + 2, draw: func(y float64) {
			for k, one := range here {
				d.wrap(d.left+float64(k)*(wrapWide+2), y, one.number, one.near, one.far)
			}
		}}})
	}
	d.print(blocks)
	return d.write(w)
}

// fanText is one end of a cable: its first circuit, and its last where it has several.
func fanText(first, last schedule.End, pairs int) string {
	from, to := words.Clean(first.Label), words.Clean(last.Label)
	if pairs == 1 || from == to {
		return from
	}
	same := 0
	for i := 0; i < min(len(from), len(to)) && from[i] == to[i]; i++ {
		if from[i] == ' ' {
			same = i + 1
		}
	}
	return from + " to " + to[same:]
}

// fitEnd shortens a place so that its port stays.
func (d *document) fitEnd(text string, i ink, room float64) string {
	text = d.printable(text)
	if d.pen.width(i)(text) <= room {
		return text
	}
	fields := strings.Fields(text)
	tail := strings.Join(fields[max(1, len(fields)-2):], " ")
	head := strings.TrimSuffix(text, tail)
	return d.fit(head, i, room-d.pen.width(i)(" "+tail)) + " " + tail
}

func (d *document) wrap(x, y float64, number, near, far string) {
	d.pdf.SetLineWidth(hairline)
	d.pdf.Rect(x, y, wrapWide, wrapHigh, "D")
	if number == "" {
		number = "____"
	}
	i := ink{13, true}
	d.pen.squeezed(x+9.5, y+wrapHigh/2+1.7, i, 1, d.fit(d.printable(number), i, 17))
	d.pdf.Line(x+19, y, x+19, y+wrapHigh)
	d.text(x+20, y+1.4, firm, d.fitEnd(near, firm, wrapWide-22))
	d.text(x+20, y+7, small, d.fitEnd(far, small, wrapWide-22))
}
