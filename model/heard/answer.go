package heard

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Hears are the gear outputs that are heard at a point, sorted: at a gear input
// what the session speaks of, at any other point what a listener there would
// hear. Nil for a point that the room does not have, and for an input that a
// socket has taken over.
func (s *State) Hears(at name.Point) []name.Point {
	n, ok := s.room.graph.Number[at]
	if !ok || s.state.TakenOver(n) {
		return nil
	}
	return s.names(s.sources(s.netOf(n)))
}

// Reaches are the gear inputs that hear a gear output, sorted. Asked of another
// point, it answers for a source that was plugged in there.
func (s *State) Reaches(from name.Point) []name.Point {
	n, ok := s.room.graph.Number[from]
	if !ok {
		return nil
	}
	var inputs []int
	for _, net := range s.state.LeadingFrom(s.netOf(n)) {
		inputs = append(inputs, s.pick(net, graph.GearInput)...)
	}
	return s.names(slices.DeleteFunc(inputs, s.state.TakenOver))
}

// pick are the points of a net that are of the kinds named.
func (s *State) pick(net int, kinds ...graph.PointKind) []int {
	var found []int
	for _, n := range s.state.NodesOf(net) {
		for _, p := range s.room.graph.Nodes[n].Points {
			if slices.Contains(kinds, s.room.graph.Kinds[p]) {
				found = append(found, p)
			}
		}
	}
	return found
}

// Net is every point that is joined with p by metal, sorted, p among them.
func (s *State) Net(p name.Point) []name.Point {
	n, ok := s.room.graph.Number[p]
	if !ok {
		return nil
	}
	return s.names(s.pick(s.netOf(n), graph.GearOutput, graph.GearInput, graph.JackPoint, graph.MatrixInput, graph.MatrixOutput))
}

// Joined says whether metal joins both points.
func (s *State) Joined(p, q name.Point) bool {
	a, okA := s.room.graph.Number[p]
	b, okB := s.room.graph.Number[q]
	return okA && okB && s.netOf(a) == s.netOf(b)
}

// Contend says whether both outputs drive one net.
func (s *State) Contend(p, q name.Point) bool {
	if !s.Joined(p, q) {
		return false
	}
	drivers := s.names(s.driversOf(s.netOf(s.room.graph.Number[p])))
	return slices.Contains(drivers, p) && slices.Contains(drivers, q)
}

// NormalHolds says whether the normal of a pair is closed. It is false for a
// pair that has none, and for a faulty one.
func (s *State) NormalHolds(bay string, number int) bool {
	top, ok := s.room.graph.Number[name.At(bay, studio.Top, number)]
	if !ok {
		return false
	}
	at, ok := s.room.graph.PairNormal[top]
	return ok && s.state.Holds(at)
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
	for n := range s.state.Nets() {
		if s.state.CountDrivers(n) < 2 {
			continue
		}
		listeners := s.pick(n, graph.GearInput, graph.MatrixInput)
		found = append(found, Contention{s.names(s.driversOf(n)), s.names(listeners)})
	}
	slices.SortFunc(found, func(a, b Contention) int { return a.Drivers[0].Compare(b.Drivers[0]) })
	return found
}

// driversOf are the outputs that drive a net, as points.
func (s *State) driversOf(n int) []int {
	var points []int
	for _, k := range s.state.DriversOn(n) {
		points = append(points, s.room.graph.DriverPoint(k))
	}
	return points
}

// names turns numbers into sorted points.
func (s *State) names(numbers []int) []name.Point {
	var points []name.Point
	for _, n := range numbers {
		points = append(points, s.room.graph.Points[n])
	}
	slices.SortFunc(points, name.Point.Compare)
	return points
}

// sources are the gear outputs that are heard on a net, as points.
func (s *State) sources(net int) []int {
	var points []int
	for _, source := range s.state.HeardOn(net) {
		points = append(points, s.room.graph.Sources[source])
	}
	return points
}
