package planner

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/studio"
)

// withMore is a copy of a studio with an addition; nil where it has no place for it.
func withMore(s *studio.Studio, a plan.Addition) *studio.Studio {
	other, ok := *s, true
	switch a.What {
	case plan.AddedDummy:
		other.Dummies = max(0, s.Dummies) + a.Count
	case plan.AddedCord:
		other.Stock.Cords = append(slices.Clone(s.Stock.Cords), stockCord(a))
	case plan.AddedTie, plan.AddedMult, plan.AddedOutput, plan.AddedInput:
		for range a.Count {
			ok = ok && addOne(&other, a)
		}
	}
	if !ok {
		return nil
	}
	return &other
}

// withOwned is the studio of a problem with the dummies that are owned: those that are in count, too.
func withOwned(p *problem.Problem) *studio.Studio {
	s := *p.Studio
	s.Dummies = p.Dummies
	return &s
}

// addOne wires one tie, mult, or output or input of a matrix to jacks of its own.
func addOne(s *studio.Studio, a plan.Addition) bool {
	switch a.What {
	case plan.AddedTie:
		one, other := addBay(s, a.Of[0], 1), addBay(s, a.Of[1], 1)
		if one == nil || other == nil {
			return false
		}
		s.Ties = append(slices.Clone(s.Ties), studio.Tie{A: one.TopJack(1), B: other.TopJack(1)})
	case plan.AddedMult:
		bay := addBay(s, a.Of[0], 2)
		if bay == nil {
			return false
		}
		s.Mults = append(slices.Clone(s.Mults), studio.Mult{Jacks: []name.Point{bay.TopJack(1), bay.BottomJack(1), bay.TopJack(2), bay.BottomJack(2)}})
	case plan.AddedOutput, plan.AddedInput:
		return addToMatrix(s, a)
	case plan.AddedCord, plan.AddedDummy:
	}
	return true
}

// addToMatrix gives a matrix an output or input.
func addToMatrix(s *studio.Studio, a plan.Addition) bool {
	at := slices.IndexFunc(s.Matrices, func(m studio.Matrix) bool { return m.Name == a.Of[0] })
	bay := addBay(s, a.Of[1], 1)
	if at < 0 || bay == nil {
		return false
	}
	s.Matrices = slices.Clone(s.Matrices)
	m := &s.Matrices[at]
	wire := studio.Wire{}
	if a.What == plan.AddedOutput {
		m.Outputs++
		wire.From, wire.To = m.Out(m.Outputs), bay.TopJack(1)
	} else {
		m.Inputs++
		wire.From, wire.To = bay.TopJack(1), m.In(m.Inputs)
	}
	s.Wires = append(slices.Clone(s.Wires), wire)
	return true
}

// spare begins the names of bays that no file can name.
const spare = "Spare"

// addBay adds a bay of some isolated pairs where another hangs, and in its room; nil where
// there is no such bay.
func addBay(s *studio.Studio, like string, pairs int) *studio.Bay {
	at := s.BayNamed(like)
	if at == nil {
		return nil
	}
	bay := *at
	bay.Name = spare + strings.Repeat("I", len(s.Bays))
	bay.Modes = slices.Repeat([]studio.Mode{studio.Isolated}, pairs)
	s.Bays = append(slices.Clone(s.Bays), bay)
	s.Rooms = slices.Clone(s.Rooms)
	for i, r := range s.Rooms {
		if slices.Contains(r.Parts, like) {
			s.Rooms[i].Parts = append(slices.Clone(r.Parts), bay.Name)
		}
	}
	return &bay
}

// stockCord is the kind of cord of an addition, as many as it says.
func stockCord(a plan.Addition) studio.StockCord {
	kind := studio.StockCord{Length: a.Cord.Length, Poles: a.Cord.Poles, Colour: a.Cord.Colour, Count: a.Count}
	for i, end := range a.Cord.Ends {
		for j := studio.JackUnknown; j <= studio.LongFrame; j++ {
			if j.String() == end {
				kind.Ends[i] = j
			}
		}
	}
	return kind
}
