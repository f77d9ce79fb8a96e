package arrange

// exchanges change the places of parts of the columns as long as the objective falls.
type exchanges struct {
	*columns
	// most is how many ports may change their jacks; negative for any number.
	most int
}

// anyMoves is no bound on the ports that change their jacks.
const anyMoves = -1

// improve exchanges two runs of one, two, four or eight jacks of a row, or of columns
// with both, or moves a run to another place. It stops after so many looks at an
// exchange; the answer is the number that it took.
func (c exchanges) improve(limit int) int {
	looks, better := 0, true
	for better && looks < limit {
		better = false
		for _, p := range []part{tops, bottoms, both, turning} {
			for _, size := range []int{8, 4, 2, 1} {
				n, found := c.exchangeAll(p, size, limit-looks)
				looks += n
				better = better || found
			}
		}
	}
	return looks
}

// exchangeAll tries an exchange of all pairs of runs of a size.
func (c exchanges) exchangeAll(p part, size, limit int) (looks int, better bool) {
	for a := 0; a+2*size <= len(c.top) && looks < limit; a++ {
		for b := a + size; b+size <= len(c.top); b++ {
			looks++
			if c.try(p, a, b, size) {
				better = true
			}
		}
	}
	return looks, better
}

// try makes an exchange of two runs, and takes it back unless the objective falls
// and no normals close a cycle. Only the columns and seams of the runs change.
func (c exchanges) try(p part, a, b, size int) bool {
	if p == turning {
		return c.tryTurning(a, b, size)
	}
	before := c.aroundBoth(a, b, size)
	c.swap(p, a, b, size)
	if c.aroundBoth(a, b, size) < before && !c.cyclic() && c.fewMoves() {
		return true
	}
	c.swap(p, a, b, size)
	return false
}

// tryTurning takes a run of columns out and puts it behind another place, or the
// run there before it; what lies between moves up.
func (c exchanges) tryTurning(a, b, size int) bool {
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

// fewMoves says whether no more ports changed their jacks than may.
func (c exchanges) fewMoves() bool { return c.most < 0 || c.moves() <= c.most }
