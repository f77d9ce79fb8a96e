//go:build unix && !race

package planner_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"bayhand/model/patch"
	"bayhand/simulators/rooms/houses"
)

// Any fan-out, each destination with a source that others may have as well, is carried
// where so many matrices are in the middle that none is ever blocked: more than
// (N - 1)(x + R^(1/x)) for the best x, where no connection goes by more than x of them
// (Yang and Masson 1991, "Nonblocking broadcast switching networks", IEEE Transactions on
// Computers 40; from memory). With no more than an entry has inputs that fails for some;
// here it is known not to. BAYHAND_CLOS=16 goes up to 16 x 83 x 16.
func TestLargeFanOut(t *testing.T) {
	sizes := []int{8}
	if os.Getenv("BAYHAND_CLOS") == "16" {
		sizes = []int{6, 8, 12, 16}
	}
	for _, n := range sizes {
		for _, contacts := range []bool{false, true} {
			wide, r := houses.Clos{N: n, M: nonblocking(n, n), R: n, Contacts: contacts}, rand.New(rand.NewPCG(uint64(n), 4))
			carryBoth(t, wide, anyFanOut(wide, r), wide.Route(r.Perm(wide.Width())))
			narrow := houses.Clos{N: n, M: n, R: n, Contacts: contacts}
			asked, _ := narrow.Spread(1)
			_, other := narrow.Spread(101)
			carryBoth(t, narrow, asked, other)
		}
	}
}

// carryBoth expects a plan without a plug from nothing and from another patch.
func carryBoth(t *testing.T, c houses.Clos, asked []int, other patch.Patch) {
	t.Helper()
	room := network(t, c)
	for _, present := range []patch.Patch{{}, other} {
		began := processor()
		given(t, fmt.Sprintf("%+v, %d crosspoints before", c, len(present.Crosspoints)), room, present, connections(c, asked))
		t.Logf("%+v, %d crosspoints before: %d ms", c, len(present.Crosspoints), (processor() - began).Milliseconds())
	}
}

// anyFanOut is a source for each destination, each drawn from all.
func anyFanOut(c houses.Clos, r *rand.Rand) []int {
	sources := make([]int, c.Width())
	for d := range sources {
		sources[d] = r.IntN(c.Width())
	}
	return sources
}

// nonblocking is the least number in the middle that is more than (n - 1)(x + r^(1/x)) for
// some x: roots are by whole numbers, so that none is rounded the wrong way.
func nonblocking(n, r int) int {
	for m := n; ; m++ {
		for x := 1; x < n; x++ {
			// m > (n - 1)(x + r^(1/x)) where (m / (n - 1) - x)^x > r
			left, right := 1, r
			for range x {
				left, right = left*(m-(n-1)*x), right*(n-1)
			}
			if m > (n-1)*x && left > right {
				return m
			}
		}
	}
}

// The published bound by hand: 7 (2 + 8^(1/2)) = 33.8 and 15 (3 + 16^(1/3)) = 82.8.
func TestNonblocking(t *testing.T) {
	if got := []int{nonblocking(8, 8), nonblocking(16, 16)}; got[0] != 34 || got[1] != 83 {
		t.Errorf("matrices in the middle: %v", got)
	}
}
