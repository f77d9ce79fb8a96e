package route

// reaching is a node at the price of the way to it. From a node that is followed
// already, the ways by new cords are still to be looked at: they are many, and
// often not needed.
type reaching struct {
	cost, node int
	cords      bool
	// again says that some of its ways on were looked at already.
	again bool
}

func (r reaching) before(o reaching) bool {
	return r.cost < o.cost || r.cost == o.cost && r.node < o.node
}

// frontier are nodes not yet followed, as a heap: the cheapest first; of two that cost
// the same, the lesser.
type frontier []reaching

func (f *frontier) push(r reaching) {
	*f = append(*f, r)
	heap := *f
	at := len(heap) - 1
	for at > 0 {
		above := (at - 1) / 2
		if !r.before(heap[above]) {
			break
		}
		heap[at] = heap[above]
		at = above
	}
	heap[at] = r
}

func (f *frontier) pop() reaching {
	heap := *f
	first, last := heap[0], heap[len(heap)-1]
	heap = heap[:len(heap)-1]
	*f = heap
	if len(heap) == 0 {
		return first
	}
	at := 0
	for {
		below := 2*at + 1
		if below+1 < len(heap) && heap[below+1].before(heap[below]) {
			below++
		}
		if below >= len(heap) || !heap[below].before(last) {
			break
		}
		heap[at] = heap[below]
		at = below
	}
	heap[at] = last
	return first
}
