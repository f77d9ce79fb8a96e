package bound

// leasts are the least prices for a time: while none falls below its own, what ways
// from a root cost at these is what they cost at least.
type leasts struct {
	*prices
	// times counts them, from one.
	times int
	queue queue
	looks int // at arcs
}

// renew begins another time, in which prices may fall by so much.
func (l *leasts) renew(p *prices, m *limits, slack int) {
	l.set(func(i int) int { return max(m.low[i], p.of[i]-slack) })
	l.times++
}

// hold says whether no price is below its least.
func (l *leasts) hold(p *prices) bool {
	for i, price := range p.of {
		if price < l.of[i] {
			return false
		}
	}
	return true
}

// near finds what ways from the root of a network cost at least, up to a limit.
func (l *leasts) near(n *network, limit int) {
	n.nearAt = l.times
	n.near = l.from(n.near, n, n.root, limit)
}

// from is what ways from a vertex cost at least, up to a limit, in the place of another such list.
func (l *leasts) from(costs []int, n *network, vertex, limit int) []int {
	costs = fill(costs, len(n.into), limit)
	costs[vertex] = 0
	for l.queue = append(l.queue[:0], queued{vertex: vertex}); len(l.queue) > 0; {
		top := l.queue.pop()
		if top.cost > costs[top.vertex] {
			continue
		}
		for _, i := range n.out[top.vertex] {
			l.looks++
			a := &n.arcs[i]
			if cost := top.cost + l.ofArc(a); cost < costs[a.to] {
				costs[a.to] = cost
				l.queue.push(queued{cost, 0, int(a.to)})
			}
		}
	}
	return costs
}

func fill[T any](list []T, count int, value T) []T {
	list = list[:0]
	for range count {
		list = append(list, value)
	}
	return list
}
