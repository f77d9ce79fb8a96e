package graph

// Forest is a union-find structure with path halving (Tarjan and van Leeuwen
// 1984), in which the least element of a set is its root.
type Forest []int

// NewForest has n sets of one element each.
func NewForest(n int) Forest {
	f := make(Forest, n)
	for i := range f {
		f[i] = i
	}
	return f
}

// Root is the least element of the set of i.
func (f Forest) Root(i int) int {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// Join makes the lesser root the root of both.
func (f Forest) Join(i, j int) {
	i, j = f.Root(i), f.Root(j)
	if i > j {
		i, j = j, i
	}
	f[j] = i
}
