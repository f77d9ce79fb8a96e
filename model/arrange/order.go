package arrange

import (
	"math/bits"
	"slices"
)

// mostExact is how many blocks are ordered exactly: 32,768 subsets.
const mostExact = 15

// bestOrder is an order of blocks in a row in which the sum of flows times the
// ways between middles is the least, as far as it is found, and in which what has to stand
// earlier does; where that is a circle nothing has to.
func bestOrder(widths []int64, flow [][]int64, earlier [][]int) []int {
	if sorted(earlier) == nil {
		earlier = make([][]int, len(widths))
	}
	if len(widths) <= mostExact {
		return exactOrder(widths, flow, earlier)
	}
	return exchangedOrder(widths, flow, earlier)
}

// sorted is an order in which what has to stand earlier does; nil where there is none.
func sorted(earlier [][]int) []int {
	order, placed := []int{}, make([]bool, len(earlier))
	for len(order) < len(earlier) {
		next := none
		for b := range earlier {
			if !placed[b] && !slices.ContainsFunc(earlier[b], func(m int) bool { return !placed[m] }) {
				next = b
				break
			}
		}
		if next == none {
			return nil
		}
		placed[next], order = true, append(order, next)
	}
	return order
}

// exactOrder is the dynamic program over subsets. The cost of a set is that of
// its blocks standing at the left, in twice the length: the block at its right end adds
// its width for the flows that end in its middle, and twice its width for those that pass
// over it. It takes 2^n * n^2 steps.
func exactOrder(widths []int64, flow [][]int64, earlier [][]int) []int {
	n := len(widths)
	cost, cut, last := make([]int64, 1<<n), make([]int64, 1<<n), make([]int8, 1<<n)
	all, needs := make([]int64, n), make([]int, n) // flows that end in each block, and what stands earlier
	for b := range n {
		all[b] = into(1<<n-1, b, flow)
		for _, m := range earlier[b] {
			needs[b] |= 1 << m
		}
	}
	for set := 1; set < 1<<n; set++ {
		cost[set] = -1
		for rest := set; rest != 0; rest &= rest - 1 {
			b := bits.TrailingZeros(uint(rest))
			before := set &^ (1 << b)
			from := into(before, b, flow)
			cut[set] = cut[before] + all[b] - 2*from
			if cost[before] < 0 || needs[b]&^before != 0 {
				continue
			}
			if added := cost[before] + widths[b]*(all[b]+2*(cut[before]-from)); cost[set] < 0 || added < cost[set] {
				cost[set], last[set] = added, int8(b)
			}
		}
	}
	order := make([]int, n)
	for set, at := 1<<n-1, n-1; at >= 0; at-- {
		order[at] = int(last[set])
		set &^= 1 << last[set]
	}
	return order
}

// into is the flow from a set of blocks into another one.
func into(set, b int, flow [][]int64) int64 {
	sum := int64(0)
	for set &^= 1 << b; set != 0; set &= set - 1 {
		sum += flow[bits.TrailingZeros(uint(set))][b]
	}
	return sum
}

// length is twice the sum of flows times the ways between the middles of blocks.
func length(order []int, widths []int64, flow [][]int64) int64 {
	middle, at := make([]int64, len(order)), int64(0)
	for _, b := range order {
		middle[b] = 2*at + widths[b]
		at += widths[b]
	}
	sum := int64(0)
	for a := range order {
		for b := a + 1; b < len(order); b++ {
			way := middle[a] - middle[b]
			sum += flow[a][b] * max(way, -way)
		}
	}
	return sum
}

// exchangedOrder moves one block at a time to its best place, as long as the sum
// falls.
func exchangedOrder(widths []int64, flow [][]int64, earlier [][]int) []int {
	order := sorted(earlier)
	least := length(order, widths, flow)
	for better := true; better; {
		better = false
		for from := range order {
			for to := range order {
				moved := insert(order, from, to)
				if l := length(moved, widths, flow); l < least && inOrder(moved, earlier) {
					order, least, better = moved, l, true
				}
			}
		}
	}
	return order
}

// inOrder says whether what has to stand earlier does.
func inOrder(order []int, earlier [][]int) bool {
	placed := make([]bool, len(order))
	for _, b := range order {
		if slices.ContainsFunc(earlier[b], func(m int) bool { return !placed[m] }) {
			return false
		}
		placed[b] = true
	}
	return true
}

// insert is an order with one block taken out and put in elsewhere.
func insert(order []int, from, to int) []int {
	rest := append(clone(order[:from]), order[from+1:]...)
	return append(append(clone(rest[:to]), order[from]), rest[to:]...)
}
