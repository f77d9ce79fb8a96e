package page

import (
	"fmt"

	"bayhand/model/suspect"
	"bayhand/recall/keep"
)

// numbering is a form for the number on a cord.
type numbering struct {
	A, B string
	// Number is the one that is known; 0 for none. Last is the highest that there may be.
	Number, First, Last int
}

// numbering is the form of a cord in the studio; nil where its cords have no numbers, or
// the cord hangs loose.
func (p *page) numbering(c keep.KnownCord) *numbering {
	numbers := p.Studio.Stock.Numbers
	if numbers.First == 0 || c.B.IsZero() {
		return nil
	}
	return &numbering{c.A.String(), c.B.String(), c.Number, numbers.First, numbers.Last}
}

// ownCord says which cord has a fault of its own.
func (h listenHandler) ownCord(v *findingView, f suspect.Finding, s keep.Status) {
	for _, c := range s.Known.Cords {
		if f.Guess || !f.OfCord() || !f.Concerns(c.Cord) {
			continue
		}
		if c.Number > 0 {
			v.Cord = fmt.Sprintf("It is cord %d: a fault of the cord itself is remembered wherever it goes.", c.Number)
			return
		}
		v.Numbering = h.page.numbering(c)
	}
}
