package paper

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// Warning is a letter that could not be printed, and where it first stands.
type Warning struct {
	Letter rune
	// Text is the label or sentence that holds it.
	Text string
}

func (w Warning) String() string {
	return fmt.Sprintf("no font at hand prints %q (U+%04X) of %q; it stands as %s", w.Letter, w.Letter, w.Text, shown(w.Letter))
}

func shown(r rune) string { return fmt.Sprintf("[U+%04X]", r) }

// face is one font: what it is called in the document, its bytes, and which
// letters it holds.
type face struct {
	name       string
	data, bold []byte
	font       *sfnt.Font
}

// faces are tried in order for each letter. The first is the Go font (Latin,
// Greek and Cyrillic; BSD licence), which may be embedded. They serve one
// document: what was found out about a letter is kept.
type faces struct {
	all   []face
	known map[rune]int
}

func newFaces(more [][]byte) (faces, error) {
	all := []face{{name: "own", data: goregular.TTF, bold: gobold.TTF}}
	for i, data := range more {
		all = append(all, face{name: fmt.Sprintf("more%d", i+1), data: data, bold: data})
	}
	for i := range all {
		font, err := outlines(all[i].data)
		if err != nil {
			return faces{}, fmt.Errorf("font %d cannot be embedded: %w", i, err)
		}
		all[i].font = font
	}
	return faces{all: all, known: map[rune]int{}}, nil
}

// outlines reads a font of TrueType outlines. Other outlines are good fonts too,
// but the document cannot hold them.
func outlines(data []byte) (*sfnt.Font, error) {
	if !bytes.HasPrefix(data, []byte{0, 1, 0, 0}) && !bytes.HasPrefix(data, []byte("true")) {
		return nil, errors.New("it has no TrueType outlines; give a single .ttf file")
	}
	return sfnt.Parse(data)
}

// none is the place of a face that does not exist.
const none = -1

// holding finds the face that prints a letter.
func (f faces) holding(r rune) (face int, ok bool) {
	face, known := f.known[r]
	if !known {
		face = f.find(r)
		f.known[r] = face
	}
	return face, face != none
}

func (f faces) find(r rune) int {
	if needsShaping(r) {
		return none
	}
	var b sfnt.Buffer
	for i := range f.all {
		if index, err := f.all[i].font.GlyphIndex(&b, r); err == nil && index != 0 {
			return i
		}
	}
	return none
}

// needsShaping tells letters that only come out right when they are joined or
// set from right to left. Printed one by one they would read wrongly, which is
// worse than a code point that anyone sees to be one. Letters beyond the basic
// plane cannot be written with the fonts of the document.
func needsShaping(r rune) bool {
	return r > 0xFFFF || unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko,
		unicode.Devanagari, unicode.Bengali, unicode.Gurmukhi, unicode.Gujarati, unicode.Oriya, unicode.Tamil,
		unicode.Telugu, unicode.Kannada, unicode.Malayalam, unicode.Sinhala, unicode.Khmer, unicode.Myanmar,
		unicode.Tibetan, unicode.Mongolian)
}

// run is a stretch of text in one face.
type run struct {
	face int
	text string
}

// runs cuts a text into stretches of one face. Letters that no face holds are
// replaced by their code points and reported.
func (f faces) runs(text string, missing func(rune)) []run {
	var all []run
	add := func(i int, s string) {
		if n := len(all); n > 0 && all[n-1].face == i {
			all[n-1].text += s
			return
		}
		all = append(all, run{i, s})
	}
	for _, r := range text {
		if i, ok := f.holding(r); ok {
			add(i, string(r))
			continue
		}
		missing(r)
		add(0, shown(r))
	}
	return all
}

// printable replaces what cannot be printed, so that widths are measured on the
// text that will stand there.
func (f faces) printable(text string, missing func(rune)) string {
	var b strings.Builder
	for _, run := range f.runs(text, missing) {
		b.WriteString(run.text)
	}
	return b.String()
}
