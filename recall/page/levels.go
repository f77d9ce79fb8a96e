package page

import (
	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/recall/words"
)

// arrives are what an experienced hand would say of the levels at a destination,
// a line for each source and each thing; none for any other point.
func (p *page) arrives(now present, at name.Point) []string {
	var lines []string
	for _, a := range level.New(now.room, now.patch, level.Options{Quick: true}).At(at) {
		for i, look := range words.Looks(a) {
			if i == 0 {
				look = p.words.Point(a.Source.Point) + " " + look
			}
			lines = append(lines, look)
		}
	}
	return lines
}
