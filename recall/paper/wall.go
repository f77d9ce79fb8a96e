package paper

import (
	"io"
	"strconv"
	"strings"
	"time"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Wall is the sheet for the wall beside the bay, or the blank form to plan on: the bays
// as they are at rest.
type Wall struct {
	Room   *heard.Room
	Date   time.Time
	Origin string
}

// WallPDF writes the bays with their strips, modes and normals, what is heard in the rest patch,
// ties and mults, and what mutes what. For fonts and warnings see PDF. The same room
// gives the same bytes.
func WallPDF(w io.Writer, l Wall, size Size, fonts ...[]byte) ([]Warning, error) {
	s := l.Room.Studio()
	d, err := newDocument(imprint{Title: "Wall sheet", Studio: words.Clean(s.Name), Date: l.Date, Origin: l.Origin, Cautions: words.Cautions}, size.across(), fonts)
	if err != nil {
		return nil, err
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, huge, "The bays in the rest patch")...)}
	for _, b := range s.Bays {
		blocks = append(blocks, d.bays(s, b, nil)...)
	}
	blocks = append(blocks, d.paragraph(0, small, "Signs between the rows: a line is a normal; a bar across its end stands at the jack whose plug breaks it; two lines are jacks that are always joined; no line, jacks that are never."))
	for _, list := range WallLists(l.Room) {
		blocks = append(blocks, d.list(list.Title, list.Lines)...)
	}
	d.print(blocks)
	return d.write(w)
}

// WallLists are what stands on a wall sheet beside the pictures of the bays.
func WallLists(room *heard.Room) []List {
	s := room.Studio()
	w := words.In(s)
	lists := []List{
		{"Heard in the rest patch", heardAtRest(room, w)},
		{"Ties", ties(s, w)},
		{"Mults: joined at the rear", mults(s, w)},
		{"Strapped normals", straps(s, w)},
		{"What mutes what", mutes(s, w)},
		{"Faulty jacks", faulty(s, w)},
	}
	kept := []List{}
	for _, l := range lists {
		if len(l.Lines) > 0 {
			kept = append(kept, l)
		}
	}
	return kept
}

// heardAtRest has a line a piece of gear.
func heardAtRest(room *heard.Room, w *words.Words) []string {
	var all []string
	state := room.Hear(room.Studio().Rest)
	for _, g := range room.Studio().Gear {
		var inputs []string
		for _, p := range g.Ports {
			if p.Direction != studio.Input {
				continue
			}
			if sources := state.Hears(p.Point); len(sources) > 0 {
				inputs = append(inputs, words.Put("{input} from {sources}", "input", w.Port(p.Point), "sources", w.Points(sources)))
			}
		}
		if len(inputs) > 0 {
			all = append(all, w.Owner(g.Name)+": "+strings.Join(inputs, "; "))
		}
	}
	return all
}

// ties run together where their ends count on.
func ties(s *studio.Studio, w *words.Words) []string {
	var all []string
	tied := s.Tied()
	for i := 0; i < len(tied); {
		last := i
		for last+1 < len(tied) && follows(tied[last].A, tied[last+1].A) && follows(tied[last].B, tied[last+1].B) {
			last++
		}
		all = append(all, words.Put("{one} with {other}", "one", w.Run(tied[i].A, tied[last].A.Number), "other", w.Run(tied[i].B, tied[last].B.Number)))
		i = last + 1
	}
	return all
}

func follows(a, b name.Point) bool {
	a.Number++
	return a == b
}

func mults(s *studio.Studio, w *words.Words) []string {
	var all []string
	for _, m := range s.Mults {
		all = append(all, w.Points(m.Jacks))
	}
	return all
}

func straps(s *studio.Studio, w *words.Words) []string {
	var all []string
	for _, n := range s.Normals {
		all = append(all, words.Put("{from} to {to}, broken by a plug in the second", "from", w.Point(n.From), "to", w.Point(n.To)))
	}
	return all
}

func mutes(s *studio.Studio, w *words.Words) []string {
	var all []string
	for _, g := range s.Gear {
		switch {
		case g.Role == studio.RoleUnsaid:
		case !g.Mute.Output.IsZero():
			all = append(all, words.Put("{gear}: by {output}, when it is off", "gear", w.Owner(g.Name), "output", w.Point(g.Mute.Output)))
		case g.Mute.At != "":
			all = append(all, words.Put("{gear}: by hand at {switch}", "gear", w.Owner(g.Name), "switch", words.Clean(g.Mute.At)))
		default:
			all = append(all, words.Put("{gear}: by hand, at the gear itself", "gear", w.Owner(g.Name)))
		}
	}
	return all
}

func faulty(s *studio.Studio, w *words.Words) []string {
	var all []string
	for _, p := range s.Faulty {
		all = append(all, w.Point(p))
	}
	for _, p := range s.FaultyNormals {
		all = append(all, words.Put("the normal of {jack}", "jack", w.Point(p)))
	}
	return all
}

