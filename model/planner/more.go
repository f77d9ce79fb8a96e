package planner

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// withMore is the studio with so many more of what is scarce; nil for what nobody can
// buy or wire in an hour, as outputs of a matrix.
func (c counting) withMore(g scarce, s *plan.Shortage, count int) *studio.Studio {
	other := *c.made.problem.Studio
	switch kind, _, _ := strings.Cut(g.key, " "); kind {
	case "dummy":
		other.Dummies = max(other.Dummies, len(c.made.problem.Present.Dummies)) + count
	case "cord":
		return c.withCords(s, count)
	case "tie":
		c.addTies(&other, s, count)
	case "mult":
		for i := range count {
			c.addMultNear(&other, s, i)
		}
	default:
		return nil
	}
	return &other
}

// addMultNear adds a mult of four jacks where the jack of a source stands that is scarce
// of one.
func (c counting) addMultNear(other *studio.Studio, s *plan.Shortage, number int) {
	t := c.made.problem
	for _, k := range s.Takes {
		if k.Source.IsZero() || len(t.Nodes[t.Node[t.Number[k.Source]]].Jacks) == 0 {
			continue
		}
		owner := t.Owner(t.Nodes[t.Node[t.Number[k.Source]]].Jacks[0])
		at := other.BayNamed(owner)
		if at == nil {
			return
		}
		bay := *at
		bay.Name = spare + strings.Repeat("I", number)
		bay.Modes = []studio.Mode{studio.Isolated, studio.Isolated}
		addBay(other, bay, owner)
		other.Mults = append(slices.Clone(other.Mults), studio.Mult{Jacks: []name.Point{bay.TopJack(1), bay.BottomJack(1), bay.TopJack(2), bay.BottomJack(2)}})
		return
	}
}

// withCords has so many more of the longest of the kinds that are scarce.
func (c counting) withCords(s *plan.Shortage, count int) *studio.Studio {
	other := *c.made.problem.Studio
	var cords []*plan.OwnedCord
	for _, r := range s.Of {
		if r.What == plan.ScarceCord {
			cords = append(cords, r.Cord)
		}
	}
	longest := longestOf(cords)
	for k, kind := range c.made.problem.Stock.Kinds {
		if *ownedCord(c.made.problem, k) == *longest {
			kind.Count = count
			if k < len(other.Stock.Cords)+1 {
				other.Stock.Cords = append(slices.Clone(other.Stock.Cords), kind)
				return &other
			}
		}
	}
	return nil
}

// addTies adds ties as one of those that are scarce, from jacks that stand where its own
// do.
func (c counting) addTies(other *studio.Studio, s *plan.Shortage, count int) {
	t := c.made.problem
	for _, r := range s.Of {
		if r.What != plan.ScarceMetal {
			continue
		}
		var ends []name.Point
		seen := map[string]bool{}
		for _, j := range t.Nodes[t.Node[t.Number[r.At]]].Jacks {
			if p := t.Points[t.Jacks[j].Point]; !seen[p.Owner] || len(ends) == 1 {
				ends, seen[p.Owner] = append(ends, p), true
			}
		}
		for i := range count {
			c.addTie(other, ends, i)
		}
		return
	}
}

func (c counting) addTie(other *studio.Studio, ends []name.Point, number int) {
	var tie [2]name.Point
	for i, p := range ends[:min(2, len(ends))] {
		at := other.BayNamed(p.Owner)
		if at == nil {
			return
		}
		bay := *at
		bay.Name = spare + strings.Repeat("I", 2*number+i)
		bay.Modes = []studio.Mode{studio.Isolated}
		tie[i] = bay.TopJack(1)
		addBay(other, bay, p.Owner)
	}
	other.Ties = append(slices.Clone(other.Ties), studio.Tie{A: tie[0], B: tie[1]})
}

// addBay adds a bay that hangs in the room of another.
func addBay(s *studio.Studio, bay studio.Bay, like string) {
	s.Bays = append(slices.Clone(s.Bays), bay)
	s.Rooms = slices.Clone(s.Rooms)
	for i, r := range s.Rooms {
		if slices.Contains(r.Parts, like) {
			s.Rooms[i].Parts = append(slices.Clone(r.Parts), bay.Name)
		}
	}
}
