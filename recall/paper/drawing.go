package paper

import (
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/strip"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// drawings are the bays with what is plugged, each jack with the mark of its cord.
func (d *document) drawings(r Recall) []block {
	at := map[name.Point]string{}
	for joint, mark := range r.marks {
		for _, p := range joint {
			if !p.IsZero() {
				at[p] = mark
			}
		}
	}
	var blocks []block
	for _, b := range r.room.Bays {
		used := false
		for p := range at {
			used = used || p.Owner == b.Name
		}
		if !used {
			continue
		}
		drawn := d.bays(r.room, b, at)
		if len(blocks) == 0 && len(drawn) > 0 {
			drawn[0] = append(d.heading("The bays, each plug with the mark of its cord"), drawn[0]...)
		}
		blocks = append(blocks, drawn...)
	}
	return blocks
}

// closest is the way from column to column in a drawing, in millimetres, at which a
// mark can still be read.
const closest = 5.5

// bays draws one bay in rows of so many columns that they can be read.
func (d *document) bays(s *studio.Studio, b studio.Bay, marks map[name.Point]string) []block {
	most := int(d.textWidth() / closest)
	parts := (b.Pairs() + most - 1) / most
	columns := (b.Pairs() + parts - 1) / parts
	pitch := min(9, d.textWidth()/float64(columns))
	scaled := b
	scaled.Pitch = measure.Length(pitch * float64(measure.Millimetre))
	scaled.Strips = studio.Strips{Above: drawnStrip, Below: drawnStrip, Between: drawnBetween}
	made := strip.Of(s, scaled, strip.Options{Paper: scaled.Pitch*measure.Length(columns) + strip.Tab + 1, Ruler: d.ruler()})
	var blocks []block
	for piece := 1; ; piece++ {
		part := map[strip.Row]strip.Strip{}
		for _, one := range made {
			if one.Piece == piece {
				part[one.Row] = one
			}
		}
		if len(part) == 0 {
			return blocks
		}
		var k block
		if piece == 1 {
			called := words.Clean(orName(b.Label, b.Name))
			k = append(block{space(2)}, d.paragraph(0, ink{small.size, true}, called)...).part(called)
		}
		blocks = append(blocks, append(k, bayPart(d, part, pitch, marks), space(2)))
	}
}

func orName(label, name string) string {
	if label == "" {
		return name
	}
	return label
}

// Heights in a drawing of a bay.
const (
	drawnStrip   = 8 * measure.Millimetre
	drawnBetween = 4500 * measure.Micrometre
)

// bayPart draws a stretch of a bay: strip, upper jacks, signs, lower jacks, strip.
func bayPart(d *document, part map[strip.Row]strip.Strip, pitch float64, marks map[name.Point]string) row {
	radius := min(2.4, pitch*0.44)
	jacks := 2*radius + 1.4
	outer, between := millimetres(drawnStrip), millimetres(drawnBetween)
	return row{height: 2*outer + between + 2*jacks + 1, draw: func(y float64) {
		d.drawn(part[strip.Above], y)
		y += outer
		d.jacks(part[strip.Above], y+jacks/2, radius, marks)
		y += jacks
		signs := onPage{d.pen, d.left, y}
		drawSigns(signs, part[strip.Between], between)
		y += between
		d.jacks(part[strip.Below], y+jacks/2, radius, marks)
		d.drawn(part[strip.Below], y+jacks)
	}}
}

// drawn is a strip without marks to cut by.
func (d *document) drawn(s strip.Strip, y float64) {
	c := onPage{d.pen, d.left, y}
	c.frame(0, 0, millimetres(s.Length), millimetres(s.Height), hairline)
	drawNames(c, s, millimetres(s.Height))
}

func (d *document) jacks(s strip.Strip, y, radius float64, marks map[name.Point]string) {
	for _, c := range s.Cells {
		x := d.left + millimetres(c.Centre)
		mark, plugged := marks[c.Jack]
		if plugged {
			d.ringed(x, y, radius, mark)
			continue
		}
		d.pdf.SetLineWidth(0.15)
		d.pdf.Circle(x, y, radius*0.55, "D")
	}
}