// BlankPDF writes the form to fill in by hand when a patch is planned on paper: of
// each bay a line a column, and the top row against the bottom row as points to mark.
// The same studio gives the same bytes.
func BlankPDF(w io.Writer, l Wall, size Size, fonts ...[]byte) ([]Warning, error) {
	s := l.Room.Studio()
	d, err := newDocument(imprint{Title: "Patch, to fill in by hand", Studio: words.Clean(s.Name), Date: l.Date, Origin: l.Origin, Cautions: words.Cautions}, size, fonts)
	if err != nil {
		return nil, err
	}
	said := words.In(s)
	var blocks []block
	for i, b := range s.Bays {
		head := block{}
		if i == 0 {
			head = append(head, d.headline())
			head = append(head, d.paragraph(0, huge, "Patch, to fill in by hand")...)
			head = append(head, d.paragraph(0, small, "Session: ______________________   Date: ______________   By: ______________")...)
		}
		form := d.form(said, b)
		form[0] = append(head, form[0]...)
		blocks = append(blocks, form...)
		blocks = append(blocks, d.points(said, b)...)
	}
	d.print(blocks)
	return d.write(w)
}

// Columns of the form, in parts of the width of the text: what is behind the upper
// jack, the cord in its front, the number, the cord in the lower front, what is behind.
var formColumns = [6]float64{0, 0.27, 0.45, 0.55, 0.73, 1}

// form is a line a column of a bay, with room to write what goes in.
func (d *document) form(w *words.Words, b studio.Bay) []block {
	title := append(d.heading(w.Owner(b.Name)), row{height: small.height() + 1, draw: func(y float64) {
		for i, text := range []string{"behind the upper jack", "plug in it", "mode", "plug in the lower", "behind the lower jack"} {
			d.text(d.left+formColumns[i]*d.textWidth()+1, y, small, text)
		}
	}})
	blocks := []block{}
	for n := 1; n <= b.Pairs(); n++ {
		line := row{height: 5.2, draw: func(y float64) { formLine(d, w, b, n, y, 5.2) }}
		if n == 1 {
			blocks = append(blocks, append(title, line))
			continue
		}
		blocks = append(blocks, block{line})
	}
	return blocks
}

func formLine(d *document, w *words.Words, b studio.Bay, n int, y, height float64) {
	i := ink{8, false}
	at := func(k int) float64 { return d.left + formColumns[k]*d.textWidth() }
	for k := range formColumns {
		d.pdf.SetLineWidth(0.12)
		d.pdf.Line(at(k), y, at(k), y+height)
	}
	d.rule(d.left, d.rightEdge(), y, 0.12)
	d.rule(d.left, d.rightEdge(), y+height, 0.12)
	set := func(k int, jack name.Point) {
		behind := w.Rear(jack)
		d.text(at(k)+1, y+0.7, i, fitEnd(d, i, at(k+1)-at(k)-2, w.Points(behind), w.Short().Points(behind)))
	}
	set(0, b.TopJack(n))
	set(4, b.BottomJack(n))
	d.text(at(2)+1, y+0.5, ink{9, true}, strconv.Itoa(n))
	c := onPage{d.pen, at(2) + (at(3)-at(2))*0.7, y}
	sign(c, 0, 0.8, height-0.8, b.Modes[n-1].String())
}

// points is the bay's own matrix: a row an upper jack, a column a lower one, to mark
// a cord where they meet.
func (d *document) points(w *words.Words, b studio.Bay) []block {
	const label = 52.0
	n := b.Pairs()
	side := min(6, (d.textWidth()-label)/float64(n))
	i := ink{min(7, side*2.2), false}
	head := row{height: 6, draw: func(y float64) {
		for k := range n {
			if side >= 2.8 || (k+1)%2 == 0 {
				d.pen.squeezed(d.left+label+(float64(k)+0.5)*side, y+5, ink{min(6.5, side*1.9), false}, 1, strconv.Itoa(k+1))
			}
		}
	}}
	k := append(d.heading(words.Put("{bay}: upper jacks at the left, lower jacks across", "bay", w.Owner(b.Name))), head)
	for at := 1; at <= n; at++ {
		number := strconv.Itoa(at) + "  "
		behind := w.Rear(b.TopJack(at))
		text := number + fitEnd(d, i, label-2-d.pen.width(i)(number), w.Points(behind), w.Short().Points(behind))
		k = append(k, row{height: side, draw: func(y float64) {
			d.text(d.left, y+side/2-i.height()/2, i, text)
			d.pdf.SetLineWidth(0.1)
			for c := range n {
				d.pdf.Rect(d.left+label+float64(c)*side, y, side, side, "D")
			}
		}})
	}
	return []block{k}
}
