package paper

import (
	"codeberg.org/go-pdf/fpdf"

	"bayhand/model/measure"
	"bayhand/model/strip"
)

// canvas is what a strip is drawn on, in millimetres from its upper left corner. All
// is black on white.
type canvas interface {
	// line is as thick as said, and ends at its ends.
	line(x1, y1, x2, y2, thick float64)
	// frame is a rectangle whose line lies within it.
	frame(x, y, width, height, thick float64)
	// fill is a polygon of x and y in turn.
	fill(points ...float64)
	// middle sets one line of text around x on its base line.
	middle(x, base float64, i ink, squeeze float64, text string)
}

// onPage draws with a pen, moved to a place on the page.
type onPage struct {
	pen  *pen
	x, y float64
}

func (c onPage) line(x1, y1, x2, y2, thick float64) {
	c.pen.pdf.SetLineWidth(thick)
	c.pen.pdf.Line(c.x+x1, c.y+y1, c.x+x2, c.y+y2)
}

func (c onPage) frame(x, y, width, height, thick float64) {
	c.pen.pdf.SetLineWidth(thick)
	c.pen.pdf.Rect(c.x+x+thick/2, c.y+y+thick/2, width-thick, height-thick, "D")
}

func (c onPage) fill(points ...float64) {
	var corners []fpdf.PointType
	for i := 0; i+1 < len(points); i += 2 {
		corners = append(corners, fpdf.PointType{X: c.x + points[i], Y: c.y + points[i+1]})
	}
	c.pen.pdf.Polygon(corners, "F")
}

func (c onPage) middle(x, base float64, i ink, squeeze float64, text string) {
	c.pen.squeezed(c.x+x, c.y+base, i, squeeze, text)
}

// squeezed sets one line of text around x on its base line, its letters as wide as
// squeeze says in parts of their own width.
func (p *pen) squeezed(x, base float64, i ink, squeeze float64, text string) {
	text = p.printable(text)
	if squeeze != 1 {
		p.pdf.TransformBegin()
		p.pdf.TransformScaleX(100*squeeze, x, base)
		defer p.pdf.TransformEnd()
	}
	at := x - p.width(i)(text)/2
	for _, r := range p.faces.runs(text, p.missing(text)) {
		p.choose(r.face, i)
		p.pdf.Text(at, base, r.text)
		at += p.pdf.GetStringWidth(r.text)
	}
}

// ruler measures texts for strips as they will be set.
func (p *pen) ruler() strip.Ruler {
	return func(text string, bold bool, size float64) measure.Length {
		return measure.Length(p.width(ink{size, bold})(p.printable(text)) * float64(measure.Millimetre))
	}
}
