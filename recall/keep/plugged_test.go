package keep_test

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/recall/keep"
)

// What is plugged is found by its ends either way round, and by all of them.
func TestPluggedByItsEnds(t *testing.T) {
	a, b, c := name.At("main", "t", 1), name.At("main", "b", 2), name.At("main", "b", 3)
	known := keep.Known{
		Cords:   []keep.KnownCord{{Cord: patch.Cord{A: a, B: b}, Fact: keep.Fact{How: keep.Told}}},
		Dummies: []keep.KnownDummy{{Jack: c, Fact: keep.Fact{How: keep.Assumed}}},
	}
	for _, test := range []struct {
		ends []name.Point
		how  keep.How
		in   bool
	}{
		{[]name.Point{a, b}, keep.Told, true},
		{[]name.Point{b, a}, keep.Told, true},
		{[]name.Point{c}, keep.Assumed, true},
		{[]name.Point{a}, keep.NotKnown, false},
		{[]name.Point{a, c}, keep.NotKnown, false},
	} {
		if how, in := known.Plugged(test.ends); how != test.how || in != test.in {
			t.Errorf("%v: %v %v, want %v %v", test.ends, how, in, test.how, test.in)
		}
	}
}
