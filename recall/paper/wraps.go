package paper

import (
	"io"
	"strings"

	"bayhand/model/schedule"
	"bayhand/recall/words"
)

// Labels for ends, in millimetres: long enough to go round a cable and overlap.
const (
	wrapWide = 58.0
	wrapHigh = 13.0
)

// WrapsPDF writes a label for both ends of each cable: the number large, the near end
// first and the far end second. Each is folded round the cable. The same schedule gives
// the same bytes.
func WrapsPDF(w io.Writer, l Wiring, size Size, fonts ...[]byte) ([]Warning, error) {
	d, err := newDocument(imprint{Title: "Wraps for cables", Studio: l.Studio, Date: l.Date, Origin: l.Origin, Scale: true,
		Cautions: []string{"Print at 100 %. Cut along the frames; wrap the clear end over the text."}}, size, fonts)
	if err != nil {
		return nil, err
	}
	type wrap struct {
		number    string
		near, far []string
	}
	var all []wrap
	for _, g := range l.Groups {
		for _, c := range g.Cables {
			first, last := c.Pairs[0], c.Pairs[len(c.Pairs)-1]
			if last.From.Point.Owner != first.From.Point.Owner && last.To.Point.Owner == first.From.Point.Owner {
				last.From, last.To = last.To, last.From // what comes back in the same cable, as an insert's return
			}
			a, b := g.fan(first.From, last.From, len(c.Pairs)), g.fan(first.To, last.To, len(c.Pairs))
			all = append(all, wrap{c.Number, a, b}, wrap{c.Number, b, a})
		}
	}
	blocks := []block{append(block{d.headline()}, d.paragraph(0, large, "Wraps for cables")...)}
	across := max(1, int(d.textWidth()/(wrapWide+2)))
	for i := 0; i < len(all); i += across {
		here := all[i:min(i+across, len(all))]
		blocks = append(blocks, block{row{height: wrapHigh + 2, draw: func(y float64) {
			for k, one := range here {
				d.wrap(d.left+float64(k)*(wrapWide+2), y, one.number, one.near, one.far)
			}
		}}})
	}
	d.print(blocks)
	return d.write(w)
}

// fan is one end of a cable as it is labelled, and by short labels.
func (g WiringGroup) fan(first, last schedule.End, pairs int) []string {
	texts := []string{fanText(words.Clean(first.Label), words.Clean(last.Label), pairs)}
	if g.short != nil {
		texts = append(texts, fanText(g.short.Point(first.Point), g.short.Point(last.Point), pairs))
	}
	return texts
}

// fanText is one end of a cable: its first circuit, and its last where it has several. Two
// that a number joins, as the send and the return of an insert, are called by that.
func fanText(from, to string, pairs int) string {
	if pairs == 1 || from == to {
		return from
	}
	same := 0
	for i := 0; i < min(len(from), len(to)) && from[i] == to[i]; i++ {
		if from[i] == ' ' {
			same = i + 1
		}
	}
	if both := strings.TrimSpace(from[:same]); pairs == 2 && strings.TrimRight(both, "0123456789") != both {
		return both
	}
	return fromTo(from, to[same:])
}

// fitEnd is the first text for a place that fits, such as its label and a short one. Where
// none does it shortens the last in its middle: the port stays, and before it what tells one
// piece of gear from others of its kind, such as a number.
func fitEnd(d *document, i ink, room float64, texts ...string) string {
	measure := d.pen.width(i)
	text := ""
	for _, text = range texts {
		if text = d.printable(text); measure(text) <= room {
			return text
		}
	}
	fields := strings.Fields(text)
	from := max(1, len(fields)-2)
	for from > 1 && measure(strings.Join(fields[from-1:], " ")) <= 0.6*room {
		from--
	}
	tail := strings.Join(fields[from:], " ")
	head := strings.TrimSuffix(text, tail)
	return d.fit(head, i, room-measure(" "+tail)) + " " + tail
}

func (d *document) wrap(x, y float64, number string, near, far []string) {
	d.pdf.SetLineWidth(hairline)
	d.pdf.Rect(x, y, wrapWide, wrapHigh, "D")
	if number == "" {
		number = "____"
	}
	i := ink{13, true}
	d.pen.squeezed(x+9.5, y+wrapHigh/2+1.7, i, 1, d.fit(d.printable(number), i, 17))
	d.pdf.Line(x+19, y, x+19, y+wrapHigh)
	d.text(x+20, y+1.4, firm, fitEnd(d, firm, wrapWide-22, near...))
	d.text(x+20, y+7, small, fitEnd(d, small, wrapWide-22, far...))
}
