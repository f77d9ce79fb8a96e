package planner

import (
	"slices"
	"strings"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// alone says why a want or silence cannot be had even by itself, and what would do.
func (m remedies) alone(a exact.Wish) remedy {
	t := m.made.problem
	wants, silent := wishedOf(t, a)
	for _, w := range wants {
		if r := soldered(t, w); !r.none() {
			return r
		}
		for _, p := range []name.Point{w.Source, w.Destination} {
			if shutOff(t, t.Node[t.Number[p]]) {
				return remedy{said: phrase.Put("no jack, matrix or free port is wired to {port}; wire one to it", "port", p.String())}
			}
		}
	}
	for _, p := range silent {
		if at := t.Number[p]; wiredTo(t, at, graph.None) != graph.None {
			return joinedWords(t, at, wiredTo(t, at, graph.None))
		}
	}
	if round := roundWords(t, a); round != "" {
		return remedy{said: round}
	}
	r := m.of([]exact.Wish{a})
	if r.said == "" && len(wants) > 0 {
		r.said = barrier(m).words(asking(t, a))
	}
	switch {
	case !r.none():
	case len(silent) > 0:
		r.said = "no plug breaks the path by which it has sound"
	default:
		r.said = noPath
	}
	return r
}

// soldered says what is joined for good with a want's source or destination and must not be:
// another source, or an input that must not hear it.
func soldered(t *problem.Problem, w session.Want) remedy {
	source := t.SourceOf[w.Source]
	for _, p := range []name.Point{w.Destination, w.Source} {
		if at := t.Number[p]; wiredTo(t, at, source) != graph.None {
			return joinedWords(t, at, wiredTo(t, at, source))
		}
	}
	for _, in := range t.Nodes[t.Node[t.Number[w.Destination]]].Inputs {
		if !t.Accepts(in, source, false) {
			ends := []int{min(in, t.Number[w.Destination]), max(in, t.Number[w.Destination])}
			return joinedWords(t, ends[0], ends[1])
		}
	}
	return remedy{}
}

// wiredTo is the point of another source that always drives the node of a port; None where
// there is none.
func wiredTo(t *problem.Problem, port, source int) int {
	for _, s := range t.Nodes[t.Node[port]].Sources {
		if s != source {
			return t.Sources[s]
		}
	}
	return graph.None
}

// noPath is said where nothing else is known.
const noPath = "no path leads there in this studio"

// joinedWords say that two ports are one piece of metal, whatever is plugged.
func joinedWords(t *problem.Problem, port, other int) remedy {
	return remedy{said: phrase.Put("joined for good, by {what}: {port} and {other}; no plug parts them",
		"port", t.Points[port].String(), "other", t.Points[other].String(), "what", strings.Join(joinedBy(t, port, other), " and "))}
}

// joinedBy is the metal between two points that no patch parts: cables alone, or what is
// between the cables.
func joinedBy(t *problem.Problem, a, b int) []string {
	var made []string
	for _, j := range wayBetween(t, a, b) {
		what := ""
		switch j.By {
		case graph.ByParallel:
			what = phrase.Put("a parallel pair ({jacks})", "jacks", strings.Join(topFirst([]name.Point{t.Points[j.A], t.Points[j.B]}), ", "))
		case graph.ByTie:
			what = "a tie"
		case graph.ByMult:
			what = "a mult"
		}
		if what != "" && !slices.Contains(made, what) {
			made = append(made, what)
		}
	}
	if len(made) == 0 {
		return []string{"a cable"}
	}
	return made
}

// wayBetween are the joints from one point to another of its node, in time of the studio's
// fixed metal for each step.
func wayBetween(t *problem.Problem, a, b int) []graph.Joint {
	ways := map[int][]graph.Joint{a: {}}
	for reached := []int{a}; len(reached) > 0; reached = reached[1:] {
		at := reached[0]
		for _, j := range t.FixedJoints {
			next := j.A + j.B - at
			if j.A != at && j.B != at || ways[next] != nil {
				continue
			}
			ways[next] = append(slices.Clone(ways[at]), j)
			reached = append(reached, next)
		}
	}
	return ways[b]
}

// shutOff says whether nothing can be joined to a node. A matrix that has no crosspoint there
// is something.
func shutOff(t *problem.Problem, n int) bool {
	at := t.Nodes[n]
	ofMatrix := func(p int) bool { return t.Kinds[p] == graph.MatrixInput || t.Kinds[p] == graph.MatrixOutput }
	return len(at.Jacks)+len(at.Ports)+len(at.Ins)+len(at.Outputs) == 0 && !slices.ContainsFunc(at.Points, ofMatrix)
}
