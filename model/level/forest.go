package level

// forest holds which of some numbered things are joined.
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

// join puts b's tree under a's root, so that the lesser things stay roots where
// they stand first.
func (f forest) join(a, b int) { f[f.root(b)] = f.root(a) }
