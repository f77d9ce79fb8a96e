package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/problem"
)

// shortageOf is a proof by counting in names.
func shortageOf(t *problem.Problem, p *cut.Proof) *plan.Shortage {
	s := &plan.Shortage{Takes: []plan.Taking{}, Of: []plan.Scarce{}, Need: p.Need, Have: p.Have}
	for _, d := range p.Demands {
		s.Takes = append(s.Takes, takingOf(t, d))
	}
	if s.Takes[0].NoWay {
		s.Need = 0
	}
	for _, r := range p.Prices {
		s.Of = append(s.Of, scarceOne(t, r))
	}
	return s
}

func takingOf(t *problem.Problem, d cut.Demand) plan.Taking {
	one := plan.Taking{Least: d.Cost, NoWay: d.NoWay()}
	if one.NoWay {
		one.Least = 0
	}
	if d.Normal != graph.None {
		n := t.Normals[d.Normal]
		one.Break = []name.Point{t.Points[t.Jacks[n.A].Point], t.Points[t.Jacks[n.B].Point]}
		return one
	}
	one.Source = t.Points[t.Sources[d.Source]]
	for _, w := range d.Wants {
		one.At = append(one.At, t.Session.Wants[w].Destination)
	}
	return one
}

func scarceOne(t *problem.Problem, r cut.Price) plan.Scarce {
	s := plan.Scarce{Count: r.Count, Price: r.Price}
	switch r.Kind {
	case cut.OfNode:
		s.What, s.At = plan.ScarceMetal, named(t, r.Number)
	case cut.OfJack:
		s.What, s.At = plan.ScarceJack, t.Points[t.Jacks[r.Number].Point]
	case cut.OfOutput:
		s.What, s.At = plan.ScarceOutput, t.Points[t.Outputs[r.Number].Point]
	case cut.OfDummies:
		s.What, s.Elsewhere = plan.ScarceDummy, t.Options.Elsewhere.Dummies
	case cut.OfStock:
		s.What, s.Cord = plan.ScarceCord, ownedCord(t, r.Number)
		s.Elsewhere = elsewhere(t, *s.Cord)
	}
	return s
}

// elsewhere is how many cords of a kind sessions in other rooms have.
func elsewhere(t *problem.Problem, kind plan.OwnedCord) int {
	count := 0
	for _, k := range t.Options.Elsewhere.Cords {
		if kindOf(k) == kind {
			count += k.Count
		}
	}
	return count
}

// named is a point of a node that has a name: a matrix's, a jack, or any.
func named(t *problem.Problem, n int) name.Point {
	points := t.Nodes[n].Points
	for _, kinds := range [][]graph.PointKind{{graph.MatrixOutput}, {graph.MatrixInput}, {graph.JackPoint}, {graph.GearInput, graph.GearOutput}} {
		for _, p := range points {
			if slices.Contains(kinds, t.Kinds[p]) {
				return t.Points[p]
			}
		}
	}
	return name.Point{}
}
