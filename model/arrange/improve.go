package arrange

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
	before := c.around(a, size) + c.around(b, size)
	if b == a+size {
		before -= c.seams(b) // it lies in both
	}
	exchange()
	after := c.around(a, size) + c.around(b, size)
	if b == a+size {
		after -= c.seams(b)
	}
	if after < before && !c.cyclic() && c.fewMoves() {
		return true
	}
	back()
	return false
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

// seams are those of both rows before a column.
func (c *columns) seams(n int) int64 {
	if n >= len(c.top) {
		return 0
	}
	return c.seam(c.room.outputs, c.top, n) + c.seam(c.room.inputs, c.bottom, n) + c.strangers(n)
}

// moveColumns takes a run of columns out and puts it behind another place; what
// lies between moves up.
func (c *columns) moveColumns(a, b, size int) bool {
	end := b + size
	before := c.between(a, end)
	rotate := func(by int) {
		turn(c.top[a:end], by)
		turn(c.bottom[a:end], by)
	}
	for _, by := range []int{size, end - a - size} { // a run to the right, or one to the left
		rotate(by)
		if c.between(a, end) < before && c.fewMoves() {
			return true
		}
		rotate(end - a - by)
	}
	return false
}

// between is the part of the objective from a column to another that moving runs
// changes: the pairs stay together.
func (c *columns) between(a, end int) int64 {
	sum := c.seams(end)
	for n := a; n < end; n++ {
		sum += c.seams(n)
		if c.price.move > 0 {
			sum += c.price.move * int64(c.moved(n))
		}
	}
	return sum
}

// turn moves the first elements of a row behind the others.
func turn(row []int, by int) {
	turned := append(clone(row[by:]), row[:by]...)
	copy(row, turned)
}
