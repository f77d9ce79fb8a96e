package paper

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"rsc.io/qr"

	"bayhand/recall/words"
)

// RecallPDF writes the sheet as pages; for fonts and warnings see PDF. The same
// sheet gives the same bytes.
func RecallPDF(w io.Writer, r Recall, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: r.Session, Studio: r.Studio, Date: r.Date, Origin: r.Origin, Cautions: words.Cautions}, size, fonts)
	if err != nil {
		return nil, err
	}
	blocks, err := recall(d, r)
	if err != nil {
		return nil, err
	}
	d.print(blocks)
	return d.write(w)
}

// recall are all parts of the sheet, in the order in which they are needed.
func recall(d *document, r Recall) ([]block, error) {
	head, err := recallHead(d, r)
	if err != nil {
		return nil, err
	}
	blocks := []block{head}
	blocks = append(blocks, d.list("Problems", r.Problems)...)
	blocks = append(blocks, d.list("Not possible", r.Missing)...)
	blocks = append(blocks, d.heading("To do, in this order"))
	for _, s := range r.Steps {
		blocks = append(blocks, recallStep(d, s))
	}
	if len(r.Steps) == 0 {
		blocks = append(blocks, d.paragraph(0, middle, "Nothing is to be plugged or switched."))
	}
	var stays []string
	for _, c := range r.Stays {
		stays = append(stays, arrowed(c.sentence()))
	}
	blocks = append(blocks, d.list("In already, and stays", stays)...)
	if r.Since == "" {
		blocks = append(blocks, d.drawings(r)...)
	}
	for _, m := range r.Matrices {
		blocks = append(blocks, matrix(d, m))
	}
	settings, err := d.settings(r.Settings)
	if err != nil {
		return nil, err
	}
	blocks = append(blocks, settings...)
	for _, l := range r.Lists {
		blocks = append(blocks, d.list(l.Title, l.Lines)...)
	}
	blocks = append(blocks, pencil(d))
	return append(blocks, d.list("Letters that could not be printed", d.unprinted())...), nil
}

// heading begins a part of the sheet.
func (d *document) heading(title string) block {
	return append(block{space(4)}, d.paragraph(0, large, title)...).part(title)
}

// cameraSide is the side of the picture for a camera.
const cameraSide = 21.0

// recallHead is the title with what the sheet is, the notes, and a picture that a
// camera reads at its right.
func recallHead(d *document, r Recall) (block, error) {
	b := block{d.headline()}
	narrow := d.textWidth()
	if r.Address != "" {
		code, err := qr.Encode(r.Address, qr.M)
		if err != nil {
			return nil, err
		}
		narrow -= cameraSide + 6
		b = append(b, row{draw: func(y float64) { camera(d, code, d.rightEdge()-cameraSide, y+1) }})
	}
	beneath := b.height() + cameraSide + 3
	for _, s := range d.lines(r.Session, huge, narrow) {
		b = append(b, row{height: huge.height(), draw: func(y float64) { d.text(d.left, y, huge, s) }})
	}
	for _, s := range d.lines(r.known(), small, narrow) {
		b = append(b, row{height: small.height(), draw: func(y float64) { d.text(d.left, y, small, s) }})
	}
	if r.Address != "" && b.height() < beneath {
		b = append(b, space(beneath-b.height()))
	}
	if r.Notes != "" {
		b = append(b, space(1))
		b = append(b, d.paragraph(0, middle, r.Notes)...)
	}
	return b, nil
}

func camera(d *document, code *qr.Code, x, y float64) {
	dot := cameraSide / float64(code.Size)
	for row := range code.Size {
		for column := range code.Size {
			if code.Black(column, row) {
				d.pdf.Rect(x+float64(column)*dot, y+float64(row)*dot, dot, dot, "F")
			}
		}
	}
}

// Columns of a step of the recall sheet: the box to tick, the number, the mark of the
// cord, and what to do.
const (
	tickSide   = 5.0
	stepNumber = 7.5
	stepMark   = 20.0
	stepText   = 30.0
)

// recallStep is one step, which is never parted: both ends of its cord stand on one
// page.
func recallStep(d *document, s RecallStep) block {
	verb := d.fit(d.printable(s.Verb), small, 22)
	length := ""
	if s.Cord != nil {
		length = s.Cord.Length
	}
	b := block{d.ruled(), space(1), row{draw: func(y float64) {
		if s.By == "" {
			d.box(d.left, y+0.2, tickSide)
		}
		d.text(d.left+stepNumber, y+0.3, middle, s.Number)
		if s.Cord != nil {
			d.ringed(d.left+stepMark, y+tickSide/2+0.2, 2.7, s.Cord.Mark)
		}
		if length != "" {
			d.pen.right(d.rightEdge(), y+0.3, middle, length)
		}
	}}}
	strong := ink{middle.size, true}
	room := d.textWidth() - stepText - 24
	first := true
	for _, line := range d.lines(arrowed(s.What), strong, room-d.pen.width(small)(verb)-2) {
		lead := first
		first = false
		b = append(b, row{height: strong.height(), draw: func(y float64) {
			x := d.left + stepText
			if lead {
				d.text(x, y+0.6, small, verb)
			}
			d.text(x+d.pen.width(small)(verb)+2, y+0.3, strong, line)
		}})
	}
	b = append(b, d.paragraph(stepText, small, arrowed(s.detail()))...)
	if short := tickSide + 2.4 - b.height(); short > 0 {
		b = append(b, space(short))
	}
	return append(b, space(0.8))
}

