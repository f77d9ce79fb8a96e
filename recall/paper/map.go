package paper

import (
	"fmt"
	"io"
	"strconv"
	"time"

	"bayhand/model/arrange"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Map is a proposal of what lands where, to argue over at the wall.
type Map struct {
	Answer *arrange.Answer
	Date   time.Time
	Origin string
}

// MapPDF writes the bays as they are proposed, with what stands where and why, what it
// costs session by session, and the cables to move, each with a box to tick. For fonts
// and warnings see PDF. The same proposal gives the same bytes.
func MapPDF(to io.Writer, m Map, size Size, fonts ...[]byte) ([]Warning, error) {
	s := m.Answer.Layout.Apply()
	w := words.In(s)
	d, err := newDocument(imprint{Title: "What lands where", Studio: words.Clean(s.Name), Date: m.Date, Origin: m.Origin, Cautions: words.Cautions}, size.across(), fonts)
	if err != nil {
		return nil, err
	}
	blocks := []block{append(append(block{d.headline()}, d.paragraph(0, huge, "What lands where")...), costs(d, m.Answer)...)}
	for _, b := range s.Bays {
		blocks = append(blocks, mapOf(d, w, s, b, m.Answer)...)
	}
	blocks = append(blocks, d.paragraph(0, small, "Signs between the rows: a line is a normal; a bar across its end stands at the jack whose plug breaks it; two lines are jacks that are always joined; no line, jacks that are never."))
	blocks = append(blocks, toMove(d, w, m.Answer.Moves)...)
	for _, list := range MapLists(m.Answer) {
		for i, line := range list.Lines {
			list.Lines[i] = w.Said(line)
		}
		blocks = append(blocks, d.list(list.Title, list.Lines)...)
	}
	d.print(blocks)
	return d.write(to)
}

// costs are the sums of a proposal on a line or two.
func costs(d *document, a *arrange.Answer) block {
	text := fmt.Sprintf("%s from the rest patch in all sessions, %s of wiring.", counted(a.Plugs.Proposed, "plug"), counted(a.Lines.Proposed, "line"))
	if a.Lines.Now > 0 {
		text = fmt.Sprintf("%s from the rest patch in all sessions, now %d. %s of wiring, now %d.", counted(a.Plugs.Proposed, "plug"), a.Plugs.Now, counted(a.Lines.Proposed, "line"), a.Lines.Now)
	}
	if was, is := a.NotPossible(); is > 0 || was > 0 && a.Lines.Now > 0 {
		text = words.Put("{costs} Sessions that are not possible are in no sum: {is} as proposed, {was} now.", "costs", text, "is", strconv.Itoa(is), "was", strconv.Itoa(was))
	}
	if a.Plugs.LeftOut >= 0 {
		text = words.Put("{costs} Each session planned on a layout made from the others: {plugs}.", "costs", text, "plugs", counted(a.Plugs.LeftOut, "plug"))
	}
	return append(block{space(1)}, d.paragraph(0, small, text)...)
}

// mapOf is the picture of one bay, and under it what stands in its columns; none for a
// bay of which nothing is arranged.
func mapOf(d *document, w *words.Words, s *studio.Studio, b studio.Bay, a *arrange.Answer) []block {
	var lines []block
	for _, r := range arrange.Runs(a.Columns) {
		if r.Bay == b.Name {
			lines = append(lines, mapLine(d, w, r, columnsText(s, r)))
		}
	}
	if lines == nil {
		return nil
	}
	return append(d.bays(s, b, nil), lines...)
}

// columnsText is which columns a line is about. Where there are several bays their names
// stand there, since the lines of one may go on on another page.
func columnsText(s *studio.Studio, r arrange.Run) string {
	if len(s.Bays) < 2 {
		return r.Pairs()
	}
	return r.Bay + " " + r.Pairs()
}

// Columns of the lines under a bay, in parts of the width of the text: pairs, the
// upper row, the lower row, why.
var mapColumns = [5]float64{0, 0.1, 0.27, 0.44, 1}

// mapLine is one run of columns: the reason takes as many lines as it needs.
func mapLine(d *document, w *words.Words, r arrange.Run, columns string) block {
	at := func(k int) float64 { return mapColumns[k] * d.textWidth() }
	reason := d.lines(w.Said(r.Because), small, at(4)-at(3))
	var b block
	for n, text := range reason {
		b = append(b, row{height: small.height(), draw: func(y float64) {
			if n == 0 {
				for k, part := range []string{columns, portsText(w, r.Top), portsText(w, r.Bottom)} {
					d.text(d.left+at(k), y, ink{small.size, k == 0}, d.fit(d.printable(part), small, at(k+1)-at(k)-2))
				}
			}
			d.text(d.left+at(3), y, small, text)
		}})
	}
	return append(b, space(0.8))
}

// portsText are ports, as a line of wiring names them, by their short labels: as on the strips.
func portsText(w *words.Words, names string) string {
	points, err := name.List(names)
	if err != nil {
		return names // nothing stands there
	}
	return w.Short().Runs(points)
}

// toMove is a box a cable, jack by jack: those of a row of a bay together and side by side,
// since a hand does one row at a time.
func toMove(d *document, w *words.Words, moves []arrange.Move) []block {
	var blocks []block
	for n, row := range byRow(moves) {
		b := block{space(4)}
		if n == 0 {
			b = append(b, d.paragraph(0, firm, "Cables to solder or plug at the rear")...)
		}
		blocks = append(blocks, append(b, d.boxes(w, row)...))
	}
	return blocks
}

// byRow parts cables by the row of jacks that they come to, the rows in the order of the
// cables.
func byRow(moves []arrange.Move) (rows [][]arrange.Move) {
	at := map[string]int{}
	for _, m := range moves {
		row := m.To.Owner + "/" + m.To.Stem
		if _, has := at[row]; !has {
			at[row], rows = len(rows), append(rows, nil)
		}
		rows[at[row]] = append(rows[at[row]], m)
	}
	return rows
}

// boxes are cables in so many columns as have room for the longest of them, from the top
// down.
func (d *document) boxes(w *words.Words, moves []arrange.Move) block {
	const boxes, between = 8.0, 6.0
	var texts []string
	widest, short := 0.0, w.Short()
	for _, m := range moves {
		text := words.Put("{port} to {jack}", "port", short.Point(m.Port), "jack", w.Point(m.To))
		if !m.From.IsZero() {
			text = words.Put("{port} from {was} to {jack}", "port", short.Point(m.Port), "was", w.Point(m.From), "jack", w.Point(m.To))
		}
		texts = append(texts, d.fit(d.printable(text), small, d.textWidth()-boxes))
		widest = max(widest, d.pen.width(small)(texts[len(texts)-1]))
	}
	columns := max(1, min(4, int(d.textWidth()/(boxes+widest+between))))
	down := (len(texts) + columns - 1) / columns
	var b block
	for n := range down {
		b = append(b, row{height: 6, draw: func(y float64) {
			for k := n; k < len(texts); k += down {
				x := d.left + float64(k/down)*d.textWidth()/float64(columns)
				d.box(x, y+0.5, 4.5)
				d.text(x+boxes, y+0.9, small, texts[k])
			}
		}})
	}
	return b
}

// MapLists are what stands on a map beside the pictures.
func MapLists(a *arrange.Answer) []List {
	var sessions, own, rules []string
	for _, s := range a.Sessions {
		text := fmt.Sprintf("%s: %s", s.Session, given(s.Proposed))
		if a.Lines.Now > 0 {
			text = fmt.Sprintf("%s: now %s, then %s", s.Session, given(s.Now), given(s.Proposed))
		}
		sessions = append(sessions, text)
	}
	for _, c := range a.Cords {
		own = append(own, c.String())
	}
	if a.Dummies > 0 {
		own = append(own, words.Count(a.Dummies, "1 plug without a cord, to break normals", "{n} plugs without a cord, to break normals"))
	}
	if a.Mults.Jacks > 0 {
		own = append(own, words.Count(a.Mults.Jacks, "1 jack joined at the rear as a mult: {why}", "{n} jacks joined at the rear as a mult: {why}", "why", a.Mults.Because))
	}
	for _, r := range a.Rules {
		if saves := r.String(); saves != "" {
			rules = append(rules, words.Put("{rule}, let go, {saves} ({does})", "rule", string(r.Rule), "saves", saves, "does", r.Does))
		}
	}
	var findings []string
	for _, f := range a.Findings {
		findings = append(findings, f.Message)
	}
	kept := []List{}
	for _, l := range []List{
		{"Plugs from rest, session by session", sessions}, {"To own, for the worst session", own},
		{"Straight, on no bay: microphone lines", arrange.StraightLines(a.Straight)}, {"Blank columns", []string{a.Blanks.Because}}, {"What a rule of the trade costs here", rules}, {"To know of it", findings},
	} {
		if len(l.Lines) > 0 {
			kept = append(kept, l)
		}
	}
	return kept
}

// given is a number of plugs, or that a session cannot be given.
func given(plugs int) string {
	if plugs < 0 {
		return "not possible"
	}
	return counted(plugs, "plug")
}

// counted is a number of things.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
