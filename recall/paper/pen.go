package paper

import (
	"codeberg.org/go-pdf/fpdf"
)

// ink is how a text is set: its size in points, and whether it is bold.
type ink struct {
	size float64
	bold bool
}

// Sizes are few, so that the eye finds what matters from arm's length.
var (
	huge   = ink{20, true}
	large  = ink{15, true}
	middle = ink{11, false}
	small  = ink{9.5, false}
	firm   = ink{9.5, true}
)

const (
	pointsToMM = 25.4 / 72
	// leading is the distance of two lines in parts of the size.
	leading = 1.35
)

func (i ink) height() float64 { return i.size * leading * pointsToMM }

// pen draws on the pages of one document, in millimetres from the upper left
// corner. All is black on white, so that any printer and copier keeps it.
type pen struct {
	pdf      *fpdf.Fpdf
	faces    faces
	warnings []Warning
	warned   map[rune]bool
}

func (p *pen) missing(text string) func(rune) {
	return func(r rune) {
		if !p.warned[r] {
			p.warned[r] = true
			p.warnings = append(p.warnings, Warning{Letter: r, Text: text})
		}
	}
}

// printable is the text as it can be printed; what cannot is reported.
func (p *pen) printable(text string) string {
	return p.faces.printable(text, p.missing(text))
}

func (p *pen) choose(face int, i ink) {
	style := ""
	if i.bold {
		style = "B"
	}
	p.pdf.SetFont(p.faces.all[face].name, style, i.size)
}

func (p *pen) width(i ink) ruler {
	return func(text string) float64 {
		var sum float64
		for _, r := range p.faces.runs(text, p.missing(text)) {
			p.choose(r.face, i)
			sum += p.pdf.GetStringWidth(r.text)
		}
		return sum
	}
}

// lines wraps a text, code points in place of what cannot be printed.
func (p *pen) lines(text string, i ink, width float64) []string {
	return wrap(p.printable(text), width, p.width(i))
}

// text sets one line with its top at y.
func (p *pen) text(x, y float64, i ink, text string) {
	// The base line lies where the capitals of a line in the middle of its
	// leading stand on: 0.72 of the size is the height of the Go font's capitals.
	base := y + (i.height()+0.72*i.size*pointsToMM)/2
	for _, r := range p.faces.runs(text, p.missing(text)) {
		p.choose(r.face, i)
		p.pdf.Text(x, base, r.text)
		x += p.pdf.GetStringWidth(r.text)
	}
}

func (p *pen) right(x, y float64, i ink, text string) {
	p.text(x-p.width(i)(text), y, i, text)
}

func (p *pen) rule(x1, x2, y, thick float64) {
	p.pdf.SetLineWidth(thick)
	p.pdf.Line(x1, y, x2, y)
}

// box is what a person ticks.
func (p *pen) box(x, y, side float64) {
	p.pdf.SetLineWidth(0.6)
	p.pdf.RoundedRect(x, y, side, side, 1.2, "1234", "D")
}

// arrow points from x to the right, at the height y.
func (p *pen) arrow(x, y float64) {
	p.pdf.SetLineWidth(0.7)
	p.pdf.Line(x, y, x+arrowLong-1.5, y)
	p.pdf.Polygon([]fpdf.PointType{{X: x + arrowLong, Y: y}, {X: x + arrowLong - 2.6, Y: y - 1.5}, {X: x + arrowLong - 2.6, Y: y + 1.5}}, "F")
}

const arrowLong = 8.0