// arrowed is a text with the arrow of a font.
func arrowed(text string) string { return strings.ReplaceAll(text, " -> ", " \u2192 ") }

// ringed is the mark of a cord in its ring, around a point.
func (d *document) ringed(x, y, radius float64, mark string) {
	d.pdf.SetLineWidth(0.45)
	d.pdf.Circle(x, y, radius, "D")
	size := radius * 2 * 1.75
	if len(mark) > 1 {
		size *= 0.72
	}
	i := ink{size, true}
	d.pen.squeezed(x, y+capitals*size*pointsToMM/2, i, 1, mark)
}

// matrix is a matrix as a list and as a grid, on one page where they fit on any.
func matrix(d *document, m MatrixSheet) block {
	title := append(d.heading(m.Name), d.paragraph(0, small, arrowed(strings.Join(m.lines(), "; ")+"."))...)
	if !m.closed() {
		return title
	}
	return append(title, grid(d, m)...)
}

// closed says whether any crosspoint is.
func (m MatrixSheet) closed() bool {
	return slices.ContainsFunc(m.Points, func(p MatrixLine) bool { return len(p.Inputs) > 0 })
}

// grid has a row an output and a column an input; a disc is where they meet.
func grid(d *document, m MatrixSheet) block {
	const label = 58.0
	side := min(4.4, (d.textWidth()-label)/float64(max(1, m.Inputs)))
	tiny := ink{min(7, side*1.9), false}
	head := row{height: 4.2, draw: func(y float64) {
		for n := range m.Inputs {
			if side >= 3 || (n+1)%4 == 0 {
				d.pen.squeezed(d.left+label+(float64(n)+0.5)*side, y+3.3, tiny, 1, strconv.Itoa(n+1))
			}
		}
	}}
	b := block{space(1.5), head}
	for _, p := range m.Points {
		text, short := words.Put("out {n}", "n", strconv.Itoa(p.Output)), ""
		if p.To != "" {
			text, short = fromTo(text, p.To), fromTo(text, cmp.Or(p.short, p.To))
		}
		i := ink{min(7, side*2.6), false} // rows of many stand close
		text = fitEnd(d, i, label-2, text, short)
		b = append(b, row{height: side, draw: func(y float64) { gridRow(d, p, m.Inputs, d.left+label, y, side, i, text) }})
	}
	return append(b, space(1))
}

func gridRow(d *document, p MatrixLine, inputs int, x, y, side float64, i ink, text string) {
	d.text(d.left, y+side/2-i.height()/2, i, text)
	d.pdf.SetLineWidth(0.1)
	for n := range inputs {
		d.pdf.Rect(x+float64(n)*side, y, side, side, "D")
	}
	for _, n := range p.Inputs {
		d.pdf.Circle(x+(float64(n)-0.5)*side, y+side/2, side*0.33, "F")
	}
}

// settings are a block a unit, two side by side, each with room for a pencil.
func (d *document) settings(all []GearSheet) ([]block, error) {
	if len(all) == 0 {
		return nil, nil
	}
	var blocks []block
	for i, g := range all {
		b, err := gear(d, i, g)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			b = append(d.heading("Settings"), b...)
		}
		blocks = append(blocks, b)
	}
	return blocks, nil
}

func gear(d *document, number int, g GearSheet) (block, error) {
	b := append(block{space(2)}, d.paragraph(0, ink{middle.size, true}, g.Label)...)
	if len(g.Picture) > 0 {
		picture, err := d.picture(number, g)
		if err != nil {
			return nil, err
		}
		b = append(b, picture)
	}
	half := d.textWidth() / 2
	for i := 0; i < len(g.Items); i += 2 {
		two := g.Items[i:min(i+2, len(g.Items))]
		b = append(b, row{height: 6.2, draw: func(y float64) {
			for k, item := range two {
				d.item(d.left+float64(k)*half, y, half-6, item)
			}
		}})
	}
	return b, nil
}

// item is one setting: a box, the knob and its value, and a line to write on.
func (d *document) item(x, y, width float64, i Item) {
	d.pdf.SetLineWidth(0.4)
	d.pdf.RoundedRect(x, y+1, 3.6, 3.6, 0.5, "1234", "D")
	name := d.fit(d.printable(i.Name), small, width*0.4)
	d.text(x+5.5, y+0.6, small, name)
	value := ink{small.size, true}
	at := x + 5.5 + d.pen.width(small)(name) + 2
	text := d.fit(d.printable(i.Value), value, x+width-at-14)
	d.text(at, y+0.6, value, text)
	from := at + d.pen.width(value)(text) + 2
	d.rule(min(from, x+width-12), x+width, y+5, 0.15)
}

// pencil is room for what is found out at the bay.
func pencil(d *document) block {
	b := d.heading("By hand")
	for range 3 {
		b = append(b, row{height: 8, draw: func(y float64) { d.rule(d.left, d.rightEdge(), y+7.5, 0.15) }})
	}
	return b
}
