package words

import (
	"regexp"

	"bayhand/model/studio"
)

// jackName finds what may be jacks of a bay in a text, one or a run of them: main/t7,
// main/b1-8.
var jackName = regexp.MustCompile(`\b([a-z][a-z0-9-]*)/([tb])([0-9][0-9,-]*)`)

// Panel is a text with the names of jacks as they are printed on the panel: where the
// rows of main are called a and b, main/t7 is main/a7. Whatever a person types may
// have either name.
func (w *Places) Panel(text string) string {
	return jackName.ReplaceAllStringFunc(text, func(found string) string {
		part := jackName.FindStringSubmatch(found)
		rows := w.rows[part[1]]
		row := rows[0]
		if part[2] == studio.Bottom {
			row = rows[1]
		}
		if row == "" {
			return found
		}
		return part[1] + "/" + row + part[3]
	})
}
