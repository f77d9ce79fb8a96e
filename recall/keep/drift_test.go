package keep_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// A matrix that was turned by hand is not said to be put back while nothing can be:
// what cannot be written is not done.
func TestNotPutBackOnAFullDisk(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		b.set(func() { b.full = errors.New("no space left") })
		b.units["grid"].turn(out(1), in(3))
		b.pass(10 * time.Second)
		s := b.status()
		if got := problem(s, "drift"); !strings.HasSuffix(got, "; it is put back once the journal can be written again") {
			t.Errorf("while the disk is full it says %q, problems %v", got, codes(s))
		}
		b.holds(cross(1, 3), cross(2, 2))
		b.set(func() { b.full = nil })
		b.pass(time.Minute)
		s = b.status()
		if got := problem(s, "drift"); !strings.HasSuffix(got, "; it is put back") {
			t.Errorf("afterwards it says %q", got)
		}
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
	})
}
