package paper

import (
	"io"
	"time"

	"bayhand/recall/words"
)

// Checkup is a form to be ticked with a pen and filed: what is looked at, in parts.
type Checkup struct {
	Title, Studio, Session string
	Date                   time.Time
	Origin                 string
	// Says stands under the title.
	Says  string
	Parts []CheckupPart
}

// CheckupPart is a list to be ticked, or a table to be filled in.
type CheckupPart struct {
	Title string
	// Ticks have a box each.
	Ticks []string
	// Columns are the heads of a table, with the parts of the width where each begins;
	// Rows hold its texts, where an empty one is to be filled in by hand.
	Columns []CheckupColumn
	Rows    [][]string
}

// CheckupColumn is one column of a table.
type CheckupColumn struct {
	Head string
	// From is where it begins, 0 to 1 of the width.
	From float64
}

// CheckupPDF writes the form. For fonts and warnings see PDF. The same form gives the
// same bytes.
func CheckupPDF(w io.Writer, c Checkup, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: c.Title, Studio: words.Clean(c.Studio), Date: c.Date, Origin: c.Origin, Cautions: words.Cautions}, size, fonts)
	if err != nil {
		return nil, err
	}
	head := append(block{d.headline()}, d.paragraph(0, huge, c.Title)...)
	if c.Session != "" {
		head = append(head, d.paragraph(0, middle, c.Session)...)
	}
	head = append(head, d.paragraph(0, small, c.Says)...)
	head = append(head, space(2))
	head = append(head, d.paragraph(0, small, "Day: ______________   By: ______________________   Listened with: ______________________")...)
	blocks := []block{head}
	for _, p := range c.Parts {
		blocks = append(blocks, checkupPart(d, p)...)
	}
	d.print(blocks)
	return d.write(w)
}

const (
	checkSide   = 5.0
	checkText   = 8.0
	tableLine   = 6.4 // high enough for a pen
	checkBreath = 1.2
)

func checkupPart(d *document, p CheckupPart) []block {
	title := d.heading(p.Title)
	var blocks []block
	for _, t := range p.Ticks {
		blocks = append(blocks, tick(d, t))
	}
	if len(p.Columns) > 0 {
		blocks = append(blocks, block{tableHead(d, p)})
		for _, r := range p.Rows {
			blocks = append(blocks, block{tableRow(d, p, r)})
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	// A title is never left alone at the foot of a page.
	blocks[0] = append(title, blocks[0]...)
	if len(p.Columns) > 0 && len(blocks) > 1 && len(p.Ticks) == 0 {
		blocks[0] = append(blocks[0], blocks[1]...)
		blocks = append(blocks[:1], blocks[2:]...)
	}
	return blocks
}

// tick is a text with a box before it.
func tick(d *document, text string) block {
	b := block{row{draw: func(y float64) { d.box(d.left, y, checkSide) }}}
	b = append(b, d.paragraph(checkText, middle, text)...)
	if short := checkSide - b.height(); short > 0 {
		b = append(b, space(short))
	}
	return append(b, space(checkBreath))
}

func tableHead(d *document, p CheckupPart) row {
	return row{height: firm.height() + 1, draw: func(y float64) {
		for k, c := range p.Columns {
			at, to := column(d, p, k)
			d.text(at+1, y, firm, d.fit(d.printable(c.Head), firm, to-at-2))
		}
	}}
}

func tableRow(d *document, p CheckupPart, texts []string) row {
	return row{height: tableLine, draw: func(y float64) {
		d.rule(d.left, d.rightEdge(), y, 0.12)
		d.rule(d.left, d.rightEdge(), y+tableLine, 0.12)
		d.pdf.SetLineWidth(0.12)
		d.pdf.Line(d.rightEdge(), y, d.rightEdge(), y+tableLine)
		for k, text := range texts {
			at, to := column(d, p, k)
			d.pdf.Line(at, y, at, y+tableLine)
			d.text(at+1, y+1, small, d.fit(d.printable(text), small, to-at-2))
		}
	}}
}

// column is where a column begins and ends, in millimetres.
func column(d *document, p CheckupPart, k int) (from, to float64) {
	from, to = d.left+p.Columns[k].From*d.textWidth(), d.rightEdge()
	if k+1 < len(p.Columns) {
		to = d.left + p.Columns[k+1].From*d.textWidth()
	}
	return from, to
}
