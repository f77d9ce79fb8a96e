package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Trace is a signal followed to a point and from it. Lists of points are sorted.
type Trace struct {
	Point name.Point
	// Source and Destination say whether the point is an output or an input of gear;
	// neither of a jack.
	Source, Destination bool
	// Hears is empty but for other outputs at an output, Reaches is empty at an input.
	Hears, Reaches []name.Point
	// Origins came before what is heard, through gear; Onward comes after what is
	// reached.
	Origins, Onward []name.Point
	Ways            []TracedWay
	// Joined are the outputs on the point's net where there is more than one.
	Joined []name.Point
}

// TracedWay is a way with what would end it, each by itself.
type TracedWay struct {
	Way
	Breaks []Break
}

// Trace follows a signal to a point and from it, in the state of a patch and with the
// passes inside the software. It takes as many Hears as the ways have breaks.
func (r *Room) Trace(p patch.Patch, s *State, at name.Point, inside []studio.Pass) Trace {
	t := Trace{Point: at, Hears: s.Hears(at), Reaches: s.Reaches(at)}
	t.Origins = without(s.Origins(at, inside), t.Hears...)
	t.Onward = without(s.Onward(at, inside), t.Reaches...)
	for _, w := range s.Ways(at) {
		t.Ways = append(t.Ways, TracedWay{w, r.Breaks(p, w)})
	}
	for _, c := range s.Contentions() {
		if s.Joined(c.Drivers[0], at) {
			t.Joined = append(t.Joined, c.Drivers...)
		}
	}
	t.leaveItselfOut(r.Studio())
	return t
}

// leaveItselfOut leaves out that an input reaches itself, and that an output hears
// itself.
func (t *Trace) leaveItselfOut(s *studio.Studio) {
	port, ok := s.PortAt(t.Point)
	switch {
	case !ok:
	case port.Direction == studio.Input:
		t.Destination, t.Reaches = true, nil
		t.Onward = without(t.Onward, t.Point)
	default:
		t.Source = true
		t.Hears = without(t.Hears, t.Point)
	}
}

// without are the points that are not among others.
func without(all []name.Point, others ...name.Point) []name.Point {
	return slices.DeleteFunc(slices.Clone(all), func(p name.Point) bool { return slices.Contains(others, p) })
}
