// Package strip says what stands on the paper strips that name the jacks of a
// bay, and where.
//
// Vocabulary: a strip is a piece of paper as long as the bay is wide, above the
// jacks, between the rows, below them, or at the rear; a cell is the part of it
// that belongs to one column; a run is neighbouring columns with the same thing
// behind them, whose name stands once over a bar; a sign is what the strip between
// the rows shows of a pair's mode. A piece is as much of a strip as fits on paper.
//
// A text is fitted: as it is written, else by its short form, squeezed, smaller,
// and at last cut. A caution is what a jack can carry that harms: phantom power,
// or a loudspeaker.
//
// The package draws nothing. Lengths are those of the real thing, from the strip's
// left end.
package strip

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Row is where a strip belongs.
type Row string

// The rows of a bay, from the front and from behind.
const (
	Above      Row = "above"
	Between    Row = "between"
	Below      Row = "below"
	RearTop    Row = "rear top"
	RearBottom Row = "rear bottom"
)

// Strip is one strip, or a piece of one.
type Strip struct {
	Bay   string `json:"bay"`
	Label string `json:"label"`
	Row   Row    `json:"row"`
	// Piece counts from 1; Pieces is how many the strip is cut into.
	Piece  int `json:"piece"`
	Pieces int `json:"pieces"`
	// Tab is paper beyond the right end, under which the next piece is glued; 0 at
	// the last piece.
	Tab    measure.Length `json:"tab"`
	Length measure.Length `json:"length"`
	Height measure.Length `json:"height"`
	Runs   []Run          `json:"runs"`
	Cells  []Cell         `json:"cells"`
}

// Run is the name over a bar, from one column to another; Left and Right are its
// edges.
type Run struct {
	First int            `json:"first"`
	Last  int            `json:"last"`
	Left  measure.Length `json:"left"`
	Right measure.Length `json:"right"`
	Text  Text           `json:"text"`
}

// Cell is one column. Centre is that of its jack.
type Cell struct {
	Column  int            `json:"column"`
	Jack    name.Point     `json:"jack"`
	Centre  measure.Length `json:"centre"`
	Left    measure.Length `json:"left"`
	Right   measure.Length `json:"right"`
	Text    Text           `json:"text"`
	Caution Caution        `json:"caution,omitempty"`
	// Stereo is true where the cell and the next one are left and right.
	Stereo bool `json:"stereo,omitempty"`
	// Mode is that of the pair, on the strip between the rows.
	Mode string `json:"mode,omitempty"`
}

// Text is a text as it fits.
type Text struct {
	// Full is as it was written.
	Full string `json:"full"`
	// Lines are what stands there.
	Lines []string `json:"lines"`
	// Size is in points, Squeeze the width of letters in parts of their own.
	Size    float64 `json:"size"`
	Squeeze float64 `json:"squeeze"`
	// Bold letters stand in cells, and plain ones over bars.
	Bold bool `json:"bold"`
	Cut  bool `json:"cut,omitempty"`
	// Alike is true where another jack of the bay would read the same, so that a
	// number was added.
	Alike bool `json:"alike,omitempty"`
	// Write says where a short form belongs that would spare the cut.
	Write string `json:"write,omitempty"`
}

// Caution is what can be on a jack that harms; empty for nothing.
type Caution string

// What harms.
const (
	Phantom Caution = "phantom"
	Loud    Caution = "loud"
)

// Sizes of strips where a bay does not say.
const (
	usualHeight  = 8 * measure.Millimetre
	usualBetween = 6 * measure.Millimetre
	// Longest is the longest strip that is made: more than the 17.7 in that an
	// opening of a 19-inch rack leaves free (450 mm, EIA-310, from memory).
	Longest = 450 * measure.Millimetre
	// Tab is what the next piece is glued on.
	Tab = 2 * measure.Millimetre
)

// Options say how strips are made. The zero Options are those of the front, whole.
type Options struct {
	Rear bool
	// Session has names of lines that stand in place of ports; nil for none.
	Session *session.Session
	// Paper is how long a piece can be; 0 for no bound.
	Paper measure.Length
	// Ruler measures texts; nil is that of the built-in font.
	Ruler Ruler
}

// geometry of one bay's strips.
type geometry struct {
	pairs         int
	pitch, leadIn measure.Length
	mirrored      bool
}

// Of makes the strips of one bay of a studio, from above to below, in pieces. It
// takes time linear in the number of jacks.
func Of(s *studio.Studio, b studio.Bay, o Options) []Strip {
	if o.Ruler == nil {
		o.Ruler = BuiltIn()
	}
	m := &maker{names: namesOf(s, o.Session), bay: b, ruler: o.Ruler, taken: map[string]string{}}
	m.geometry = geometryOf(b)
	m.mirrored = o.Rear
	var all []Strip
	for _, row := range rowsOf(b, o.Rear) {
		all = append(all, m.pieces(row, o.Paper)...)
	}
	return all
}

func geometryOf(b studio.Bay) geometry {
	g := geometry{pairs: b.Pairs(), pitch: b.Pitch, leadIn: b.Strips.LeadIn}
	if g.pitch == 0 {
		g.pitch = layout.Usual(b.Jack)
	}
	if g.leadIn == 0 {
		g.leadIn = g.pitch / 2
	}
	return g
}

// Length is that of a bay's whole strips: twice the lead-in, and from the first
// centre to the last.
func Length(b studio.Bay) measure.Length {
	g := geometryOf(b)
	return 2*g.leadIn + measure.Length(g.pairs-1)*g.pitch
}

// centre of a column, from the left end of the whole strip.
func (g geometry) centre(column int) measure.Length {
	if g.mirrored {
		column = g.pairs + 1 - column
	}
	return g.leadIn + measure.Length(column-1)*g.pitch
}

// rowed is a row with the height of its strip.
type rowed struct {
	row    Row
	height measure.Length
}

func rowsOf(b studio.Bay, rear bool) []rowed {
	rows := []rowed{
		{Above, orUsual(b.Strips.Above, usualHeight)},
		{Between, orUsual(b.Strips.Between, usualBetween)},
		{Below, orUsual(b.Strips.Below, usualHeight)},
	}
	if rear {
		height := orUsual(b.Strips.Rear, usualHeight)
		rows = []rowed{{RearTop, height}, {RearBottom, height}}
	}
	kept := rows[:0]
	for _, r := range rows {
		if r.height > 0 {
			kept = append(kept, r)
		}
	}
	return kept
}

func orUsual(said, usual measure.Length) measure.Length {
	if said == 0 {
		return usual
	}
	return said
}
