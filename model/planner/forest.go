package planner

// forest is a union-find structure with path halving.
type forest []int

func newForest(n int) forest {
	f := make(forest, n)
	for i := range f {
		f[i] = i
	}
	return f
}

func (f forest) root(i int) int {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// join makes the lesser root the root of both.
func (f forest) join(i, j int) {
	i, j = f.root(i), f.root(j)
	if i > j {
		i, j = j, i
	}
	f[j] = i
}
