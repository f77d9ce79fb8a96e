package page

import (
	"bayhand/model/name"
	"bayhand/recall/keep"
)

// entering is what somebody did that nobody planned, as far as it is entered.
type entering struct {
	// Hand is plug or move, or if for what a cord would do.
	Hand string
	// From is the first jack and To the second, in words; A and B their names.
	From, To, A, B string
	// Holds is what is known to be in the first jack already.
	Holds string
	// Cancel is the address that forgets it; Instead the one for the other hand.
	Cancel, Instead string
	// Loose and Dummy say what one jack alone means.
	Loose, Dummy bool
	// Would is what it would do, where that was asked.
	Would *verdict
	// Then is where it goes on.
	Then string
}

func (p *page) entering(now present, s keep.Status, a asked) *entering {
	if a.Hand == "" {
		return nil
	}
	e := &entering{Hand: a.Hand, Cancel: a.calm().String(), Then: a.calm().String()}
	if a.From.IsZero() {
		return e
	}
	e.From, e.A = p.words.Point(a.From), a.From.String()
	e.Holds = p.holder(s, a.From)
	e.Dummy = a.Hand == "plug" && a.To.IsZero() && e.Holds == ""
	e.Loose = a.Hand == "move" && a.To.IsZero()
	if a.Hand == "plug" && e.Holds != "" {
		e.Instead = a.hand("move", a.From).String()
	}
	if a.Out {
		e.Would = p.whatIf(now, a)
	}
	if !a.To.IsZero() {
		e.To, e.B = p.words.Point(a.To), a.To.String()
		if a.Hand == "if" {
			e.Would = p.whatIf(now, a)
		}
	}
	return e
}

// holder is what is in a jack, in a phrase.
func (p *page) holder(s keep.Status, jack name.Point) string {
	words := p.words.Point(jack)
	for _, c := range p.cords(s, p.marks.assign(s)) {
		if c.From == words || c.To == words {
			return c.says()
		}
	}
	return ""
}
