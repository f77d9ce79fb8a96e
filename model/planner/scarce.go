package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// scarce is one sort of what is scarce: cords, dummies, ties between two bays, mults,
// outputs or inputs of a matrix, or else a jack, or the plug that it takes.
type scarce struct {
	// what is empty for a jack and a plug.
	what  plan.AddedKind
	plug  bool
	of    []string // the bays that ties join, the matrix
	count int
	// elsewhere is how many more there are, which sessions in other rooms have.
	elsewhere int
	price     float64
	// own says that it is the jack or metal of the very source or destination.
	own bool
	// cords are the kinds of cord, at the jacks or points by which a person finds the rest.
	cords []*plan.OwnedCord
	at    []name.Point
}

// isLike says whether two are of one sort.
func (s scarce) isLike(o scarce) bool {
	return s.what == o.what && s.plug == o.plug && slices.Equal(s.of, o.of) && s.own == o.own && s.price == o.price
}

// scarceOf are the sorts of what is scarce, in order.
func scarceOf(t *problem.Problem, s *plan.Shortage) []scarce {
	var all []scarce
	for _, r := range s.Of {
		all = addSort(all, sortOf(t, s, r))
	}
	for i := range all {
		all[i].elsewhere += heldLike(t, all[i])
	}
	return all
}

// addSort adds one sort to others; like ones are one.
func addSort(all []scarce, g scarce) []scarce {
	at := slices.IndexFunc(all, g.isLike)
	if at < 0 {
		return append(all, g)
	}
	all[at].count += g.count
	all[at].elsewhere += g.elsewhere
	all[at].cords = append(slices.Clone(all[at].cords), g.cords...)
	all[at].at = append(slices.Clone(all[at].at), g.at...)
	return all
}

// heldLike is how many ties or mults like some sessions in other rooms hold, beside these.
func heldLike(t *problem.Problem, g scarce) int {
	if g.what != plan.AddedTie && g.what != plan.AddedMult {
		return 0
	}
	counted := map[int]bool{}
	for _, p := range g.at {
		counted[t.Node[t.Number[p]]] = true
	}
	held := 0
	for _, p := range t.Options.Held {
		j, known := t.JackOf[p]
		if !known || counted[t.Jacks[j].Node] {
			continue
		}
		n := t.Jacks[j].Node
		if what, of, _ := metalOf(t, n); what == g.what && slices.Equal(of, g.of) {
			held++
		}
		counted[n] = true
	}
	return held
}

func sortOf(t *problem.Problem, s *plan.Shortage, r plan.Scarce) scarce {
	g := scarce{count: r.Count, elsewhere: r.Elsewhere, price: r.Price}
	switch r.What {
	case plan.ScarceCord:
		g.what, g.cords = plan.AddedCord, []*plan.OwnedCord{r.Cord}
	case plan.ScarceDummy:
		g.what = plan.AddedDummy
	case plan.ScarceOutput:
		g.what, g.of, g.at = plan.AddedOutput, []string{r.At.Owner}, []name.Point{r.At}
	case plan.ScarceJack:
		n := t.Jacks[t.JackOf[r.At]].Node
		g.own = isOwn(t, s, n)
		if len(t.Nodes[n].Jacks) == 1 {
			g.what, g.of, g.at = metalOf(t, n) // who has the jack has the plug
		}
		if g.what == "" {
			g.plug, g.at = true, []name.Point{r.At}
		}
	case plan.ScarceMetal:
		n := t.Node[t.Number[r.At]]
		g.what, g.of, g.at = metalOf(t, n)
		g.own = isOwn(t, s, n)
	}
	return g
}

// isOwn says whether a source or destination of a shortage stands at a node.
func isOwn(t *problem.Problem, s *plan.Shortage, n int) bool {
	at := func(p name.Point) bool { return !p.IsZero() && t.Node[t.Number[p]] == n }
	return slices.ContainsFunc(s.Takes, func(k plan.Taking) bool { return at(k.Source) || slices.ContainsFunc(k.At, at) })
}

// metalOf is what metal is to a person: a mult, a tie, a matrix's output or input, or a
// jack. It is found at some points; those of a tie are in one of its bays.
func metalOf(t *problem.Problem, n int) (what plan.AddedKind, of []string, at []name.Point) {
	node := &t.Nodes[n]
	var jacks []name.Point
	for _, j := range node.Jacks {
		p := t.Points[t.Jacks[j].Point]
		if jacks = append(jacks, p); !slices.Contains(of, p.Owner) {
			of = append(of, p.Owner)
		}
	}
	slices.SortFunc(jacks, name.Point.Compare)
	switch {
	case node.Mult:
		return plan.AddedMult, nil, jacks
	case len(node.Outputs) > 0:
		p := t.Points[t.Outputs[node.Outputs[0]].Point]
		return plan.AddedOutput, []string{p.Owner}, []name.Point{p}
	case len(node.Ins) > 0:
		return plan.AddedInput, []string{t.Outputs[t.Crosses[node.Ins[0]].Output].Matrix}, []name.Point{inputPoint(t, n)}
	case len(of) > 1 || len(jacks) > 1 && len(node.Sources)+len(node.Inputs) == 0:
		return plan.AddedTie, []string{of[0], of[len(of)-1]}, []name.Point{t.Points[t.Jacks[node.Jacks[0]].Point]}
	}
	return "", nil, []name.Point{named(t, n)}
}

// inputPoint is the matrix input among the points of a node.
func inputPoint(t *problem.Problem, n int) name.Point {
	for _, p := range t.Nodes[n].Points {
		if t.Kinds[p] == graph.MatrixInput {
			return t.Points[p]
		}
	}
	return named(t, n)
}

// splits says whether a source of a shortage goes to several destinations.
func splits(s *plan.Shortage) bool {
	return slices.ContainsFunc(s.Takes, func(t plan.Taking) bool { return len(t.At) > 1 })
}

// breaks says whether a plug that carries nothing is among what is asked: a dummy, or a cord
// plugged at one end.
func breaks(s *plan.Shortage) bool {
	return slices.ContainsFunc(s.Takes, func(t plan.Taking) bool { return len(t.Break) > 0 })
}
