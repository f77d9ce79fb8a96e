package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Patch is the patch of the state; it must not be changed.
func (s *State) Patch() patch.Patch { return s.patch }

// Hears are the gear outputs that are heard at a point, sorted: at a gear input
// what the session speaks of, at any other point what a listener there would
// hear. Nil for a point that the room does not have.
func (s *State) Hears(at name.Point) []name.Point {
	n, ok := s.room.number[at]
	if !ok {
		return nil
	}
	return s.names(s.heard[s.net[n]])
}

// Reaches are the gear inputs that hear a gear output, sorted. Asked of another
// point, it answers for a source that was plugged in there.
func (s *State) Reaches(from name.Point) []name.Point {
	n, ok := s.room.number[from]
	if !ok {
		return nil
	}
	var inputs []int
	for net, yes := range s.downstream(s.net[n]) {
		if !yes {
			continue
		}
		for _, p := range s.members[net] {
			if s.room.kinds[p] == gearInput {
				inputs = append(inputs, p)
			}
		}
	}
	return s.names(inputs)
}

// downstream marks the nets that a net leads to through amplifiers, itself
// among them.
func (s *State) downstream(from int) []bool {
	seen := make([]bool, len(s.members))
	seen[from] = true
	for again := true; again; {
		again = false
		for _, r := range s.routes {
			if seen[s.net[r.in]] && !seen[s.net[r.out]] {
				seen[s.net[r.out]], again = true, true
			}
		}
	}
	return seen
}

// Net is every point that is joined with p by metal, sorted, p among them.
func (s *State) Net(p name.Point) []name.Point {
	n, ok := s.room.number[p]
	if !ok {
		return nil
	}
	return s.names(s.members[s.net[n]])
}

// Joined says whether metal joins both points.
func (s *State) Joined(p, q name.Point) bool {
	a, okA := s.room.number[p]
	b, okB := s.room.number[q]
	return okA && okB && s.net[a] == s.net[b]
}

// NormalHolds says whether the normal of a pair is closed. It is false for a
// pair that has none, and for a faulty one.
func (s *State) NormalHolds(bay string, number int) bool {
	top, ok := s.room.number[name.At(bay, studio.Top, number)]
	if !ok {
		return false
	}
	at, ok := s.room.pairOf[top]
	return ok && s.holds(s.room.pairs[at])
}

// Contention is a net that more than one output drives: two outputs joined.
// What is heard there is not defined.
type Contention struct {
	// Drivers are gear outputs and outputs of amplifier matrices, sorted.
	Drivers []name.Point
	// Listeners are the gear inputs and matrix inputs on the net, sorted.
	Listeners []name.Point
}

// Contentions are all of them, sorted by their first driver.
func (s *State) Contentions() []Contention {
	var found []Contention
	for net, drivers := range s.drivers {
		if len(drivers) < 2 {
			continue
		}
		var listeners []int
		for _, p := range s.members[net] {
			if k := s.room.kinds[p]; k == gearInput || k == matrixInput {
				listeners = append(listeners, p)
			}
		}
		found = append(found, Contention{s.names(drivers), s.names(listeners)})
	}
	slices.SortFunc(found, func(a, b Contention) int { return a.Drivers[0].Compare(b.Drivers[0]) })
	return found
}

// names turns numbers into sorted points; the metal of a mult has no name.
func (s *State) names(numbers []int) []name.Point {
	var points []name.Point
	for _, n := range numbers {
		if s.room.kinds[n] != hub {
			points = append(points, s.room.points[n])
		}
	}
	slices.SortFunc(points, name.Point.Compare)
	return points
}
