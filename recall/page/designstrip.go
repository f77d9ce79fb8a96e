package page

import (
	"strings"

	"bayhand/model/arrange"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// designLetter is how wide a letter of a name is taken to be.
const designLetter = 1.5

// strips are the names of one row, as strips of paper have them: ports that go on share one.
func (d *designBay) strips(b *studio.Bay, columns []arrange.Column, y float64, part func(arrange.Column) name.Point) {
	var row []arrange.Column
	for _, c := range columns {
		if c.Bay == b.Name {
			row = append(row, arrange.Column{Bay: c.Bay, Pair: c.Pair, Top: part(c)})
		}
	}
	pitch := pitchOf(*b)
	for _, r := range arrange.Runs(row) {
		x, width := float64(r.From-1)*pitch, float64(r.To-r.From+1)*pitch
		strip := designPart{X: x, Y: y, Width: width, Blank: r.Top == "-"}
		owner, ports, _ := strings.Cut(strings.Trim(r.Top, "-"), "/")
		for line, word := range []string{owner, ports} {
			if word != "" {
				strip.Words = append(strip.Words, designWord{x + width/2, y + 3.4 + 3.2*float64(line), shortened(word, width)})
			}
		}
		d.Parts = append(d.Parts, strip)
	}
}

// shortened is a text as far as it has room.
func shortened(text string, width float64) string {
	letters := []rune(text)
	if most := int(width / designLetter); len(letters) > most {
		return string(letters[:max(0, most)])
	}
	return text
}
