package page

import (
	"fmt"

	"bayhand/model/arrange"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// designStay is a run of columns that no proposal moves: what is behind them is
// soldered to other bays or to matrices, or nothing is.
type designStay struct {
	First, Last int
	X, Width    float64
}

// Middle is where its word stands.
func (s designStay) Middle() float64 { return s.X + s.Width/2 }

// Columns are its numbers.
func (s designStay) Columns() string {
	if s.First == s.Last {
		return fmt.Sprint(s.First)
	}
	return fmt.Sprintf("%d-%d", s.First, s.Last)
}

// stay adds the columns that are not arranged.
func (d *designBay) stay(b *studio.Bay, columns []arrange.Column) {
	arranged := map[int]bool{}
	for _, c := range columns {
		if c.Bay == b.Name {
			arranged[c.Pair] = true
		}
	}
	pitch := pitchOf(*b)
	for first := 1; first <= b.Pairs(); first++ {
		if arranged[first] {
			continue
		}
		last := first
		for last < b.Pairs() && !arranged[last+1] {
			last++
		}
		s := designStay{first, last, float64(first-1) * pitch, float64(last-first+1) * pitch}
		d.Stays = append(d.Stays, s)
		d.Says += words.Put("{columns}: as it is. ", "columns", s.Columns())
		first = last
	}
}
