package page

import (
	"html/template"
	"strings"
	"sync"

	"bayhand/model/measure"
	"bayhand/model/strip"
	"bayhand/model/studio"
)

// strips names what is behind the jacks in the pictures of bays, as the paper strips
// do: over a run of jacks the gear with its kind of port, below each its number. It
// is safe for concurrent use.
type strips struct {
	studio *studio.Studio
	ruler  strip.Ruler
	// made holds a bayStrips for each bay that was drawn once, by its name: the names
	// change with the studio alone, and a large room has thousands.
	made sync.Map
}

func newStrips(s *studio.Studio) *strips { return &strips{studio: s, ruler: screenRuler()} }

// bayStrips are the printed strips of one bay.
type bayStrips struct {
	printed []printed
	html    template.HTML
}

// printed is one strip in a picture: a frame, and the names in it. All is in
// millimetres of the picture.
type printed struct {
	Y, Width, Height float64
	Bars             []bar
	Names            []named
}

// bar is the frame of a run, from edge to edge.
type bar struct{ X, Width float64 }

// named is one line of a name. It is squeezed to Squeezed where that is not 0.
type named struct {
	X, Y, Size, Squeezed float64
	Text, Full           string
	Bold                 bool
	// first and last are the columns that it stands over, left and right its edges.
	first, last int
	left, right float64
}

// mostUnder is how many columns a name stands over before it stands there again: on a
// narrow screen as many are in sight.
const mostUnder = 8

// again is the name of a long run as often as it is needed.
func (n named) again() []named {
	times := (n.last - n.first + mostUnder) / mostUnder
	wide := (n.right - n.left) / float64(times)
	if times < 2 || fitting(n, wide-0.8) > 0 {
		return []named{n}
	}
	all := make([]named, times)
	for i := range all {
		all[i] = n
		all[i].X = edge + n.left + (float64(i)+0.5)*wide
	}
	return all
}

// paperHeight is the height of a paper strip whose letters fit into the picture's.
var paperHeight = stripIs / strippedSize

// On a screen the letters of the paper strips are larger by this.
const strippedSize = 1.35

// screenRuler measures in letters of the size that is drawn.
func screenRuler() strip.Ruler {
	paper := strip.BuiltIn()
	return func(text string, bold bool, size float64) measure.Length { return paper(text, bold, size*strippedSize) }
}

// of are the strips of a bay, made once.
func (s *strips) of(b studio.Bay) *bayStrips {
	if had, ok := s.made.Load(b.Name); ok {
		return had.(*bayStrips)
	}
	// The heights are those of paper, on which the smaller letters stand.
	height := measure.Length(float64(measure.Millimetre) * paperHeight)
	scaled := b
	scaled.Strips = studio.Strips{Above: height, Below: height, Between: -1}
	made := &bayStrips{}
	for _, one := range strip.Of(s.studio, scaled, strip.Options{Ruler: s.ruler}) {
		y := stripTop
		if one.Row == strip.Below {
			y = lowStrip
		}
		made.printed = append(made.printed, placed(one, y))
	}
	made.html = made.draw()
	had, _ := s.made.LoadOrStore(b.Name, made)
	return had.(*bayStrips)
}

// placed are the runs and cells of a strip, where they stand in the picture.
func placed(s strip.Strip, y float64) printed {
	out := printed{Y: y, Width: mm(s.Length), Height: stripIs}
	over, cells := y+stripIs*strip.OverPart, y+stripIs
	for _, run := range s.Runs {
		out.Bars = append(out.Bars, bar{edge + mm(run.Left) + 0.4, mm(run.Right-run.Left) - 0.8})
		out.Names = append(out.Names, lines(run.Text, run.First, run.Last, mm(run.Left), mm(run.Right), over)...)
	}
	for _, c := range s.Cells {
		out.Names = append(out.Names, lines(c.Text, c.Column, c.Column, mm(c.Left), mm(c.Right), cells)...)
	}
	return out
}

// lines are the lines of a text between two edges, the last one's foot above y.
func lines(t strip.Text, first, last int, left, right, y float64) []named {
	var all []named
	size := t.Size * strippedSize * mm(strip.Point)
	for i, line := range t.Lines {
		above := float64(len(t.Lines)-1-i) * size * strip.LineSpace
		one := named{X: edge + (left+right)/2, Y: y - 0.28*size - above, Size: size, Text: line, Full: t.Full, Bold: t.Bold, first: first, last: last, left: left, right: right}
		if t.Squeeze < 1 {
			one.Squeezed = min(right-left-0.8, mm(strip.BuiltIn()(line, t.Bold, t.Size*strippedSize))*t.Squeeze)
		}
		all = append(all, one)
	}
	return all
}

func mm(l measure.Length) float64 { return float64(l) / float64(measure.Millimetre) }

func (s *bayStrips) draw() template.HTML {
	var out strings.Builder
	for _, one := range s.printed {
		var names []named
		for _, n := range one.Names {
			names = append(names, n.again()...)
		}
		one.Names = names
		if err := views().ExecuteTemplate(&out, "strip", one); err != nil {
			return "" // a strip of numbers and escaped names is always made
		}
	}
	return template.HTML(out.String()) //nolint:gosec // the template escaped it
}

// near are the strips over a few columns, for a picture from near by. A name that
// stands over more columns is set in the middle of those that are shown.
func (s *bayStrips) near(from, to int, pitch float64) []printed {
	var all []printed
	for _, one := range s.printed {
		cut := printed{Y: one.Y, Width: float64(to-from+1) * pitch, Height: one.Height}
		for _, n := range one.Names {
			first, last := max(n.first, from), min(n.last, to)
			if first > last {
				continue
			}
			if n.first < from || n.last > to {
				n.X = edge + (float64(first+last)/2-0.5)*pitch
				n.Squeezed = fitting(n, float64(last-first+1)*pitch-0.8)
			}
			if n.first != n.last || !n.Bold {
				cut.Bars = append(cut.Bars, bar{edge + float64(first-1)*pitch + 0.4, float64(last-first+1)*pitch - 0.8})
			}
			cut.Names = append(cut.Names, n)
		}
		all = append(all, cut)
	}
	return all
}

// fitting is the width that a name is squeezed to, 0 where it is narrower as it is.
func fitting(n named, width float64) float64 {
	points := n.Size / mm(strip.Point)
	if is := mm(strip.BuiltIn()(n.Text, n.Bold, points)); is > width || n.Squeezed > width {
		return width
	}
	return n.Squeezed
}
