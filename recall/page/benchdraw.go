package page

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

func (h benchHandler) reach(c patch.Cord) measure.Length {
	if c.B.IsZero() {
		return 0
	}
	length, ok := layout.Shortest(h.page.Studio, c.A, c.B)
	if !ok || h.page.Studio.Stock.Unlimited {
		return 0
	}
	return length
}

// benchMatrices are the matrices with the bench's crosspoints.
func (h benchHandler) benchMatrices(b practice, t *benchTouched, next map[name.Point]bool, d drawing) []matrix {
	var s keep.Status
	for _, m := range h.page.Studio.Matrices {
		for n := 1; n <= m.Outputs; n++ {
			at := m.Out(n)
			inputs := b.Patch.Inputs(at)
			if len(inputs) == 0 {
				inputs = []name.Point{{}}
			}
			for _, in := range inputs {
				s.Known.Crosspoints = append(s.Known.Crosspoints, keep.KnownCrosspoint{Output: at, Input: in, Fact: keep.Fact{How: keep.Told}})
			}
		}
	}
	var lit *touched
	if t != nil {
		lit = &t.touched
	}
	all := drawer(h).matrices(s, asked{}, lit, d)
	for i, m := range h.page.Studio.Matrices {
		all[i].follow("/bench?do=at&a=")
		all[i].ring(m, next)
	}
	return all
}

// follow makes the addresses of a matrix lead elsewhere.
func (m *matrix) follow(prefix string) {
	for i := range m.Inputs {
		m.Inputs[i].Follow = prefix + m.Name + "/in" + m.Inputs[i].Number
	}
	for i := range m.Rows {
		m.Rows[i].Follow = prefix + m.Name + "/out" + m.Rows[i].Number
	}
}

// ring marks the crosspoint that a lesson asks for.
func (m *matrix) ring(of studio.Matrix, next map[name.Point]bool) {
	for n := range m.Rows {
		for i := range m.Rows[n].Cells {
			m.Rows[n].Cells[i].Now = next[of.Out(n+1)] && next[of.In(i+1)]
		}
	}
}

// benchPlugs are the plugs on the bench, as the pictures show them.
func (h benchHandler) benchPlugs(b practice, a bench.Answer, t *benchTouched) plugs {
	all := plugs{
		at: map[name.Point]plugged{}, next: map[name.Point]bool{}, faulty: set(h.page.Studio.Faulty),
		deadNormals: set(h.page.Studio.FaultyNormals), brokenNormals: map[name.Point]bool{},
	}
	for _, broken := range a.Broken {
		all.brokenNormals[name.At(broken.Bay, studio.Top, broken.Number)] = true
	}
	for i, c := range b.Patch.Cords {
		mark := markNumber(b.Marks[i])
		says := words.Put("cord {letter} is loose here", "letter", mark.Letter)
		if !c.B.IsZero() {
			says = words.Put("cord {letter}, {jack} to {other}", "letter", mark.Letter, "jack", h.page.words.Point(c.A), "other", h.page.words.Point(c.B))
		}
		for _, end := range c.Ends() {
			all.at[end] = plugged{state: "in", kind: "cord", mark: &mark, says: says, length: h.reach(c), other: across(c.Ends(), end)}
		}
	}
	for i, l := range b.Patch.Leads {
		mark := markNumber(bench.Most + i)
		all.at[l.Jack] = plugged{state: "in", kind: "lead", mark: &mark, says: words.Put("gear cable {letter} from {port}", "letter", mark.Letter, "port", h.page.words.Point(l.Port))}
	}
	for _, d := range b.Patch.Dummies {
		all.at[d] = plugged{state: "in", kind: "dummy", says: "dummy plug"}
	}
	if !b.Hand.IsZero() {
		all.next[b.Hand] = true
	}
	all.chosen = b.At
	if t != nil {
		all.lit = t.lit
	}
	return all
}
