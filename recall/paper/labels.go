package paper

import (
	"io"
	"time"

	"bayhand/model/measure"
	"bayhand/model/strip"
	"bayhand/recall/words"
)

// Labels are strips to print, cut out and slide in.
type Labels struct {
	Studio string
	// Title says what they are, such as the session that they name lines of.
	Title string
	Date  time.Time
	// Origin is what they were made from, with checksums.
	Origin string
	Strips []strip.Strip
}

// Margins of pages of strips, in millimetres, narrower so that more columns fit.
const stripMargin = 10.0

// StripRoom is how long a piece of a strip on paper of a size can be.
func StripRoom(size Size) measure.Length {
	return size.across().Width - measure.Length(2*stripMargin)*measure.Millimetre
}

// StripRuler measures texts as LabelsPDF sets them with the same fonts.
func StripRuler(fonts ...[]byte) (strip.Ruler, error) {
	d, err := newDocument(imprint{}, A4, fonts)
	if err != nil {
		return nil, err
	}
	return d.ruler(), nil
}

// LabelsPDF writes strips at their true size on paper that lies across. Each page
// has a ruler of 100 mm in both directions, since a printer may scale whatever it is
// asked. For fonts and warnings see PDF. The same labels give the same bytes.
func LabelsPDF(w io.Writer, l Labels, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{
		Title: l.Title, Studio: l.Studio, Date: l.Date, Origin: l.Origin, Scale: true,
		Cautions: []string{"Print at 100 %, without fitting to the page, and measure both rulers: 100 mm. Cut along the frames."},
	}, size.across(), fonts)
	if err != nil {
		return nil, err
	}
	d.margin, d.left = stripMargin, stripMargin
	d.foot = d.lines(d.foot[0], firm, d.textWidth()-rulerLong-8)
	d.every = d.rulers
	d.print(labels(d, l))
	return d.write(w)
}

// labels are a heading a bay, and under it its strips.
func labels(d *document, l Labels) []block {
	blocks := []block{labelsHead(d, l)}
	bay := ""
	for _, s := range l.Strips {
		var b block
		if s.Bay != bay || s.Piece == 1 {
			b = append(b, stripHead(d, s))
		}
		bay = s.Bay
		blocks = append(blocks, append(b, stripRow(d, s)))
	}
	if len(l.Strips) == 0 {
		blocks = append(blocks, d.paragraph(0, middle, "No strip differs."))
	}
	return append(blocks, legend(d, l)...)
}

func labelsHead(d *document, l Labels) block {
	return append(block{d.headline()}, d.paragraph(0, large, words.Clean(l.Title))...)
}

func stripHead(d *document, s strip.Strip) row {
	text := words.Clean(s.Label) + ", " + string(s.Row)
	text = d.fit(d.printable(text), small, d.textWidth())
	return row{height: small.height() + 3.6, draw: func(y float64) { d.text(d.left, y+0.4, small, text) }}
}

// stripRow is one piece with its marks around.
func stripRow(d *document, s strip.Strip) row {
	height := millimetres(s.Height)
	return row{height: height + 6.6, draw: func(y float64) { drawStrip(onPage{d.pen, d.left, y}, s) }}
}

// legend explains the signs that stand on the strips.
func legend(d *document, l Labels) []block {
	var signs, phantom, loud bool
	for _, s := range l.Strips {
		signs = signs || s.Row == strip.Between
		for _, c := range s.Cells {
			phantom = phantom || c.Caution == strip.Phantom
			loud = loud || c.Caution == strip.Loud
		}
	}
	var blocks []block
	add := func(when bool, text string) {
		if when {
			blocks = append(blocks, d.paragraph(0, small, text))
		}
	}
	add(signs, "Signs between the rows: a line is a normal; a bar across its end stands at the jack whose plug breaks it; two lines are jacks that are always joined; no line, jacks that are never.")
	add(phantom, "Heavy frame with 48 V: phantom power can be here. Switch it off, and wait, before anything is plugged.")
	add(loud, "Heavy frame with black sides and LOUD: it leads to a loudspeaker, to headphones, or to a power amplifier. Turn them down before anything is plugged.")
	return blocks
}

// rulers stand on each page: one across at the foot, one upright in the left margin.
func (d *document) rulers() {
	y := d.down - d.margin - 5
	c := onPage{pen: d.pen}
	drawRuler(c, d.rightEdge()-rulerLong, y, false)
	drawRuler(c, d.left-4, d.bottom()-2, true)
	d.pen.squeezed(d.rightEdge()-rulerLong/2, y+3.2, ink{7, false}, 1, "100 mm from end to end")
}
