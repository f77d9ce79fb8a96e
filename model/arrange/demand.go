package arrange

import (
	"fmt"
	"slices"

	"bayhand/model/matching"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// demand is what the sessions ask of the ports.
func (r *room) demand(q *Request) *demand {
	d := &demand{outputs: len(r.outputs), inputs: len(r.inputs)}
	outputs, inputs := numbers(r.outputs), numbers(r.inputs)
	barred := r.withoutNormal(q)
	d.alien = func(o, i int) bool { return r.alien(o, i, q) }
	d.halved = r.isInsert
	d.always = r.turnedCost(q)
	d.untapped = func(o int) bool { return r.outputs[o].kind == studio.MicLevel }
	howls := r.howling()
	d.isolated = func(o, i int) bool {
		if r.outputs[o].turned || r.inputs[i].turned {
			return true
		}
		return r.outputs[o].point.Owner == r.inputs[i].point.Owner || barred[i] || howls(o, i)
	}
	for _, s := range q.Sessions {
		wants, silent := make([][]int, d.outputs), make([]bool, d.inputs)
		for n, w := range s.Session.Wants {
			o, ok := outputs[w.Source]
			if !ok || slices.ContainsFunc(s.Session.Wants[:n], func(v session.Want) bool { return v.Source == w.Source && v.Destination == w.Destination }) {
				continue
			}
			i, ok := inputs[w.Destination]
			if !ok {
				i = d.inputs + n // a destination that stands elsewhere
			}
			wants[o] = append(wants[o], i)
		}
		for _, p := range s.Session.Silent {
			if i, ok := inputs[p]; ok {
				silent[i] = true
			}
		}
		d.weights, d.wants, d.silent = append(d.weights, int64(max(1, s.Weight))), append(d.wants, wants), append(d.silent, silent)
	}
	return d
}

func numbers(ports []port) map[name.Point]int {
	all := make(map[name.Point]int, len(ports))
	for n, p := range ports {
		all[p.point] = n
	}
	return all
}

func (r *room) isInsert(o, i int) bool { return slices.Contains(r.inserts, pairing{o, i}) }

// alien says whether an output and an input may not share a column: a wall stands between
// them, their kinds
// differ, or one of them belongs to an insert that the other does not.
func (r *room) alien(o, i int, q *Request) bool {
	of := func(p pairing) bool { return (p.output == o) != (p.input == i) }
	if slices.ContainsFunc(r.inserts, of) {
		return true
	}
	if o == none || i == none {
		return false
	}
	if (places{r}).split(o, i) {
		return true
	}
	return r.outputs[o].kind != r.inputs[i].kind && !slices.Contains(q.Waived, KindsApart)
}

// through are the outputs that each input leads to by passes.
func (r *room) through(passes func(studio.Gear) []studio.Pass) [][]int {
	outputs, inputs := numbers(r.outputs), numbers(r.inputs)
	all := make([][]int, len(r.inputs))
	for _, g := range r.studio.Gear {
		for _, p := range passes(g) {
			i, ok := inputs[p.In]
			o, has := outputs[p.Out]
			if ok && has {
				all[i] = append(all[i], o)
			}
		}
	}
	return all
}

// problem is the assignment of a room: an eighth of the columns is left blank
// where that leaves enough.
func (r *room) problem(q *Request, limit int) *problem {
	d := r.demand(q)
	need := max(d.outputs, d.inputs)
	columns := len(r.slots)
	if !slices.Contains(q.Waived, Spares) {
		columns = max(need, columns-(columns+7)/8)
	}
	columns = min(columns, r.mostColumns(d))
	return &problem{
		demand: d, columns: columns, limit: limit, tie: r.tie(d),
		passes:  r.through(func(g studio.Gear) []studio.Pass { return g.Passes }),
		canPass: r.through(func(g studio.Gear) []studio.Pass { return g.CanPass }),
	}
}

// mostColumns is how many columns are of use: more than all ports alone take are only more work.
func (r *room) mostColumns(d *demand) int { return min(len(r.slots), d.outputs+d.inputs) }

// leastColumns is how many columns the ports take at least, where what may not share one does not.
func (d *demand) leastColumns() int {
	capacity := slices.Repeat([]int{1}, d.inputs)
	pairs, paired := matching.New(capacity, func(o, i int) bool { return !d.alien(o, i) }), 0
	for o := range d.outputs {
		if pairs.Add(o) {
			paired++
		}
	}
	return d.outputs + d.inputs - paired
}

// tooFew says what a room lacks in which what may not share a column has to.
func (r *room) tooFew(q *Request) error {
	need, has := r.demand(q).leastColumns(), len(r.slots)
	if need <= has {
		return fmt.Errorf("%w: what may not share a column has to; let a rule go", ErrCannot)
	}
	apart := *q
	if apart.Waived = append(slices.Clone(q.Waived), KindsApart); r.demand(&apart).leastColumns() <= has {
		return fmt.Errorf("%w: it takes %d columns, and %d are free; add a bay, or let the rule %s go", ErrCannot, need, has, KindsApart)
	}
	return fmt.Errorf("%w: it takes %d columns, and %d are free; add a bay", ErrCannot, need, has)
}

// tie prefers, of columns that cost the same, what a careful person would do:
// ports of one number over each other, of gear that sessions join, or of the same
// gear; then anything over anything before a blank.
func (r *room) tie(d *demand) func(o, i int) int64 {
	joined := map[[2]int]bool{}
	for _, wants := range d.wants {
		for o, inputs := range wants {
			for _, i := range inputs {
				if i < d.inputs {
					joined[[2]int{r.outputs[o].gear, r.inputs[i].gear}] = true
				}
			}
		}
	}
	return func(o, i int) int64 {
		if o == none && i == none {
			return 0
		}
		if o == none || i == none {
			return 12
		}
		out, in := r.outputs[o], r.inputs[i]
		far := int64(min(3, max(out.point.Number-in.point.Number, in.point.Number-out.point.Number)))
		switch {
		case joined[[2]int{out.gear, in.gear}]:
			return far
		case out.gear == in.gear:
			return 1 + far
		}
		return 6 + far
	}
}
