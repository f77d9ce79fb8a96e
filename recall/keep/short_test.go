package keep_test

import (
	"strings"
	"testing"

	"bayhand/recall/keep"
)

// A cord that another room still has to plug, and that a hand takes for what nobody planned:
// both rooms are told until it is out again, or until the other room goes without it.
func TestCordTakenByHand(t *testing.T) {
	for _, c := range []struct{ name, beside string }{
		{"a room without a session", ""},
		{"a room with a session", "wednesday"},
	} {
		onRoom(t, fourCords, withFourCords, func(b *bench) {
			if c.beside != "" {
				b.recall(c.beside)
				b.untilNothingIsLeft()
			}
			left := byHand(b.recall("monday"))
			b.tick(left[0])
			if says := problem(b.status(), "cords-short"); says != "" {
				t.Errorf("%s: nobody plugged anything else, and it says %q", c.name, says)
			}
			free := [][2]string{{"main/t1", "main/b1"}, {"main/t2", "main/b2"}}
			if c.beside != "" {
				free = free[:1]
			}
			for _, ends := range free {
				b.does(keep.Act{Do: keep.Plugged, A: jackOf(ends[0]), B: jackOf(ends[1])})
			}
			says := problem(b.status(), "cords-short")
			for _, part := range []string{"1 cord of 90 cm is missing for what is left to plug of monday (room live)", "main/t1 - main/b1"} {
				if !strings.Contains(says, part) {
					t.Errorf("%s: it says %q, and not %q", c.name, says, part)
				}
			}
			b.does(keep.Act{Do: keep.Pulled, A: jackOf("main/t1")})
			if says := problem(b.status(), "cords-short"); says != "" {
				t.Errorf("%s: the cord is free again, and it says %q", c.name, says)
			}
			b.hearsAll(b.untilNothingIsLeft(), "monday")
		})
	}
}
