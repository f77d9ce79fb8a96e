package arrange

// join makes lines of wiring longer as long as the objective falls: where a port
// begins a line and the port before it stands elsewhere, its run is exchanged with
// what stands behind that one, in its row alone or with whole columns, or moved
// there. A room has few places where a line begins, so that a pass takes time
// linear in the columns, where improve looks at all pairs of them. It stops after so
// many looks at an exchange; the answer is the number that it took.
func (c exchanges) join(limit int) int {
	looks, better := 0, true
	for better && looks < limit {
		better = false
		for n := 0; n < len(c.top) && looks < limit; n++ {
			for _, row := range c.rows() {
				tried, found := c.joinAt(row, n)
				looks += tried
				better = better || found
			}
		}
	}
	return looks
}

// joinAt looks at the exchanges that bring a port behind the one before it, or that
// one before it.
func (c exchanges) joinAt(r row, n int) (looks int, better bool) {
	p := r.at[n]
	if p == none || !r.ports[p].follows || n > 0 && r.at[n-1] == p-1 && !c.first[n] {
		return 0, false
	}
	before := c.columnOf(r.part, p-1)
	for _, size := range []int{8, 4, 2, 1} {
		for _, places := range [][2]int{{before + 1, n}, {before - size + 1, n - size}} {
			a, b := min(places[0], places[1]), max(places[0], places[1])
			if a < 0 || b < a+size || b+size > len(r.at) {
				continue
			}
			for _, p := range []part{r.part, both, turning} {
				looks++
				if c.try(p, a, b, size) {
					return looks, true
				}
			}
		}
	}
	return looks, false
}
