package bound

// queue is vertices, the one of the least cost first, and of these the one that more of it was
// gone to: a binary heap.
type queue []queued

type queued struct{ cost, gone, vertex int }

func (e queued) before(o queued) bool { return e.cost < o.cost || e.cost == o.cost && e.gone > o.gone }

func (q *queue) push(e queued) {
	list := append(*q, e)
	i := len(list) - 1
	for i > 0 && e.before(list[(i-1)/2]) {
		list[i] = list[(i-1)/2]
		i = (i - 1) / 2
	}
	list[i] = e
	*q = list
}

func (q *queue) pop() queued {
	list := *q
	top, last := list[0], list[len(list)-1]
	list = list[:len(list)-1]
	i, n := 0, len(list)
	for n > 0 {
		child := 2*i + 1
		if child >= n {
			break
		}
		if child+1 < n && list[child+1].before(list[child]) {
			child++
		}
		if !list[child].before(last) {
			break
		}
		list[i] = list[child]
		i = child
	}
	if n > 0 {
		list[i] = last
	}
	*q = list
	return top
}
