package heard

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Hears are the gear outputs that are heard at a point, sorted: at a gear input
// what the session speaks of, at any other point what a listener there would
// hear. Nil for a point that the room does not have, and for an input that a
// socket has taken over.
func (s *State) Hears(at name.Point) []name.Point {
	n, ok := s.room.number[at]
	if !ok || s.stolen(n) {
		return nil
	}
	return s.names(s.nets[s.netOf(n)].heard)
}

// Reaches are the gear inputs that hear a gear output, sorted. Asked of another
// point, it answers for a source that was plugged in there.
func (s *State) Reaches(from name.Point) []name.Point {
	n, ok := s.room.number[from]
	if !ok {
		return nil
	}
	var inputs []int
	for _, net := range s.leadingFrom([]int{s.netOf(n)}, make([]bool, len(s.nets))) {
		inputs = append(inputs, s.pick(net, gearInput)...)
	}
	return s.names(slices.DeleteFunc(inputs, s.stolen))
}

// pick are the points of a net that are of the kinds named.
func (s *State) pick(net int, kinds ...kind) []int {
	var found []int
	for _, i := range s.nets[net].islands {
		for _, p := range s.room.islands[i].points {
			if slices.Contains(kinds, s.room.kinds[p]) {
				found = append(found, p)
			}
		}
	}
	return found
}

// Net is every point that is joined with p by metal, sorted, p among them.
func (s *State) Net(p name.Point) []name.Point {
	n, ok := s.room.number[p]
	if !ok {
		return nil
	}
	return s.names(s.pick(s.netOf(n), gearOutput, gearInput, jack, matrixInput, matrixOutput))
}

// Joined says whether metal joins both points.
func (s *State) Joined(p, q name.Point) bool {
	a, okA := s.room.number[p]
	b, okB := s.room.number[q]
	return okA && okB && s.netOf(a) == s.netOf(b)
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
	for n := range s.nets {
		if s.nets[n].drivers < 2 {
			continue
		}
		listeners := s.pick(n, gearInput, matrixInput)
		found = append(found, Contention{s.names(s.driversOf(n)), s.names(listeners)})
	}
	slices.SortFunc(found, func(a, b Contention) int { return a.Drivers[0].Compare(b.Drivers[0]) })
	return found
}

// driversOf are the outputs that drive a net.
func (s *State) driversOf(n int) []int {
	drivers := s.pick(n, gearOutput)
	for _, i := range s.nets[n].islands {
		for _, output := range s.room.islands[i].amplifiers {
			if s.drives(output) {
				drivers = append(drivers, output)
			}
		}
	}
	return drivers
}

// names turns numbers into sorted points.
func (s *State) names(numbers []int) []name.Point {
	var points []name.Point
	for _, n := range numbers {
		points = append(points, s.room.points[n])
	}
	slices.SortFunc(points, name.Point.Compare)
	return points
}
