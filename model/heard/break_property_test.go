package heard_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/simulators/rooms"
)

// What is said to break a way ends it; and no other plug in a free jack does.
func TestBreaksEndTheirWays(t *testing.T) {
	tried, plugs := 0, 0
	for seed := range uint64(150) {
		made := rooms.Draw(seed)
		room := heard.NewRoom(made.Studio)
		state := room.Hear(made.Patch)
		for _, to := range inputs(made.Studio) {
			for _, way := range state.Ways(to) {
				said := state.Breaks(way)
				for _, b := range said {
					tried++
					if hasWay(room.Hear(room.After(made.Patch, b)), way) {
						t.Fatalf("seed %d: %v %v does not end %v", seed, b.Do, b.At, way)
					}
				}
				for _, jack := range freeJacks(made) {
					plugs++
					p := made.Patch.Clone()
					p.Dummies = append(p.Dummies, jack)
					ends := !hasWay(room.Hear(p), way)
					if says := slices.ContainsFunc(said, func(b heard.Break) bool { return b.Do == heard.Plugging && b.At[0] == jack }); ends != says {
						t.Fatalf("seed %d: a plug in %s ends %v: %v; it is said to: %v", seed, jack, way, ends, says)
					}
				}
			}
		}
	}
	if tried < 100 || plugs < 1000 {
		t.Errorf("only %d breaks and %d plugs were tried", tried, plugs)
	}
}

// hasWay says whether the state has the way, step by step.
func hasWay(s *heard.State, w heard.Way) bool {
	if !slices.Contains(s.Hears(w.To), w.From) {
		return false
	}
	return slices.ContainsFunc(s.Ways(w.To), func(v heard.Way) bool { return slices.Equal(v.Steps, w.Steps) })
}

func freeJacks(made rooms.Room) []name.Point {
	taken := made.Patch.Plugs()
	var all []name.Point
	for _, bay := range made.Studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			for _, p := range []name.Point{bay.TopJack(n), bay.BottomJack(n)} {
				if !slices.Contains(taken, p) {
					all = append(all, p)
				}
			}
		}
	}
	return all
}

func inputs(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Input {
				all = append(all, p.Point)
			}
		}
	}
	return all
}
