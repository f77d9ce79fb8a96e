package words

import (
	"slices"
	"strings"

	"bayhand/model/name"
)

// Mended says what a person does once jacks are mended: those that the studio's file tags as
// faulty in one sentence, and those that somebody tagged in another.
func (w *Places) Mended(jacks, inFile []name.Point) []string {
	var ofFile, tagged []name.Point
	for _, j := range jacks {
		switch {
		case slices.Contains(slices.Concat(ofFile, tagged), j):
		case slices.Contains(inFile, j):
			ofFile = append(ofFile, j)
		default:
			tagged = append(tagged, j)
		}
	}
	var said []string
	if len(tagged) > 0 {
		said = append(said, Count(len(tagged), "When {jacks} is mended: bayhand tag {name} --ok", "When {jacks} are mended, for each: bayhand tag {name} --ok",
			"jacks", w.Said(folded(tagged)), "name", w.Panel(tagged[0].String())))
	}
	if len(ofFile) > 0 {
		said = append(said, Count(len(ofFile), "When {jacks} is mended: take {names} out of faulty: in the studio's file", "When {jacks} are mended: take {names} out of faulty: in the studio's file",
			"jacks", w.Said(folded(ofFile)), "names", w.Panel(folded(ofFile))))
	}
	return said
}

func folded(jacks []name.Point) string { return strings.Join(name.Fold(jacks), ", ") }
