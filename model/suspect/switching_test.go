package suspect_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/suspect"
)

// grid is a room in which four outputs of an interface come by two cords and two wires to a
// matrix of two inputs, whose outputs lead to its inputs.
func grid(m studio.Matrix) (*studio.Studio, patch.Patch) {
	m.Name, m.Inputs, m.Outputs, m.Kind = "grid", 2, 4, studio.Amplifiers
	bay := studio.Bay{Name: "bay", Modes: []studio.Mode{studio.Isolated, studio.Isolated}, Ground: studio.Bussed}
	s := &studio.Studio{Dummies: -1, Gear: []studio.Gear{gear("interface", 2, 4)}, Bays: []studio.Bay{bay}, Matrices: []studio.Matrix{m}}
	var p patch.Patch
	for n := 1; n <= 2; n++ {
		s.Wires = append(s.Wires, studio.Wire{From: name.At("interface", "out", n), To: bay.TopJack(n)}, studio.Wire{From: bay.BottomJack(n), To: m.In(n)})
		p.Cords = append(p.Cords, patch.Cord{A: bay.TopJack(n), B: bay.BottomJack(n)})
	}
	for n := 1; n <= 4; n++ {
		s.Wires = append(s.Wires, studio.Wire{From: m.Out(n), To: name.At("interface", "in", n)})
	}
	p.Crosspoints = []patch.Crosspoint{{Output: m.Out(1), Input: m.In(1)}}
	return s, p
}

// Two cords that are swapped and a crosspoint that listens to the other input give one
// reading, which another output tells apart that listens to an input for a moment. What is
// switched together is switched as one; what is missing is never switched.
func TestSwitchingTellsApart(t *testing.T) {
	out := func(n int) name.Point { return name.At("grid", "out", n) }
	in := func(n int) name.Point { return name.At("grid", "in", n) }
	one := func(o, i int) patch.Crosspoint { return patch.Crosspoint{Output: out(o), Input: in(i)} }
	for _, c := range []struct {
		what   string
		matrix studio.Matrix
		may    []int
		want   []patch.Crosspoint
	}{
		{"alone", studio.Matrix{}, []int{3, 4}, []patch.Crosspoint{one(3, 1)}},
		{"together", studio.Matrix{Stereo: [][]name.Point{{out(3), out(4)}}}, []int{3, 4}, []patch.Crosspoint{one(3, 1), one(4, 2)}},
		{"in another order", studio.Matrix{Stereo: [][]name.Point{{out(4), out(3)}}}, []int{3, 4}, []patch.Crosspoint{one(4, 1), one(3, 2)}},
		{"of which one may not be", studio.Matrix{Stereo: [][]name.Point{{out(3), out(4)}}}, []int{3}, nil},
		{"of which one has no crosspoint", studio.Matrix{Stereo: [][]name.Point{{out(3), out(4)}}, Missing: []studio.Absent{{Output: out(4), Input: in(2)}}}, []int{3, 4}, nil},
		{"missing", studio.Matrix{Missing: []studio.Absent{{Output: out(3), Input: in(1)}}}, []int{3}, []patch.Crosspoint{one(3, 2)}},
	} {
		s, p := grid(c.matrix)
		setup := suspect.Setup{Room: heard.NewRoom(s), Patch: p}
		for n := 1; n <= 4; n++ {
			if n <= 2 {
				setup.Outputs = append(setup.Outputs, name.At("interface", "out", n))
			}
			setup.Inputs = append(setup.Inputs, name.At("interface", "in", n))
		}
		scene := suspect.New(setup)
		u := &usual{studio: s}
		wrong := p.Clone()
		wrong.Cords[0].B, wrong.Cords[1].B = wrong.Cords[1].B, wrong.Cords[0].B
		answer := scene.Explain(scene.Judge(u.measure(t, scene, wrong, nil)))
		if len(answer.Findings) != 1 || len(answer.Findings[0].OrElse) == 0 {
			t.Fatalf("%s: %+v is no finding with several causes", c.what, answer.Findings)
		}
		got, found := scene.Switching(answer.Findings[0], func(p name.Point) bool { return slices.Contains(c.may, p.Number) }, nil)
		if !slices.Equal(got.Closed, c.want) || found != (c.want != nil) {
			t.Errorf("%s: %v is switched, not %v", c.what, got.Closed, c.want)
		}
		if !found {
			continue
		}
		wrong.Crosspoints = append(wrong.Crosspoints, got.Closed...)
		narrow := got.Narrow(answer.Findings[0], u.measure(t, scene, wrong, nil))
		if narrow.Code != suspect.CordsSwapped || len(narrow.OrElse) >= len(answer.Findings[0].OrElse) {
			t.Errorf("%s: %v is left", c.what, causesOf(narrow))
		}
		if parted := heard.NewRoom(s).Parted(got.Patch()); len(parted) > 0 {
			t.Errorf("%s: %v is without what is switched with it", c.what, parted)
		}
	}
}
