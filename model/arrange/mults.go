package arrange

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Mults are what splits by cord need: a source that goes to more places at once than
// it has front jacks goes into one jack of a mult and out of the others.
type Mults struct {
	// Jacks are those that are needed beside what the room has.
	Jacks int `json:"jacks"`
	// Strips are the jacks that are proposed to be joined at the rear, of blank
	// columns.
	Strips  [][]name.Point `json:"strips"`
	Because string         `json:"because"`
}

// split is a source that a session takes to several places by cord.
type split struct {
	session string
	source  name.Point
	places  int
}

// jacks are how many of a mult a split takes: one in, the others out.
func (s split) jacks() int { return s.places + 1 }

// splitting is what a layout needs where a source goes to several places by cord.
type splitting struct{ *columns }

// wideSplits are those of each session, the widest first.
func (c splitting) wideSplits(q *Request) [][]split {
	all := make([][]split, len(q.Sessions))
	for s, one := range q.Sessions {
		for o, wants := range c.pricing.demand.wants[s] {
			byCord, front := len(wants), 1
			n := c.topAt[o]
			switch mode := c.mode(n); {
			case mode == studio.Parallel:
				front = 2
			case c.bottom[n] == none || !c.pricing.demand.asks(s, o, c.bottom[n]):
			case mode == studio.HalfNormal, mode == studio.FullNormal && byCord == 1:
				byCord--
			}
			if byCord > front {
				all[s] = append(all[s], split{one.Session.Name, c.room.outputs[o].point, byCord})
			}
		}
		slices.SortStableFunc(all[s], func(a, b split) int { return cmp.Compare(b.places, a.places) })
	}
	return all
}

// missing are the splits that set the size of each mult which the room lacks: of
// each session the widest needs the largest mult, and so on.
func (c splitting) missing(q *Request) []split {
	var worst []split
	for _, splits := range c.wideSplits(q) {
		for n, s := range splits {
			switch {
			case n >= len(worst):
				worst = append(worst, s)
			case s.places > worst[n].places:
				worst[n] = s
			}
		}
	}
	had := multJacks(c.room.studio)
	slices.Sort(had)
	// The smallest of the mults that are there serves the smallest need it can.
	var lack []split
	for _, s := range slices.Backward(worst) {
		at := slices.IndexFunc(had, func(jacks int) bool { return jacks >= s.jacks() })
		if at < 0 {
			lack = append(lack, s)
			continue
		}
		had = slices.Delete(had, at, at+1)
	}
	slices.Reverse(lack)
	return lack
}

// multJacks are how many jacks each mult of a studio has on its front: those that are
// joined at the rear, and their partners in pairs that are always joined.
func multJacks(s *studio.Studio) []int {
	var all []int
	for _, m := range s.Mults {
		jacks := map[name.Point]bool{}
		for _, j := range m.Jacks {
			jacks[j] = true
			if b := s.BayNamed(j.Owner); b != nil && b.Modes[j.Number-1] == studio.Parallel {
				jacks[b.TopJack(j.Number)], jacks[b.BottomJack(j.Number)] = true, true
			}
		}
		all = append(all, len(jacks))
	}
	return all
}

// findMults puts the mults that are missing on blank columns at the end of the bay
// whose sources need them; what finds no room is said.
func (l *Layout) findMults(q *Request) {
	c := splitting{l.columns}
	l.mults = Mults{Strips: [][]name.Point{}, Because: "no session takes one source to more places at once than there are jacks for"}
	lack := c.missing(q)
	var parts []string
	for _, s := range lack {
		l.mults.Jacks += s.jacks()
		part := fmt.Sprintf("in %s %s goes to %d places at once by cord", s.session, s.source, s.places)
		strip := c.takeBlank(l.multColumns, (s.jacks()+1)/2, s.source)
		if strip == nil {
			parts = append(parts, phrase.Put("{demand}, and there are too few blank columns for its mult", "demand", part))
			continue
		}
		var jacks []name.Point
		for _, n := range strip {
			l.multColumns[n] = true
			at := c.room.slots[n]
			bay := &c.room.studio.Bays[at.bay]
			jacks = append(jacks, bay.TopJack(at.number), bay.BottomJack(at.number))
		}
		l.mults.Strips = append(l.mults.Strips, jacks)
		parts = append(parts, part)
	}
	if len(parts) > 0 {
		l.mults.Because = strings.Join(parts, "; ")
	}
}

// takeBlank finds so many blank columns side by side, as far right as they are, on
// the bay of a source, else on one that a cord reaches from there; nil where there are
// none.
func (c splitting) takeBlank(taken map[int]bool, count int, source name.Point) []int {
	home := c.topAt[slices.IndexFunc(c.room.outputs, func(p port) bool { return p.point == source })]
	var elsewhere []int
	for end := len(c.top); end >= count; end-- {
		strip := c.blankStrip(taken, end-count, end)
		switch {
		case strip == nil:
		case c.room.slots[strip[0]].bay == c.room.slots[home].bay:
			return strip
		case elsewhere == nil && c.reaches(home, strip[0]):
			elsewhere = strip
		}
	}
	return elsewhere
}

// blankStrip are the columns of a range where all are blank and on one bay; nil
// otherwise.
func (c splitting) blankStrip(taken map[int]bool, from, to int) []int {
	var strip []int
	for n := from; n < to; n++ {
		if !c.blank(n) || taken[n] || n > from && c.first[n] || c.groupOf(n) != none && c.mode(n) != studio.Isolated {
			return nil
		}
		strip = append(strip, n)
	}
	return strip
}

// reaches says whether the longest cord owned, or to be had, reaches between two
// columns.
func (c splitting) reaches(a, b int) bool {
	longest := made[len(made)-1]
	if stock := c.room.studio.Stock; !stock.Unlimited {
		longest = 0
		for _, s := range stock.Cords {
			longest = max(longest, s.Length)
		}
	}
	jack := func(n int) name.Point {
		at := c.room.slots[n]
		return c.room.studio.Bays[at.bay].TopJack(at.number)
	}
	return layout.Reaches(c.room.studio, jack(a), jack(b), longest)
}
