package paper

import (
	"io"
	"time"

	"bayhand/model/name"
	"bayhand/recall/words"
)

// Levels is the gain plan of a session on paper, with room for what the meters read,
// and what deserves a look.
type Levels struct {
	Studio string
	// Title is that of the session, or at rest.
	Title  string
	Date   time.Time
	Origin string
	// Plan are the session's lines; none at rest.
	Plan []words.Alike
	// Looks are the destinations that deserve a look, and Quiet how many do not.
	Looks []words.Alike
	Quiet int
	// Places has the words for points that stand side by side.
	Places func([]name.Point) string
}

// LevelsPDF writes a gain plan. For fonts and warnings see PDF. The same levels give
// the same bytes.
func LevelsPDF(w io.Writer, l Levels, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: levelsTitle(l), Studio: words.Clean(l.Studio), Date: l.Date, Origin: l.Origin,
		Cautions: []string{words.LevelsCaution}}, size, fonts)
	if err != nil {
		return nil, err
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, huge, levelsTitle(l))...)}
	if len(l.Plan) > 0 {
		blocks = append(blocks, append(d.heading("Gain plan"), d.paragraph(0, small, words.GainPlanOf(words.Clean(l.Title)))...))
	}
	for _, g := range l.Plan {
		blocks = append(blocks, gainLine(d, g, l.Places))
	}
	for i, g := range l.Looks {
		b := look(d, g, l.Places)
		if i == 0 {
			b = append(d.heading("Worth a look"), b...)
		}
		blocks = append(blocks, b)
	}
	if l.Quiet > 0 {
		blocks = append(blocks, append(block{space(2)}, d.paragraph(0, small, words.Count(l.Quiet, "1 other destination with nothing to say.", "{n} other destinations with nothing to say."))...))
	}
	d.print(blocks)
	return d.write(w)
}

func levelsTitle(l Levels) string {
	return words.Put("Levels, {session}", "session", words.Clean(l.Title))
}

// gainLine is one line of the plan: a box to tick, where it goes, what is said of it,
// and a line for what the meter reads.
func gainLine(d *document, g words.Alike, places func([]name.Point) string) block {
	const indent, written = tickSide + 4, 34.0
	label := g.Label
	if label != "" {
		label += ": "
	}
	b := block{d.ruled(), space(1), row{draw: func(y float64) {
		d.box(d.left, y+0.2, tickSide)
		d.text(d.rightEdge()-written, y+0.8, small, "read")
		d.rule(d.rightEdge()-written+9, d.rightEdge(), y+tickSide, 0.15)
	}}}
	strong := ink{middle.size, true}
	for _, line := range d.lines(arrowed(label+g.Way(places)), strong, d.textWidth()-indent-written-3) {
		b = append(b, row{height: strong.height(), draw: func(y float64) { d.text(d.left+indent, y, strong, line) }})
	}
	for _, said := range g.Said {
		b = append(b, d.paragraph(indent, small, said)...)
	}
	return append(b, space(1))
}

func look(d *document, g words.Alike, places func([]name.Point) string) block {
	b := append(block{space(1.5)}, d.paragraph(0, firm, arrowed(g.Way(places)))...)
	for _, said := range g.Said {
		b = append(b, d.paragraph(5, small, said)...)
	}
	return b
}
