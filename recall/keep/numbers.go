package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// A cord may have a number on it. Then what it was at fault with is remembered wherever
// it goes, and one that was at fault in different jacks is worn: it is proposed for the
// bin, since the jacks have nothing in common but the cord.

// Numbered is a cord with a number on it.
type Numbered struct {
	Number int `json:"number"`
	// Ends are the jacks that it is in; none while it is out of the bay.
	Ends   []name.Point `json:"ends,omitempty"`
	Faults []CordFault  `json:"faults,omitempty"`
}

// CordFault is one fault of a cord, of a kind that package suspect names, in the jacks
// that it was in.
type CordFault struct {
	Fault string       `json:"fault"`
	Ends  []name.Point `json:"ends"`
	Fact
}

// worn says whether a cord was at fault in places that share no jack.
func (n Numbered) worn() bool {
	for i, f := range n.Faults {
		for _, g := range n.Faults[i+1:] {
			if !slices.ContainsFunc(f.Ends, func(p name.Point) bool { return slices.Contains(g.Ends, p) }) {
				return true
			}
		}
	}
	return false
}

// in says whether the numbered cord is the one that is plugged so.
func (n Numbered) in(c patch.Cord) bool {
	return len(n.Ends) == 2 && c.Same(patch.Cord{A: n.Ends[0], B: n.Ends[1]})
}

// number is the number of a cord; 0 for none.
func (m Memory) number(c patch.Cord) int {
	for _, n := range m.Numbered {
		if n.in(c) {
			return n.Number
		}
	}
	return 0
}

// KnownCords is what is known of a studio, with the numbers of cords.
func (m Memory) KnownCords(s *studio.Studio) Known {
	known := m.Known.of(s)
	for i, c := range known.Cords {
		known.Cords[i].Number = m.number(c.Cord)
	}
	return known
}

// number takes in which number is on the cord in two jacks. A number is on one cord, and
// a cord has one number.
func (t *telling) number(a, b name.Point, number int) error {
	cord := patch.Cord{A: a, B: b}
	if t.studio != nil && t.studio.Stock.Numbers.First > 0 && !t.studio.Stock.Numbers.Has(number) {
		return tell(ErrUsage, "no cord has the number %d: those of this studio are %s", number, t.studio.Stock.Numbers)
	}
	if !slices.ContainsFunc(t.m.Known.Cords, func(c KnownCord) bool { return c.Same(cord) }) {
		return tell(ErrConflict, "no cord is known to be in %s and %s; report it plugged first", a, b)
	}
	if t.m.number(cord) == number {
		return nil
	}
	one := Numbered{Number: number}
	var others []Numbered
	for _, n := range t.m.Numbered {
		switch {
		case n.Number == number:
			one = n
		case n.in(cord):
			n.Ends = nil
			others = append(others, n)
		default:
			others = append(others, n)
		}
	}
	one.Ends = []name.Point{a, b}
	t.m.Numbered = append(others, one)
	slices.SortFunc(t.m.Numbered, func(p, q Numbered) int { return p.Number - q.Number })
	t.says(Event{Kind: PersonDid, Text: fmt.Sprintf("cord %d is in %s", number, joined(one.Ends))})
	return nil
}

// cordFault takes in that test sound has found a fault of the cord in two jacks. The same
// fault in the same jacks is one. A cord without a number is forgotten once it is out, so
// nothing is remembered of it.
func (t *telling) cordFault(a, b name.Point, fault string) error {
	at := slices.IndexFunc(t.m.Numbered, func(n Numbered) bool { return n.in(patch.Cord{A: a, B: b}) })
	if at < 0 {
		return nil
	}
	n := t.m.Numbered[at]
	same := func(f CordFault) bool { return f.Fault == fault && slices.Equal(f.Ends, n.Ends) }
	if slices.ContainsFunc(n.Faults, same) {
		return nil
	}
	n.Faults = append(slices.Clone(n.Faults), CordFault{fault, n.Ends, Fact{How: Measured, Since: t.fact.Since}})
	t.m.Numbered = slices.Clone(t.m.Numbered)
	t.m.Numbered[at] = n
	t.says(Event{Kind: PersonDid, Text: fmt.Sprintf("cord %d was found at fault in %s: %s", n.Number, joined(n.Ends), fault)})
	return nil
}

// binned forgets a cord that was thrown away, or mended as good as new.
func (t *telling) binned(number int) error {
	at := slices.IndexFunc(t.m.Numbered, func(n Numbered) bool { return n.Number == number })
	if at < 0 {
		return tell(ErrUsage, "no cord is known by the number %d", number)
	}
	t.m.Numbered = slices.Delete(slices.Clone(t.m.Numbered), at, at+1)
	t.says(Event{Kind: PersonDid, Text: fmt.Sprintf("cord %d is thrown away, or mended", number)})
	return nil
}

// followNumbers keeps the numbers on their cords: one of which an end was moved is where
// that end is now, and one that was pulled is out.
func (m *Memory) followNumbers(before Known) {
	has := func(k Known, c patch.Cord) bool {
		return slices.ContainsFunc(k.Cords, func(o KnownCord) bool { return o.Same(c) })
	}
	for i, n := range m.Numbered {
		if len(n.Ends) != 2 || has(m.Known, patch.Cord{A: n.Ends[0], B: n.Ends[1]}) {
			continue
		}
		var now []name.Point
		for _, c := range m.Known.Cords {
			moved := c.A == n.Ends[0] || c.B == n.Ends[0] || c.A == n.Ends[1] || c.B == n.Ends[1]
			if moved && !has(before, c.Cord) && !c.B.IsZero() {
				now = c.Ends()
			}
		}
		m.Numbered = slices.Clone(m.Numbered)
		m.Numbered[i].Ends = now
	}
}

// WornCords propose cords for the bin.
func (m Memory) WornCords() []Problem {
	var all []Problem
	for _, n := range m.Numbered {
		if !n.worn() {
			continue
		}
		var places []string
		for _, f := range n.Faults {
			places = append(places, phrase.Put("{fault} in {jacks}", "fault", f.Fault, "jacks", joined(f.Ends)))
		}
		last := n.Faults[len(n.Faults)-1]
		all = append(all, Problem{Code: "worn-cord", Severity: "advice", Since: last.Since,
			Message:  fmt.Sprintf("cord %d was at fault in different jacks: %s. Take it out and bin it, or have it mended", n.Number, strings.Join(places, "; ")),
			Remedies: []Act{{Do: Binned, Number: n.Number}}})
	}
	return all
}
