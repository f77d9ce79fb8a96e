package planner

import (
	"context"
	"slices"
	"strings"

	"bayhand/model/plan"
	"bayhand/model/planner/clause"
	"bayhand/model/session"
)

// explain says why a session cannot be given: a smallest set of wants without
// which the rest can, and of each of them what stands in its way. With Partly it
// plans the rest.
func (t *task) explain(ctx context.Context) (*plan.Plan, error) {
	e := newEncoding(t, true, t.present)
	e.Stop = func() bool { return ctx.Err() != nil }
	dropped := e.fewestDropped(t.options.effort())
	if dropped == nil {
		p := t.cannot([]plan.Missing{})
		p.Stopped = true
		return p, nil
	}
	p := t.cannot(nil)
	for _, at := range dropped {
		p.Missing = append(p.Missing, e.why(ctx, at, dropped))
	}
	if !t.options.Partly {
		return p, nil
	}
	return t.partly(ctx, dropped, p.Missing)
}

// wish is one want or silence, by its literal.
type wish struct {
	lit  clause.Lit
	text string
	key  string
}

func (e *encoding) wishes() []wish {
	var all []wish
	for i, w := range e.task.session.Wants {
		all = append(all, wish{e.wantLits[i], wantText(w), w.Key})
	}
	for i, p := range e.task.session.Silent {
		all = append(all, wish{e.hushLits[i], "silence at " + p.String(), "silent"})
	}
	return all
}

// fewestDropped finds a smallest set of wants and silences to do without; nil
// if the work was spent before.
func (e *encoding) fewestDropped(effort int64) []wish {
	o := newOptimum(e.Solver, e.Work+effort)
	all := e.wishes()
	for _, a := range all {
		o.add(a.lit.Not(), 1, ungrouped)
	}
	for o.solve() == clause.Yes {
		if d := e.decode(); e.refine(d) || e.refineStock(d) {
			continue
		}
		var dropped []wish
		for _, a := range all {
			if !e.Value(a.lit) {
				dropped = append(dropped, a)
			}
		}
		return dropped
	}
	return nil
}

// why says what stands in the way of one want that was dropped: the kept wants
// with which it cannot be had, found by trying without each of them, and what
// would make it possible.
func (e *encoding) why(ctx context.Context, a wish, dropped []wish) plan.Missing {
	m := plan.Missing{Want: a.text, Key: a.key}
	var with []wish
	for _, k := range e.wishes() {
		if !slices.ContainsFunc(dropped, func(d wish) bool { return d.lit == k.lit }) {
			with = append(with, k)
		}
	}
	if !e.canBeHad(a, nil) {
		m.Because = e.task.alone(ctx, a)
		return m
	}
	for i := 0; i < len(with); {
		less := slices.Delete(slices.Clone(with), i, i+1)
		if e.canBeHad(a, less) {
			i++
			continue
		}
		with = less
	}
	m.Because = "it cannot be had together with " + join(with)
	if r := e.task.remedy(ctx, append(with, a)); r != "" {
		m.Because += "; " + r
	}
	return m
}

// canBeHad says whether a want can be had together with others.
func (e *encoding) canBeHad(a wish, with []wish) bool {
	lits := []clause.Lit{a.lit}
	for _, k := range with {
		lits = append(lits, k.lit)
	}
	for e.Solve(lits, 20e6) == clause.Yes {
		if d := e.decode(); !e.refine(d) && !e.refineStock(d) {
			return true
		}
	}
	return false
}

func join(all []wish) string {
	texts := make([]string, len(all))
	for i, a := range all {
		texts[i] = a.text
	}
	return strings.Join(texts, ", ")
}

// partly plans a session without what was dropped.
func (t *task) partly(ctx context.Context, dropped []wish, missing []plan.Missing) (*plan.Plan, error) {
	less := *t.session
	gone := func(text string) bool {
		return slices.ContainsFunc(dropped, func(a wish) bool { return a.text == text })
	}
	less.Wants = slices.DeleteFunc(slices.Clone(less.Wants), func(w session.Want) bool { return gone(wantText(w)) })
	less.Silent = slices.Clone(less.Silent)
	for i := 0; i < len(less.Silent); {
		if gone("silence at " + less.Silent[i].String()) {
			less.Silent = slices.Delete(less.Silent, i, i+1)
			continue
		}
		i++
	}
	options := t.options
	options.Partly = false
	p, err := find(ctx, t.room, t.from, &less, options)
	if err != nil {
		return nil, err
	}
	p.Given = false
	p.Missing = append(slices.Clone(missing), p.Missing...)
	return p, nil
}
