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

// Networks of three stages that are too large for a search are carried as well, from
// nothing and from any other connections, without a matrix to spare in the middle: by
// chains of connections that change between two of these (Paull 1962, "Reswitching of
// connection networks", Bell System Technical Journal 41; from memory).
// BAYHAND_CLOS=16 goes up to 16 x 16 x 16.
func TestLargeThreeStages(t *testing.T) {
	sizes := []int{7}
	if os.Getenv("BAYHAND_CLOS") == "16" {
		sizes = []int{7, 8, 12, 16}
	}
	for _, n := range sizes {
		for _, contacts := range []bool{false, true} {
			c := houses.Clos{N: n, M: n, R: n, Contacts: contacts}
			room, r := network(t, c), rand.New(rand.NewPCG(uint64(n), 3))
			asked := r.Perm(c.Width())
			for _, present := range []patch.Patch{{}, c.Route(r.Perm(c.Width()))} {
				began := processor()
				given(t, fmt.Sprintf("%+v, %d crosspoints before", c, len(present.Crosspoints)), room, present, connections(c, asked))
				t.Logf("%+v, %d crosspoints before: %d ms", c, len(present.Crosspoints), (processor() - began).Milliseconds())
			}
		}
	}
}
