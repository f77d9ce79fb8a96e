package page

import (
	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// cord is a cord, lead or dummy that is in.
type cord struct {
	// Key is a jack that it alone is in.
	Key, Kind    string
	Mark         *Mark
	From, To     string
	Length       string
	Known, Since string
	// Number is the one that is on it; 0 for none.
	Number int
}

func (p *page) cords(s keep.Status, marks map[joint]Mark) []cord {
	var all []cord
	mark := func(ends ...name.Point) *Mark {
		if m, ok := marks[jointOf(ends)]; ok {
			return &m
		}
		return nil
	}
	for _, c := range s.Known.Cords {
		one := cord{Key: c.A.String(), Kind: "cord", Mark: mark(c.Ends()...), From: p.words.Point(c.A), To: "loose"}
		if !c.B.IsZero() {
			one.To = p.words.Point(c.B)
		}
		one.Number = c.Number
		one.Length = p.words.Cord(c.Length, c.Poles, c.Ends())
		all = append(all, p.known(one, c.Fact))
	}
	for _, l := range s.Known.Leads {
		all = append(all, p.known(cord{Key: l.Jack.String(), Kind: "lead", Mark: mark(l.Port, l.Jack), From: p.words.Point(l.Port), To: p.words.Point(l.Jack)}, l.Fact))
	}
	for _, d := range s.Known.Dummies {
		all = append(all, p.known(cord{Key: d.Jack.String(), Kind: "dummy", From: p.words.Point(d.Jack)}, d.Fact))
	}
	return all
}

func (p *page) known(c cord, f keep.Fact) cord {
	c.Known, c.Since = how(f), p.clock(f.Since)
	return c
}

// how says how something is known, and who told it where that is known.
func how(f keep.Fact) string {
	if f.How == keep.Told && f.Who != "" {
		return words.Put("reported by {who}", "who", words.Clean(f.Who))
	}
	return words.How(f.How)
}

// believed says whether a fact is no more than a belief.
func believed(f keep.Fact) bool {
	switch f.How {
	case keep.Read, keep.Measured, keep.Told:
		return false
	case keep.Sent, keep.Assumed, keep.NotKnown:
	}
	return true
}
