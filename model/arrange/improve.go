package arrange

import "slices"

// improve exchanges parts of the columns as long as the objective falls: two
// runs of one, two, four or eight jacks of a row, or of columns with both, or a
// run that moves to another place. It stops after so many looks at an exchange;
// the answer is the number that it took.
func (c *columns) improve(limit int) int {
	looks, better := 0, true
	for better && looks < limit {
		better = false
		for _, exchange := range []func(a, b, size int) bool{c.swapTops, c.swapBottoms, c.swapColumns, c.moveColumns} {
			for _, size := range []int{8, 4, 2, 1} {
				n, found := c.exchangeAll(size, limit-looks, exchange)
				looks += n
				better = better || found
			}
		}
	}
	return looks
}

// exchangeAll tries an exchange of all pairs of runs of a size.
func (c *columns) exchangeAll(size, limit int, exchange func(a, b, size int) bool) (looks int, better bool) {
	for a := 0; a+2*size <= len(c.top) && looks < limit; a++ {
		for b := a + size; b+size <= len(c.top); b++ {
			looks++
			if exchange(a, b, size) {
				better = true
			}
		}
	}
	return looks, better
}

func (c *columns) swapTops(a, b, size int) bool {
	return c.try(a, b, size, func() { swap(c.top, a, b, size) }, func() { swap(c.top, a, b, size) })
}

func (c *columns) swapBottoms(a, b, size int) bool {
	return c.try(a, b, size, func() { swap(c.bottom, a, b, size) }, func() { swap(c.bottom, a, b, size) })
}

func (c *columns) swapColumns(a, b, size int) bool {
	both := func() {
		swap(c.top, a, b, size)
		swap(c.bottom, a, b, size)
	}
	return c.try(a, b, size, both, both)
}

func swap(row []int, a, b, size int) {
	for n := range size {
		row[a+n], row[b+n] = row[b+n], row[a+n]
	}
}

// try makes an exchange of two runs, and takes it back unless the objective falls
// and no normals close a cycle. Only the columns and seams of the runs change.
func (c *columns) try(a, b, size int, exchange, back func()) bool {
	before := c.aroundBoth(a, b, size)
	exchange()
	if c.aroundBoth(a, b, size) < before && !c.cyclic() && c.fewMoves() {
		return true
	}
	back()
	return false
}

// aroundBoth is the part of the objective that two runs have, and the groups that
// they are in.
func (c *columns) aroundBoth(a, b, size int) int64 {
	sum := c.around(a, size) + c.around(b, size)
	if b == a+size {
		sum -= c.seams(b) // it lies in both
	}
	return sum + c.wide(a, b+size-1)
}

// fewMoves says whether no more ports changed their jacks than may.
func (c *columns) fewMoves() bool { return c.most < 0 || c.moves() <= c.most }

// around is the part of the objective that a run has: its columns, and the seams
// from the one before it to the one behind.
func (c *columns) around(from, size int) int64 {
	sum := int64(0)
	for n := from; n < from+size; n++ {
		sum += c.cell(n) + c.seams(n)
	}
	return sum + c.seams(from+size)
}

// moveColumns takes a run of columns out and puts it behind another place, or the
// run there before it; what lies between moves up.
func (c *columns) moveColumns(a, b, size int) bool {
	end := b + size
	for _, by := range []int{size, end - a - size} { // a run to the right, or one to the left
		if c.turned(a, end, by) < 0 {
			c.turn(a, end, by)
			if c.fewMoves() {
				return true
			}
			c.turn(a, end, end-a-by)
		}
	}
	return false
}

// turned is what the objective gains when the first columns of a range move behind
// the others. The pairs stay together, so that only seams change, and of those
// three where no bay begins within the range and no port has a price on its jack.
func (c *columns) turned(a, end, by int) int64 {
	if c.price.move > 0 || c.room.grouped || c.begins(a, end) {
		before := c.between(a, end)
		c.turn(a, end, by)
		change := c.between(a, end) - before
		c.turn(a, end, end-a-by)
		return change
	}
	left := none
	if !c.first[a] {
		left = a - 1
	}
	change := c.gap(left, a+by) + c.gap(end-1, a) - c.gap(left, a) - c.gap(a+by-1, a+by)
	if end < len(c.top) && !c.first[end] {
		change += c.gap(a+by-1, end) - c.gap(end-1, end)
	}
	return change
}

// begins says whether a bay begins behind the first column of a range.
func (c *columns) begins(a, end int) bool { return c.room.runs[a] != c.room.runs[end-1] }

// between is the part of the objective from a column to another that moving runs
// changes: the pairs stay together.
func (c *columns) between(a, end int) int64 {
	sum := c.seams(end)
	for n := a; n < end; n++ {
		sum += c.seams(n)
		if c.room.microphones != none && c.misplaced(n) {
			sum += c.price.kinds
		}
		if c.price.move > 0 {
			sum += c.price.move * int64(c.moved(n))
		}
	}
	return sum + c.wide(a, end-1)
}

// turn moves the first columns of a range behind the others.
func (c *columns) turn(a, end, by int) {
	turn(c.top[a:end], by)
	turn(c.bottom[a:end], by)
}

// turn moves the first elements of a row behind the others: each part is reversed,
// then the whole.
func turn(row []int, by int) {
	slices.Reverse(row[:by])
	slices.Reverse(row[by:])
	slices.Reverse(row)
}
