// Package disjoint joins numbered things into sets that have nothing in common: a union-find
// structure with path halving (Tarjan and van Leeuwen 1984).
package disjoint

// Sets are sets of the numbers from 0 on. The least of a set is its root.
type Sets []int

// New has n sets of one number each.
func New(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

// Root is the least number of the set of i. Of n numbers, n calls take time in n log n at most.
func (s Sets) Root(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Join makes one set of those of i and j.
func (s Sets) Join(i, j int) {
	i, j = s.Root(i), s.Root(j)
	s[max(i, j)] = min(i, j)
}

// Joined says whether two numbers are in one set.
func (s Sets) Joined(i, j int) bool { return s.Root(i) == s.Root(j) }
