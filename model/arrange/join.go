package arrange

// join makes lines of wiring longer as long as the objective falls: where a port
// begins a line and the port before it stands elsewhere, its run is exchanged with
// what stands behind that one, in its row alone or with whole columns, or moved
// there. A room has few places where a line begins, so that a pass takes time
// linear in the columns, where improve looks at all pairs of them. It stops after so
// many looks at an exchange; the answer is the number that it took.
func (c *columns) join(limit int) int {
	looks, better := 0, true
	for better && looks < limit {
		better = false
		for n := 0; n < len(c.top) && looks < limit; n++ {
			for _, row := range []struct {
				ports []port
				at    []int
				swap  func(a, b, size int) bool
			}{{c.room.outputs, c.top, c.swapTops}, {c.room.inputs, c.bottom, c.swapBottoms}} {
				tried, found := c.joinAt(row.ports, row.at, n, row.swap)
				looks += tried
				better = better || found
			}
		}
	}
	return looks
}

// joinAt looks at the exchanges that bring a port behind the one before it, or that
// one before it.
func (c *columns) joinAt(ports []port, row []int, n int, swapRow func(a, b, size int) bool) (looks int, better bool) {
	p := row[n]
	if p == none || !ports[p].follows || n > 0 && row[n-1] == p-1 && !c.first[n] {
		return 0, false
	}
	before := position(row, p-1)
	if before < 0 {
		return 0, false
	}
	for _, size := range []int{8, 4, 2, 1} {
		for _, places := range [][2]int{{before + 1, n}, {before - size + 1, n - size}} {
			a, b := min(places[0], places[1]), max(places[0], places[1])
			if a < 0 || b < a+size || b+size > len(row) {
				continue
			}
			for _, exchange := range []func(a, b, size int) bool{swapRow, c.swapColumns, c.moveColumns} {
				looks++
				if exchange(a, b, size) {
					return looks, true
				}
			}
		}
	}
	return looks, false
}

// position is where a port stands in a row, negative where it does not.
func position(row []int, p int) int {
	for n, at := range row {
		if at == p {
			return n
		}
	}
	return -1
}
