package arrange

// A unit is two ports of a row that stand side by side wherever they stand: left
// and right, or two that have no other side. Its second is a blank where there is
// none.
type unit [2]int

// units takes the ports of a row two by two.
func units(ports []port) []unit {
	var all []unit
	single := none
	for n := range ports {
		switch {
		case ports[n].right:
		case n+1 < len(ports) && ports[n+1].right:
			all = append(all, unit{n, n + 1})
		case single != none && ports[single].kind == ports[n].kind:
			all, single = append(all, unit{single, n}), none
		default:
			if single != none {
				all = append(all, unit{single, none})
			}
			single = n
		}
	}
	if single != none {
		all = append(all, unit{single, none})
	}
	return all
}

// byPairs is the cheapest matching in which left and right keep together: an
// assignment of units, which is where a search that never parts them begins. It is
// nil where there are too few columns for whole units, or where kinds do not allow
// it.
func (r drafting) byPairs() []pairing {
	tops, bottoms := units(r.outputs), units(r.inputs)
	count := len(r.slots) / 2
	if count < max(len(tops), len(bottoms)) {
		return nil
	}
	count = min(count, len(tops)+len(bottoms))
	blank := unit{none, none}
	of := func(all []unit, n int) unit {
		if n < len(all) {
			return all[n]
		}
		return blank
	}
	costs := make([][]int64, count)
	for row := range costs {
		costs[row] = make([]int64, count)
		for column := range costs[row] {
			costs[row][column] = r.costs.unitCost(of(tops, row), of(bottoms, column))
		}
	}
	found := newAssignment(costs)
	if found.total() >= forbidden<<tieBits {
		return nil
	}
	var all []pairing
	for row, column := range found.columnOf {
		top, bottom := of(tops, row), of(bottoms, column)
		for n := range top {
			if top[n] != none || bottom[n] != none {
				all = append(all, pairing{top[n], bottom[n]})
			}
		}
	}
	return all
}

// unitCost is what two columns cost side by side.
func (p *problem) unitCost(top, bottom unit) int64 {
	sum := int64(0)
	for n := range top {
		o, i := top[n], bottom[n]
		if o == none {
			o = p.demand.outputs
		}
		if i == none {
			i = p.demand.inputs
		}
		sum += p.priced[o][i]
	}
	return min(sum, forbidden<<tieBits)
}
