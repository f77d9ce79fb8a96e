package paper

import (
	"bayhand/recall/words"
)

// blocks are everything on the sheet, in order. What stands in the way comes
// before the steps, so that nobody begins without having seen it.
func (d *document) blocks() []block {
	s := d.sheet
	blocks := []block{d.front()}
	blocks = append(blocks, d.list("What stands in the way", s.Problems)...)
	var missing []string
	for _, m := range s.Missing {
		missing = append(missing, m.Want+": "+m.Because)
	}
	blocks = append(blocks, d.list("Cannot be had", missing)...)
	blocks = append(blocks, block{space(5)})
	for _, l := range s.Lines {
		blocks = append(blocks, d.step(l))
	}
	if len(s.Lines) > 0 {
		blocks = append(blocks, block{d.ruled()})
	}
	blocks = append(blocks, d.list("Falls silent", s.Loses)...)
	return append(blocks, d.list("Letters that could not be printed", d.unprinted())...)
}

// front is the title.
func (d *document) front() block {
	s := d.sheet
	studio := d.fit(d.printable(s.Studio), small, d.textWidth()-45)
	head := row{height: small.height() + 1.5, draw: func(y float64) {
		d.text(d.left, y, small, studio)
		if !s.Date.IsZero() {
			d.pen.right(d.rightEdge(), y, small, day(s))
		}
	}}
	b := append(block{head}, d.paragraph(0, huge, s.Session)...)
	b = append(b, d.paragraph(0, middle, s.Caption)...)
	return append(b, d.paragraph(0, middle, remains(s))...)
}

// unprinted tells on the page itself which letters stand as code points.
func (d *document) unprinted() []string {
	if len(d.warnings) == 0 {
		return nil
	}
	var all []string
	for _, w := range d.warnings {
		all = append(all, shown(w.Letter))
	}
	return []string{"No font at hand prints the letters that stand here as " + words.List(all) + "."}
}
