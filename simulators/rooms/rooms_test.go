package rooms

import (
	"reflect"
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
)

func TestTheSameSeedGivesTheSameRoom(t *testing.T) {
	for seed := range uint64(50) {
		a, b := DrawUpTo(40, seed), DrawUpTo(40, seed)
		if !reflect.DeepEqual(a, b) {
			t.Fatalf("seed %d gave two rooms:\n%+v\n%+v", seed, a, b)
		}
		if x, y := a.Changes(5, seed), b.Changes(5, seed); !reflect.DeepEqual(x, y) {
			t.Fatalf("seed %d gave other changes:\n%+v\n%+v", seed, x, y)
		}
	}
}

// A jack takes one plug, and one wire, tie or mult at its rear; a port takes one
// wire or lead.
func TestRoomsAreLegal(t *testing.T) {
	for seed := range uint64(500) {
		room := DrawUpTo(40, seed)
		once(t, seed, "plugs", room.Patch.Plugs())
		once(t, seed, "plugs at rest", room.Studio.Rest.Plugs())
		once(t, seed, "rears", rears(room.Studio.Rest, room))
		once(t, seed, "rears", rears(room.Patch, room))
		for _, c := range room.Changes(8, seed) {
			once(t, seed, "plugs", c.After.Plugs())
			once(t, seed, "rears", rears(c.After, room))
		}
	}
}

func once(t *testing.T, seed uint64, what string, points []name.Point) {
	t.Helper()
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, name.Point.Compare)
	if len(slices.Compact(sorted)) != len(points) {
		t.Errorf("seed %d: something is used twice among the %s: %v", seed, what, points)
	}
}

func rears(p patch.Patch, room Room) []name.Point {
	var points []name.Point
	for _, w := range room.Studio.Wires {
		points = append(points, w.From, w.To)
	}
	for _, t := range room.Studio.Ties {
		points = append(points, t.A, t.B)
	}
	for _, m := range room.Studio.Mults {
		points = append(points, m.Jacks...)
	}
	for _, l := range p.Leads {
		points = append(points, l.Port)
	}
	return points
}

// Two inputs on the output of an amplifier would be a mixer.
func TestAnAmplifierHasOneInput(t *testing.T) {
	for seed := range uint64(500) {
		room := DrawUpTo(40, seed)
		patches := []patch.Patch{room.Patch}
		for _, c := range room.Changes(8, seed) {
			patches = append(patches, c.After)
		}
		for _, p := range patches {
			for _, m := range room.Studio.Matrices {
				for n := 1; n <= m.Outputs; n++ {
					if on := p.Inputs(m.Out(n)); kind(m) != "relay" && len(on) > 1 {
						t.Errorf("seed %d: %s listens to %v", seed, m.Out(n), on)
					}
				}
			}
		}
	}
}

func TestSizes(t *testing.T) {
	for _, most := range []int{4, 24, 40} {
		least, greatest := most, 0
		for seed := range uint64(500) {
			n := len(jacks(DrawUpTo(most, seed).Studio))
			least, greatest = min(least, n), max(greatest, n)
		}
		if least != 4 || greatest != most {
			t.Errorf("rooms of %d to %d jacks, not of 4 to %d", least, greatest, most)
		}
	}
}

func TestEveryFeatureIsDrawn(t *testing.T) {
	total := map[string]int{}
	const count = 1000
	for seed := range uint64(count) {
		for feature, n := range DrawUpTo(40, seed).Features() {
			total[feature] += min(n, 1)
		}
	}
	for feature, n := range total {
		if n < count/20 {
			t.Errorf("%s in only %d of %d rooms", feature, n, count)
		}
	}
}

// Each kind of change comes.
func TestEveryChangeIsDrawn(t *testing.T) {
	out, in := map[string]int{}, map[string]int{}
	for seed := range uint64(200) {
		for _, c := range DrawUpTo(40, seed).Changes(5, seed) {
			tally(out, c.Out)
			tally(in, c.In)
		}
	}
	for _, what := range []string{"cord", "loose cord", "dummy", "lead", "crosspoint"} {
		if out[what] < 10 || in[what] < 10 {
			t.Errorf("%s: %d times out and %d times in", what, out[what], in[what])
		}
	}
}

func tally(counts map[string]int, p patch.Patch) {
	cords(counts, p)
	counts["dummy"] += len(p.Dummies)
	counts["lead"] += len(p.Leads)
	counts["crosspoint"] += len(p.Crosspoints)
}
