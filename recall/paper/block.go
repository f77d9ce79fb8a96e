package paper

import (
	"strings"

	"bayhand/recall/words"
)

// row is one strip of a page that is never cut in two; draw is given its top.
type row struct {
	height float64
	draw   func(y float64)
	// begins is the title of the part that begins with it; empty for any other row.
	begins string
}

// block is what stays together on one page as long as it fits on any.
type block []row

func (b block) height() float64 {
	var sum float64
	for _, r := range b {
		sum += r.height
	}
	return sum
}

// part has a part of the paper begin with a block.
func (b block) part(title string) block {
	b[0].begins = title
	return b
}

func space(height float64) row { return row{height: height, draw: func(float64) {}} }

// Columns of a step, from the left margin: the box, its number above the verb,
// what to do, and at the right margin the length.
const (
	boxSide  = 10.0
	numberAt = 14.0
	textAt   = 38.0
	lengthIs = 24.0
	// above and below a step, to the rules.
	breath = 3.2
)

// step is one line of the sheet as a block.
func (d *document) step(l words.Line) block {
	b := append(block{d.ruled(), space(breath), d.mark(l)}, d.action(l)...)
	for _, s := range details(l) {
		b = append(b, d.paragraph(textAt, small, arrowed(s))...)
	}
	if d.unprintable(l) {
		b = append(b, d.paragraph(textAt, small, words.Put("in names: {names}", "names", l.Names))...)
	}
	// The box needs its height even beside a single line.
	if short := boxSide + breath - b.height(); short > 0 {
		b = append(b, space(short))
	}
	return append(b, space(breath))
}

func (d *document) ruled() row {
	return row{height: 0, draw: func(y float64) { d.rule(d.left, d.rightEdge(), y, 0.15) }}
}

// mark is the box with the number and the verb beside it. It takes no height of
// its own: what to do stands beside it too.
func (d *document) mark(l words.Line) row {
	number := d.fit(d.printable(l.ID), large, textAt-numberAt-2)
	verb := d.fit(d.printable(l.Verb), small, textAt-numberAt-1)
	return row{draw: func(y float64) {
		if l.By == "" {
			d.box(d.left, y, boxSide)
		}
		d.text(d.left+numberAt, y, large, number)
		d.text(d.left+numberAt, y+large.height()-0.8, small, verb)
	}}
}

// action sets the places large: side by side where they fit, else one beneath
// the other with the arrow before the second. What a matrix does is set smaller,
// since nobody has to go there.
func (d *document) action(l words.Line) block {
	if l.By != "" {
		return d.paragraph(textAt, middle, l.What())
	}
	a := l.Action
	from, to := d.printable(a.From), d.printable(a.To)
	gap, joint := 3.0, 3+arrowLong+3
	if a.Joint == words.Then {
		from = words.Put("{jack}, then", "jack", from)
		gap, joint = 1.5, 1.5
	}
	room := d.textWidth() - textAt - lengthIs
	measure := d.pen.width(large)
	if a.Joint == words.Alone || measure(from)+joint+measure(to) > room {
		b := d.places(from, false, room)
		if a.Joint != words.Alone {
			b = append(b, d.places(to, a.Joint == words.Onward, room)...)
		}
		return d.withLength(b, l.Length)
	}
	return d.withLength(block{{height: large.height(), draw: func(y float64) {
		x := d.left + textAt
		d.text(x, y, large, from)
		if a.Joint == words.Onward {
			d.arrow(x+measure(from)+gap, y+large.height()/2)
		}
		d.text(x+measure(from)+joint, y, large, to)
	}}}, l.Length)
}

func (d *document) places(text string, arrow bool, room float64) block {
	var b block
	indent := 0.0
	if arrow {
		indent = arrowLong + 3
	}
	for i, s := range wrap(text, room-indent, d.pen.width(large)) {
		b = append(b, row{height: large.height(), draw: func(y float64) {
			if arrow && i == 0 {
				d.arrow(d.left+textAt, y+large.height()/2)
			}
			d.text(d.left+textAt+indent, y, large, s)
		}})
	}
	return b
}

func (d *document) withLength(b block, length string) block {
	if length == "" || len(b) == 0 {
		return b
	}
	first := b[0]
	b[0].draw = func(y float64) {
		first.draw(y)
		d.pen.right(d.rightEdge(), y, large, length)
	}
	return b
}

// paragraph wraps a text in one ink, from an indent to the right margin.
func (d *document) paragraph(indent float64, i ink, text string) block {
	var b block
	for _, s := range d.lines(text, i, d.textWidth()-indent) {
		b = append(b, row{height: i.height(), draw: func(y float64) { d.text(d.left+indent, y, i, s) }})
	}
	return b
}

// fit shortens a text that must stand on one line.
func (d *document) fit(text string, i ink, room float64) string {
	measure := d.pen.width(i)
	if measure(text) <= room {
		return text
	}
	head, _ := cut(text, room-measure("..."), measure)
	return head + "..."
}

// unprintable says whether a line's places hold a letter that no font prints:
// then its names, which are plain letters, stand beside it.
func (d *document) unprintable(l words.Line) bool {
	found := false
	for _, s := range append([]string{l.Action.From, l.Action.To, l.By, l.Purpose}, l.Switching...) {
		d.faces.printable(s, func(rune) { found = true })
	}
	return found && l.Names != ""
}

func (d *document) list(title string, phrases []string) []block {
	if len(phrases) == 0 {
		return nil
	}
	b := append(block{space(5)}, d.paragraph(0, firm, title)...).part(title)
	blocks := []block{}
	for i, s := range phrases {
		item := d.paragraph(5, small, arrowed(strings.TrimSpace(s)))
		if i == 0 {
			// A title never stands alone at the foot of a page.
			item = append(b, item...)
		}
		blocks = append(blocks, item)
	}
	return blocks
}
