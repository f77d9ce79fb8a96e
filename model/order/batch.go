package order

import (
	"slices"
)

// batcher puts what a matrix does into as few steps as the order allows: all that
// can wait for the same persons' moves is switched at once.
type batcher struct {
	// actions are in the order found, waits those that each waits for.
	actions []*action
	waits   [][]int
	// number is the least number of batches of its matrix before that of an action.
	number []int
	// placed are the actions that have their place, places those that are in each
	// step.
	placed []bool
	order  []*action
	places [][]int
}

// batch joins what a matrix does at a time.
func batch(f *facts, w *waits) *waits {
	b := &batcher{
		actions: w.order, waits: w.direct,
		number: make([]int, len(w.order)), placed: make([]bool, len(w.order)),
	}
	for _, m := range f.studio.Matrices {
		b.count(m.Name)
	}
	for b.next() {
	}
	return w.grouped(b.order, b.places)
}

// count numbers the batches of a matrix: what waits for something between that
// waits for the matrix is of a later one. Opens come first in a batch, so what
// opens after something was closed is of a later one, too.
func (b *batcher) count(matrix string) {
	if !slices.ContainsFunc(b.actions, func(a *action) bool { return a.matrix == matrix }) {
		return
	}
	last := make([]int, len(b.actions))
	for i, a := range b.actions {
		last[i] = -1
		for _, k := range b.waits[i] {
			at := last[k]
			if before := b.actions[k]; a.matrix == matrix && (before.matrix != matrix || before.closes() && !a.closes()) {
				at++
			}
			last[i] = max(last[i], at)
		}
		if a.matrix == matrix {
			last[i] = max(last[i], 0)
			b.number[i] = last[i]
		}
	}
}

// next places the next action that need not wait: a matrix first, whose batch is
// whole, or that ends what harms gear now, else a hand's, in the order found; and where there is none, what of a batch
// can be switched. It is false once all have their places.
func (b *batcher) next() bool {
	byHand, partial := -1, -1
	for i, a := range b.actions {
		switch {
		case b.placed[i] || !b.ready(i):
		case a.byHand():
			if byHand < 0 {
				byHand = i
			}
		case b.whole(i) || a.rank.urgent:
			b.place(i)
			return true
		case partial < 0:
			partial = i
		}
	}
	if byHand < 0 {
		byHand = partial
	}
	if byHand >= 0 {
		b.place(byHand)
	}
	return byHand >= 0
}

func (b *batcher) ready(i int) bool {
	return !slices.ContainsFunc(b.waits[i], func(k int) bool { return !b.placed[k] })
}

// whole says whether the batch of an action can be switched as a whole.
func (b *batcher) whole(i int) bool {
	batch := b.with(i)
	for k, a := range b.actions {
		if !b.placed[k] && a.matrix == b.actions[i].matrix && b.number[k] == b.number[i] && !slices.Contains(batch, k) {
			return false
		}
	}
	return true
}

// with are the actions that can be switched with one now.
func (b *batcher) with(i int) []int {
	batch := []int{i}
	for k, a := range b.actions {
		if k == i || b.placed[k] || a.matrix != b.actions[i].matrix || b.number[k] != b.number[i] {
			continue
		}
		if !slices.ContainsFunc(b.waits[k], func(w int) bool { return !b.placed[w] && !slices.Contains(batch, w) }) {
			batch = append(batch, k)
		}
	}
	slices.Sort(batch)
	return batch
}

func (b *batcher) place(i int) {
	batch := []int{i}
	if !b.actions[i].byHand() {
		batch = b.with(i)
	}
	var placed []*action
	for _, k := range batch {
		b.placed[k] = true
		placed = append(placed, b.actions[k])
	}
	if len(placed) > 1 {
		placed = []*action{join(placed)}
	}
	b.order, b.places = append(b.order, placed[0]), append(b.places, batch)
}
