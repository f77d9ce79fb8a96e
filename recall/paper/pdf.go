package paper

import (
	"io"

	"bayhand/recall/words"
)

// PDF writes the sheet as pages to print and tick by hand. The fonts are tried in
// order for letters that the built-in one (Latin, Greek, Cyrillic) lacks; they are
// TrueType files with outlines, whose licence must allow embedding. Letters that
// none of them prints stand as their code points and are returned. The same sheet
// gives the same bytes. Nothing is written when there is an error.
func PDF(w io.Writer, sheet Sheet, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: sheet.Session, Studio: sheet.Studio, Date: sheet.Date, Origin: sheet.Origin, Cautions: words.Cautions}, size, fonts)
	if err != nil {
		return nil, err
	}
	d.print(d.cords(sheet))
	return d.write(w)
}
