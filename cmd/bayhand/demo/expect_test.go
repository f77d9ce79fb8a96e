package demo

import (
	"testing"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// A matrix that was turned by hand is put back between two looks: the device may have it
// while the newest status still has what was read when it was turned.
func TestRestoredIsReadBackToo(t *testing.T) {
	read := func(output, input int) keep.Status {
		c := keep.KnownCrosspoint{Output: name.At("shade", "out", output), Input: name.At("shade", "in", input), Fact: keep.Fact{How: keep.Read}}
		return keep.Status{Known: keep.Known{Crosspoints: []keep.KnownCrosspoint{c}}}
	}
	was, turned := read(1, 1), read(8, 1)
	before, other := readBack(was, "shade"), readBack(turned, "shade")
	for _, c := range []struct {
		status   keep.Status
		own      string
		restored bool
	}{
		{was, other, false}, // nobody has looked yet
		{turned, other, false},
		{turned, before, false}, // put back, and not read back yet
		{was, before, true},
	} {
		if restored(c.status, "shade", c.own, before) != c.restored {
			t.Errorf("read %s, while it has %s: restored is not %v", readBack(c.status, "shade"), c.own, c.restored)
		}
	}
}
