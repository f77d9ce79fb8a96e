package level

import (
	"fmt"
	"testing"

	"bayhand/model/disjoint"
	"bayhand/model/heard"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// The nets here are those that package heard has, joined by joints that are
// known: in drawn rooms every port of a net is reached through its cables, and
// at every input as many arrive as are heard.
func TestNetsAreThoseHeard(t *testing.T) {
	inputs := 0
	for seed := range uint64(300) {
		drawn := rooms.DrawUpTo(40, seed)
		room := heard.NewRoom(drawn.Studio).For(drawn.Session(), drawn.Patch)
		r, state := New(room, drawn.Patch, Options{}), room.Hear(drawn.Patch)
		for _, g := range room.Studio().Gear {
			for _, p := range g.Ports {
				if whole := r.netOf(p.Point).whole(); !whole {
					t.Fatalf("seed %d: the net of %s falls into parts\n%+v", seed, p.Point, r.netOf(p.Point))
				}
				if p.Direction != studio.Input {
					continue
				}
				heard, arrive := state.Hears(p.Point), fmt.Sprint(sources(r.At(p.Point)))
				if fmt.Sprint(heard) != arrive {
					t.Fatalf("seed %d: at %s are heard %v, and arrive %s", seed, p.Point, heard, arrive)
				}
				inputs += len(heard)
			}
		}
	}
	if inputs < 300 {
		t.Errorf("in 300 rooms only %d sources arrive", inputs)
	}
}

func sources(all []Arrival) (points []fmt.Stringer) {
	for _, a := range all {
		points = append(points, a.Source.Point)
	}
	return points
}

// whole says whether cables lead from every place of a net to every other.
func (n *net) whole() bool {
	joined := disjoint.New(n.places)
	for _, c := range n.cables {
		joined.Join(c.a, c.b)
	}
	for p := range n.places {
		if joined.Root(p) != joined.Root(0) {
			return false
		}
	}
	return true
}
