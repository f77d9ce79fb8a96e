package stock_test

import (
	"slices"
	"testing"
)

// What lies ready beside the cords that are in: each of these is of its own length, plugs
// and poles, as far as such a kind is owned, and none is counted twice where another one
// would do for it.
func TestReady(t *testing.T) {
	const bays = `studio: two kinds of jack
bays:
  small: {pairs: 8, jack: bantam, modes: {1-8: isolated}}
  large: {pairs: 8, jack: quarter-inch, modes: {1-8: isolated}}
cords: {stock: `
	for _, c := range []struct {
		name, stock, in string
		want            []int
	}{
		{"poles", "[{length: 60 cm, poles: 3, count: 1}, {length: 60 cm, poles: 2, count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm, poles: 2}]", []int{1, 0}},
		{"poles that nobody said", "[{length: 60 cm, poles: 2, count: 1}, {length: 60 cm, poles: 3, count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm}]", []int{1, 0}},
		{"any plugs, for what fits no other", "[{length: 60 cm, count: 1}, {length: 60 cm, ends: [bantam, bantam], count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm}, {ends: [small/t2, large/t2], length: 60 cm}]", []int{0, 0}},
		{"a length that was said", "[{length: 60 cm, count: 1}, {length: 90 cm, count: 1}]",
			"[{ends: [small/t1, small/b1]}, {ends: [small/t2, small/b2], length: 60 cm}]", []int{0, 0}},
		{"too short by the file", "[{length: 5 cm, count: 2}]",
			"[{ends: [small/t1, small/b8], length: 5 cm}]", []int{1}},
	} {
		g := read(t, bays+c.stock+"}\n")
		s := of(t, g, contents(t, g, "cords: "+c.in))
		if got := s.Ready(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v lie ready of %+v, want %v", c.name, got, s.Kinds, c.want)
		}
	}
}
