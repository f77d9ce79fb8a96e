package order

import "slices"

// batcher puts what a matrix does into as few steps as the order allows: all that
// can wait for the same persons' moves is switched at once.
type batcher struct {
	*arranger
	waits [][]int
	// number is the least number of batches of its matrix before that of a unit.
	number []int
	// placed are the units that have their place.
	placed []bool
	muted  map[string]bool
	order  []*unit
}

// batch joins what a matrix does at a time, and lets no loudspeaker be muted
// sooner for it.
func (a *arranger) batch() {
	waits, _ := a.waiting()
	b := &batcher{arranger: a, waits: waits, number: make([]int, len(a.done)), placed: make([]bool, len(a.done)), muted: map[string]bool{}}
	for _, m := range a.room.Studio().Matrices {
		b.count(m.Name)
	}
	for b.next() {
	}
	a.done = b.order
}

// count numbers the batches of a matrix: what waits for something between that
// waits for the matrix is of a later one. Opens come first in a batch, so what
// opens after something was closed is of a later one, too.
func (b *batcher) count(matrix string) {
	if !slices.ContainsFunc(b.done, func(u *unit) bool { return u.matrix == matrix }) {
		return
	}
	last := make([]int, len(b.done))
	for i, u := range b.done {
		last[i] = -1
		for _, k := range b.waits[i] {
			at := last[k]
			if v := b.done[k]; u.matrix == matrix && (v.matrix != matrix || v.closes() && !u.closes()) {
				at++
			}
			last[i] = max(last[i], at)
		}
		if u.matrix == matrix {
			last[i] = max(last[i], 0)
			b.number[i] = last[i]
		}
	}
}

// closes says whether a unit closes a crosspoint.
func (u *unit) closes() bool { return u.matrix != "" && !u.changes[0].Input.IsZero() }

// next places the next unit that need not wait, in the order found; a matrix
// waits until its batch is whole, unless nothing else can be done in silence. It is
// false once all have their places.
func (b *batcher) next() bool {
	waiting := -1
	for i, u := range b.done {
		if b.placed[i] || !b.ready(i) {
			continue
		}
		if u.matrix != "" && !b.whole(i) {
			if waiting < 0 {
				waiting = i
			}
			continue
		}
		if waiting >= 0 && b.wakes(u) {
			break
		}
		b.place(i)
		return true
	}
	if waiting >= 0 {
		b.place(waiting)
	}
	return waiting >= 0
}

func (b *batcher) ready(i int) bool {
	return !slices.ContainsFunc(b.waits[i], func(k int) bool { return !b.placed[k] })
}

// wakes says whether something must be muted for a unit that is up yet.
func (b *batcher) wakes(u *unit) bool {
	return slices.ContainsFunc(u.quiets, func(g string) bool { return !b.muted[g] && !b.rules.silent[g] })
}

// whole says whether the batch of a unit can be switched as a whole.
func (b *batcher) whole(i int) bool {
	batch := b.with(i)
	for k, v := range b.done {
		if !b.placed[k] && v.matrix == b.done[i].matrix && b.number[k] == b.number[i] && !slices.Contains(batch, k) {
			return false
		}
	}
	return true
}

// with are the units that can be switched with one now.
func (b *batcher) with(i int) []int {
	batch := []int{i}
	quiets := b.wakes(b.done[i])
	for k, v := range b.done {
		if k == i || b.placed[k] || v.matrix != b.done[i].matrix || b.number[k] != b.number[i] || b.wakes(v) && !quiets {
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
	if b.done[i].matrix != "" {
		batch = b.with(i)
	}
	var units []*unit
	for _, k := range batch {
		b.placed[k] = true
		units = append(units, b.done[k])
		for _, g := range b.done[k].quiets {
			b.muted[g] = true
		}
	}
	if len(units) > 1 {
		units = []*unit{join(units)}
	}
	b.order = append(b.order, units[0])
}
