package paper

import (
	"bayhand/recall/words"
)

// cords are everything on the sheet of what is left to plug, in order. What stands
// in the way comes before the steps, so that nobody begins without having seen it.
func (d *document) cords(s Sheet) []block {
	blocks := []block{front(d, s)}
	blocks = append(blocks, d.list("Problems", s.Problems)...)
	blocks = append(blocks, d.list("Notes", s.Advice)...)
	var missing []string
	for _, m := range s.Missing {
		missing = append(missing, m.Want+": "+m.Because)
	}
	blocks = append(blocks, d.list("Not possible", missing)...)
	blocks = append(blocks, d.list(s.aboutTitle(), s.Notes)...)
	blocks = append(blocks, d.list("Settings", s.Settings)...)
	blocks = append(blocks, block{space(5)})
	for _, l := range s.Lines {
		blocks = append(blocks, d.step(l))
	}
	if len(s.Lines) > 0 {
		blocks = append(blocks, block{d.ruled()})
	}
	blocks = append(blocks, d.list("Will lose signal", s.Loses)...)
	return append(blocks, d.list("Letters that could not be printed", d.unprinted())...)
}

// front is the title.
func front(d *document, s Sheet) block {
	b := append(block{d.headline()}, d.paragraph(0, huge, s.Session)...)
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
	return []string{words.Put("No font at hand prints the letters that stand here as {codes}.", "codes", words.List(all))}
}

// headline is the room's name and the day, above the title.
func (d *document) headline() row {
	studio := d.fit(d.printable(words.Clean(d.imprint.Studio)), small, d.textWidth()-45)
	return row{height: small.height() + 1.5, draw: func(y float64) {
		d.text(d.left, y, small, studio)
		if !d.imprint.Date.IsZero() {
			d.pen.right(d.rightEdge(), y, small, dayOf(d.imprint.Date))
		}
	}}
}
