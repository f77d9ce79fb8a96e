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

// imprint is what every paper says of itself.
type imprint struct {
	// Title is what the paper is about, Studio the room's name.
	Title, Studio string
	// Date is printed as a day; the zero Time leaves it out.
	Date time.Time
	// Origin is what the paper was made from, with checksums; it stands at the foot of
	// each page.
	Origin string
	// Cautions stand at the foot of each page.
	Cautions []string
	// Scale is true for paper that is only right at its true size.
	Scale bool
}

// Margins in millimetres; every printer reaches within them.
const usualMargin = 15.0

// document is a paper on its way to pages.
type document struct {
	*pen
	imprint      imprint
	margin, left float64
	across, down float64
	foot         []string
	// every draws what stands on each page beside its rows; nil for nothing.
	every func()
}

func newDocument(i imprint, size Size, fonts [][]byte) (*document, error) {
	all, err := newFaces(fonts)
	if err != nil {
		return nil, err
	}
	width, height := size.upright()
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCatalogSort(true)
	pdf.SetLang("en")
	date := i.Date
	if date.IsZero() {
		// Without a date of its own the file still has to be the same each time.
		date = time.Unix(0, 0)
	}
	pdf.SetCreationDate(date.UTC())
	pdf.SetModificationDate(date.UTC())
	pdf.SetTitle(i.Title, true)
	pdf.SetSubject(i.Studio, true)
	pdf.SetCreator("bayhand", false)
	for _, f := range all.all {
		pdf.AddUTF8FontFromBytes(f.name, "", f.data)
		pdf.AddUTF8FontFromBytes(f.name, "B", f.bold)
	}
	d := &document{
		pen:     &pen{pdf: pdf, faces: all, warned: map[rune]bool{}},
		imprint: i, margin: usualMargin, left: usualMargin, across: width, down: height,
	}
	d.foot = d.lines(strings.Join(i.Cautions, " "), firm, d.textWidth())
	return d, nil
}

// write gives out the whole document, or nothing.
func (d *document) write(w io.Writer) ([]Warning, error) {
	var out bytes.Buffer
	if err := d.pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("the page could not be made: %w", err)
	}
	made := out.Bytes()
	if d.imprint.Scale {
		var err error
		if made, err = unscaled(made); err != nil {
			return nil, err
		}
	}
	if _, err := w.Write(made); err != nil {
		return nil, err
	}
	return d.warnings, nil
}

func (d *document) rightEdge() float64 { return d.across - d.margin }
func (d *document) textWidth() float64 { return d.across - 2*d.margin }

// print lays everything out, deals it to pages, and draws them.
func (d *document) print(blocks []block) {
	pages := deal(blocks, d.bottom()-d.margin, d.bottom()-d.top())
	for i, page := range pages {
		d.pdf.AddPage()
		y := d.margin
		if i > 0 {
			y = d.top()
			d.running(page.goesOn)
		}
		for _, r := range page.rows {
			r.draw(y)
			y += r.height
		}
		if d.every != nil {
			d.every()
		}
		d.footer(i+1, len(pages))
	}
}

// top is where the second and later pages begin, below their running head.
func (d *document) top() float64 { return d.margin + small.height() + 4 }

// bottom is where the cautions begin.
func (d *document) bottom() float64 {
	return d.down - d.margin - float64(len(d.foot)+1)*small.height() - 4
}

// sheetPage is what stands on one page. A part of the paper that began on an earlier page
// goes on at its top; empty where one begins there.
type sheetPage struct {
	rows   []row
	goesOn string
}

// deal puts blocks on pages. A block that fits on no page is cut between its
// rows.
func deal(blocks []block, first, later float64) []sheetPage {
	pages := make([]sheetPage, 1)
	left, part := first, ""
	put := func(r row) {
		p := &pages[len(pages)-1]
		if r.begins != "" {
			part = r.begins
		} else if len(p.rows) == 0 {
			p.goesOn = part
		}
		p.rows = append(p.rows, r)
		left -= r.height
	}
	turn := func() {
		pages = append(pages, sheetPage{})
		left = later
	}
	for _, b := range blocks {
		if b.height() > left && len(pages[len(pages)-1].rows) > 0 && b.height() <= later {
			turn()
		}
		for _, r := range b {
			if r.height > left && len(pages[len(pages)-1].rows) > 0 {
				turn()
			}
			put(r)
		}
	}
	return pages
}

// running heads the second and later pages, with the part that goes on there: sheets are
// read one by one.
func (d *document) running(part string) {
	title := d.imprint.Title
	if part != "" {
		title = words.Put("{paper}: {part}, continued", "paper", title, "part", part)
	}
	d.text(d.left, d.margin, firm, d.fit(d.printable(title), firm, d.textWidth()*0.6))
	d.pen.right(d.rightEdge(), d.margin, small, d.fit(d.printable(d.imprint.Studio), small, d.textWidth()*0.35))
}

// footer has the cautions, where the paper comes from, and the number of the page.
func (d *document) footer(page, of int) {
	y := d.bottom() + 2
	d.rule(d.left, d.rightEdge(), y, 0.6)
	y += 2
	for _, s := range d.foot {
		d.text(d.left, y, firm, s)
		y += small.height()
	}
	number := fmt.Sprintf("page %d of %d", page, of)
	d.pen.right(d.rightEdge(), y, small, number)
	room := d.textWidth() - d.pen.width(small)(number) - 4
	d.text(d.left, y, small, d.fit(d.printable(words.Clean(d.imprint.Origin)), small, room))
}
