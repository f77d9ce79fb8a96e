package rooms

import (
	"reflect"
	"slices"
	"testing"

	"bayhand/model/name"
)

func TestTheSameSeedGivesTheSameRoom(t *testing.T) {
	for seed := range uint64(50) {
		if a, b := Draw(seed), Draw(seed); !reflect.DeepEqual(a, b) {
			t.Fatalf("seed %d gave two rooms:\n%+v\n%+v", seed, a, b)
		}
	}
}

// A jack takes one plug, and one wire, tie or mult at its rear; a port takes one
// wire or lead.
func TestRoomsAreLegal(t *testing.T) {
	for seed := range uint64(500) {
		room := Draw(seed)
		for _, p := range []struct {
			what   string
			points []name.Point
		}{
			{"plugs", room.Patch.Plugs()},
			{"plugs at rest", room.Studio.Rest.Plugs()},
			{"rears", rears(room)},
		} {
			sorted := slices.Clone(p.points)
			slices.SortFunc(sorted, name.Point.Compare)
			if len(slices.Compact(sorted)) != len(p.points) {
				t.Errorf("seed %d: something is used twice among the %s: %v", seed, p.what, p.points)
			}
		}
	}
}

func rears(room Room) []name.Point {
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
	for _, l := range room.Patch.Leads {
		points = append(points, l.Port)
	}
	return points
}

func TestEveryFeatureIsDrawn(t *testing.T) {
	total := map[string]int{}
	for seed := range uint64(500) {
		for feature, n := range Draw(seed).Features() {
			total[feature] += n
		}
	}
	for _, feature := range []string{
		"normal pair", "half-normal pair", "half-normal-top pair", "isolated pair", "parallel pair",
		"strapped normal", "dead normal", "tie", "mult", "cord", "loose cord", "dummy", "lead", "rest cord",
		"relay crosspoint", "letting amplifier crosspoint", "driving amplifier crosspoint",
	} {
		if total[feature] < 10 {
			t.Errorf("only %d of %s in 500 rooms", total[feature], feature)
		}
	}
}
