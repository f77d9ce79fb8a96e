package planner

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
)

// roundWords say that what is asked makes a loop by itself, through what gear and software
// carry; empty where it makes none, or one that is meant.
func roundWords(t *problem.Problem, asks ...exact.Wish) string {
	ports := round(t, asks)
	if ports == nil {
		return ""
	}
	var names []string
	for _, p := range append(ports, ports[0]) {
		names = append(names, p.String())
	}
	return phrase.Put("this makes a loop: {ports}; write `allow: [loop {port}]` if it is meant", "ports", strings.Join(names, " -> "), "port", ports[0].String())
}

// round are the ports along a shortest loop of what is asked, inputs and outputs in turn,
// which goes through the last want; nil for none. It takes time linear in what gear carries.
func round(t *problem.Problem, asks []exact.Wish) []name.Point {
	leads := map[name.Point][]name.Point{}
	add := func(from, to name.Point) {
		if !slices.Contains(t.Session.Loops, from) && !slices.Contains(t.Session.Loops, to) {
			leads[from] = append(leads[from], to)
		}
	}
	var from, to name.Point
	for _, a := range asks {
		wants, _ := wishedOf(t, a)
		for _, w := range wants {
			add(w.Source, w.Destination)
			from, to = w.Destination, w.Source
		}
	}
	if to.IsZero() {
		return nil // silences go nowhere
	}
	for _, p := range slices.Concat(t.Passes, t.Graph.Numbers(t.Session.Inside)) {
		add(t.Points[p.In], t.Points[p.Out])
	}
	return shortest(leads, from, to)
}

// shortest is a shortest way from a port to another; nil for none.
func shortest(leads map[name.Point][]name.Point, from, to name.Point) []name.Point {
	ways := map[name.Point][]name.Point{from: {from}}
	for reached := []name.Point{from}; len(reached) > 0; reached = reached[1:] {
		if reached[0] == to {
			return ways[to]
		}
		for _, next := range leads[reached[0]] {
			if ways[next] == nil {
				ways[next] = append(slices.Clone(ways[reached[0]]), next)
				reached = append(reached, next)
			}
		}
	}
	return nil
}
