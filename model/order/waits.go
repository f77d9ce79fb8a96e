package order

import (
	"slices"

	"bayhand/model/name"
)

// waits are the actions that each one waits for, by their places in an order.
type waits struct {
	order []*action
	// all says which actions must be done before each, directly or not; direct are
	// those with none between.
	all    [][]bool
	direct [][]int
	// quiet are the gear that is muted before anything is done.
	quiet map[string]bool
	// near are the actions that one depends on, itself among them; fixed those that
	// hands or the stock put before one, whatever is heard.
	near, fixed [][]bool
}

// newWaits has all that depends on each other wait, in the order found.
func newWaits(q *sequencer, order []*action) *waits {
	w := &waits{order: order, quiet: quiet(q.facts, order), all: square(len(order)), near: square(len(order)), fixed: square(len(order))}
	own := newStock(q.facts)
	for i, a := range order {
		w.near[i][i] = true
		for k := i - 1; k >= 0; k-- {
			w.fixed[i][k] = bound(a, order[k])
			if w.fixed[i][k] || q.zones.ordered(a, order[k], w.quiet) {
				w.near[i][k], w.near[k][i] = true, true
				w.add(i, k)
			}
		}
		if k, ok := own.supplier(a); ok {
			w.fixed[i][k] = true
			w.add(i, k)
		}
		own.bring(a, i)
	}
	w.reduce()
	return w
}

func square(n int) [][]bool {
	rows := make([][]bool, n)
	for i := range rows {
		rows[i] = make([]bool, n)
	}
	return rows
}

// quiet are the gear that is muted before anything is done: what some action needs
// muted, and what is anyway.
func quiet(f *facts, order []*action) map[string]bool {
	all := map[string]bool{}
	for _, g := range f.audible {
		all[g.Name] = f.silent(g)
	}
	for _, a := range order {
		for _, g := range a.effect.mutes {
			all[g] = true
		}
	}
	return all
}

// add has an action wait for another, and for all that this waits for.
func (w *waits) add(i, before int) {
	if w.all[i][before] {
		return
	}
	w.all[i][before] = true
	for k, too := range w.all[before] {
		w.all[i][k] = w.all[i][k] || too
	}
}

// places are those of all actions.
func (w *waits) places() []int {
	all := make([]int, len(w.order))
	for i := range all {
		all[i] = i
	}
	return all
}

// covers says whether an action waits for another with none between that waits for it
// in turn.
func (w *waits) covers(before, i int) bool {
	if !w.all[i][before] {
		return false
	}
	for between := before + 1; between < i; between++ {
		if w.all[i][between] && w.all[between][before] {
			return false
		}
	}
	return true
}

// reduce finds what is waited for directly.
func (w *waits) reduce() {
	w.direct = make([][]int, len(w.order))
	for i := range w.order {
		for k := range i {
			if w.covers(k, i) {
				w.direct[i] = append(w.direct[i], k)
			}
		}
	}
}

// grouped are the waits of steps that each have several of the actions in one, by
// their places: what any of them waits for.
func (w *waits) grouped(steps []*action, places [][]int) *waits {
	g := &waits{order: steps, all: square(len(steps))}
	for i := range steps {
		for k := i - 1; k >= 0; k-- {
			if slices.ContainsFunc(places[i], func(a int) bool {
				return slices.ContainsFunc(places[k], func(before int) bool { return w.all[a][before] })
			}) {
				g.add(i, k)
			}
		}
	}
	g.reduce()
	return g
}

// bound says whether the order of two actions is that of hands and devices, whatever
// is heard: they handle the same jack or port, are plugs of one cord, or open and close
// the same output.
func bound(a, b *action) bool {
	return a.whole() == b.whole() || a.opensFor(b) || b.opensFor(a) ||
		slices.ContainsFunc(a.handled(), func(p name.Point) bool { return slices.Contains(b.handled(), p) })
}

// handled are the jacks and ports that an action takes hold of.
func (a *action) handled() []name.Point { return slices.Concat(a.move.Ends, a.move.To) }
