package heard

// forest is a union-find structure with path halving and union by size.
type forest struct {
	parent, size []int
}

func newForest(n int) forest {
	f := forest{parent: make([]int, n), size: make([]int, n)}
	for i := range n {
		f.parent[i], f.size[i] = i, 1
	}
	return f
}

func (f forest) root(i int) int {
	for f.parent[i] != i {
		f.parent[i] = f.parent[f.parent[i]]
		i = f.parent[i]
	}
	return i
}

func (f forest) join(i, j int) {
	i, j = f.root(i), f.root(j)
	if i == j {
		return
	}
	if f.size[i] < f.size[j] {
		i, j = j, i
	}
	f.parent[j] = i
	f.size[i] += f.size[j]
}
