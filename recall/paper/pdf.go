package paper

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"bayhand/recall/words"
)

// Size is a size of paper, upright.
type Size uint8

const (
	// SizeUnsaid is printed as A4.
	SizeUnsaid Size = iota
	// A4 is 210 mm by 297 mm (ISO 216).
	A4
	// Letter is 8.5 in by 11 in (ANSI/ASME Y14.1).
	Letter
)

// String is the word that ParseSize reads: a4 or letter.
func (s Size) String() string {
	switch s {
	case Letter:
		return "letter"
	case A4, SizeUnsaid:
	}
	return "a4"
}

// ParseSize reads a4 or letter, in any case.
func ParseSize(text string) (Size, error) {
	switch strings.ToLower(text) {
	case "a4":
		return A4, nil
	case "letter":
		return Letter, nil
	}
	return SizeUnsaid, fmt.Errorf("%q is no size of paper known here; write a4 or letter", text)
}

// size in millimetres.
func (s Size) size() (width, height float64) {
	switch s {
	case Letter:
		return 215.9, 279.4
	case A4, SizeUnsaid:
	}
	return 210, 297
}

// PDF writes the sheet as pages to print and tick by hand. The fonts are tried in
// order for letters that the built-in one (Latin, Greek, Cyrillic) lacks; they are
// TrueType files with outlines, whose licence must allow embedding. Letters that
// none of them prints stand as their code points and are returned. The same sheet
// gives the same bytes. Nothing is written when there is an error.
func PDF(w io.Writer, sheet Sheet, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(sheet, size, fonts)
	if err != nil {
		return nil, err
	}
	d.print()
	var out bytes.Buffer
	if err := d.pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("the page could not be made: %w", err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return nil, err
	}
	return d.warnings, nil
}

// Margins in millimetres; every printer reaches within them.
const margin = 15.0

// document is a sheet on its way to pages.
type document struct {
	*pen
	sheet        Sheet
	left         float64
	across, down float64
	foot         []string
}

func newDocument(sheet Sheet, size Size, fonts [][]byte) (*document, error) {
	all, err := newFaces(fonts)
	if err != nil {
		return nil, err
	}
	width, height := size.size()
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(margin, margin, margin)
	pdf.SetCatalogSort(true)
	date := sheet.Date
	if date.IsZero() {
		// Without a date of its own the file still has to be the same each time.
		date = time.Unix(0, 0)
	}
	pdf.SetCreationDate(date.UTC())
	pdf.SetModificationDate(date.UTC())
	pdf.SetTitle(sheet.Session, true)
	pdf.SetSubject(sheet.Studio, true)
	pdf.SetCreator("bayhand", false)
	for _, f := range all.all {
		pdf.AddUTF8FontFromBytes(f.name, "", f.data)
		pdf.AddUTF8FontFromBytes(f.name, "B", f.bold)
	}
	d := &document{
		pen:   &pen{pdf: pdf, faces: all, warned: map[rune]bool{}},
		sheet: sheet, left: margin, across: width, down: height,
	}
	d.foot = d.lines(strings.Join(words.Cautions, " "), firm, d.textWidth())
	return d, nil
}

func (d *document) rightEdge() float64 { return d.across - margin }
func (d *document) textWidth() float64 { return d.across - 2*margin }

// print lays everything out, deals it to pages, and draws them.
func (d *document) print() {
	pages := deal(d.blocks(), d.bottom()-margin, d.bottom()-d.top())
	for i, page := range pages {
		d.pdf.AddPage()
		y := margin
		if i > 0 {
			y = d.top()
			d.running()
		}
		for _, r := range page {
			r.draw(y)
			y += r.height
		}
		d.footer(i+1, len(pages))
	}
}

// top is where the second and later pages begin, below their running head.
func (d *document) top() float64 { return margin + small.height() + 4 }

// bottom is where the cautions begin.
func (d *document) bottom() float64 {
	return d.down - margin - float64(len(d.foot)+1)*small.height() - 4
}

// deal puts blocks on pages. A block that fits on no page is cut between its
// rows.
func deal(blocks []block, first, later float64) [][]row {
	pages := [][]row{nil}
	left := first
	turn := func() {
		pages = append(pages, nil)
		left = later
	}
	for _, b := range blocks {
		if b.height() > left && len(pages[len(pages)-1]) > 0 && b.height() <= later {
			turn()
		}
		for _, r := range b {
			if r.height > left && len(pages[len(pages)-1]) > 0 {
				turn()
			}
			pages[len(pages)-1] = append(pages[len(pages)-1], r)
			left -= r.height
		}
	}
	return pages
}

// running heads the second and later pages.
func (d *document) running() {
	d.text(d.left, margin, firm, d.fit(d.printable(d.sheet.Session), firm, d.textWidth()*0.6))
	d.pen.right(d.rightEdge(), margin, small, d.fit(d.printable(d.sheet.Studio), small, d.textWidth()*0.35))
}

func (d *document) footer(page, of int) {
	y := d.bottom() + 2
	d.rule(d.left, d.rightEdge(), y, 0.6)
	y += 2
	for _, s := range d.foot {
		d.text(d.left, y, firm, s)
		y += small.height()
	}
	d.pen.right(d.rightEdge(), y, small, fmt.Sprintf("page %d of %d", page, of))
}
