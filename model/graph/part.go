package graph

import (
	"cmp"
	"slices"
)

// Part is one cord (two jacks), lead (port, jack), dummy (jack) or crosspoint of
// a patch; or a normal, which a patch does not hold and a way can go along.
type Part struct {
	Kind Kind
	A, B int
}

// Kind is what a part is.
type Kind uint8

// The kinds of parts.
const (
	Cord Kind = iota + 1
	Lead
	Dummy
	Cross
	HeldNormal
)

// Parts are what a patch holds.
func (d Patch) Parts() []Part {
	all := make([]Part, 0, len(d.Crosses)+len(d.Cords)+len(d.Leads)+len(d.Dummies))
	for _, x := range d.Crosses {
		all = append(all, Part{Cross, x, 0})
	}
	for _, c := range d.Cords {
		all = append(all, Part{Cord, c[0], c[1]})
	}
	for _, l := range d.Leads {
		all = append(all, Part{Lead, l[0], l[1]})
	}
	for _, j := range d.Dummies {
		all = append(all, Part{Dummy, j, 0})
	}
	return all
}

// Holds says whether a part is in a patch.
func (d Patch) Holds(p Part) bool {
	in := false
	switch p.Kind {
	case Cord:
		_, in = slices.BinarySearchFunc(d.Cords, [2]int{p.A, p.B}, comparePairs)
	case Lead:
		_, in = slices.BinarySearchFunc(d.Leads, [2]int{p.A, p.B}, comparePairs)
	case Dummy:
		_, in = slices.BinarySearch(d.Dummies, p.A)
	case Cross:
		_, in = slices.BinarySearch(d.Crosses, p.A)
	case HeldNormal:
	}
	return in
}

// Jacks are those that a part plugs.
func (p Part) Jacks() []int {
	switch p.Kind {
	case Cord:
		if p.B == None {
			return []int{p.A}
		}
		return []int{p.A, p.B}
	case Lead:
		return []int{p.B}
	case Dummy:
		return []int{p.A}
	case Cross, HeldNormal:
	}
	return nil
}

// GoesTo says whether the lead of a port can be plugged into a jack: into the input of
// loose gear goes that of an output alone.
func (g *Graph) GoesTo(port, j int) bool {
	if g.PortAt[g.Jacks[j].Point] != None && g.Kinds[g.Ports[port]] != GearOutput {
		return false
	}
	at := g.LeadsTo[port]
	return len(at) == 0 || slices.Contains(at, g.Owner(j))
}

// LooseJack is the socket that the port of loose gear is as well; None where it is
// none. One plug goes in.
func (g *Graph) LooseJack(port int) int { return g.JackAt[g.Ports[port]] }

// LoosePort is the port that a socket of loose gear is as well; None for any other
// jack.
func (g *Graph) LoosePort(j int) int { return g.PortAt[g.Jacks[j].Point] }

// Without are the parts of one list that are not in another.
func Without(parts, others []Part) []Part {
	in := slices.SortedFunc(slices.Values(others), Part.compare)
	return slices.DeleteFunc(slices.Clone(parts), func(p Part) bool {
		_, ok := slices.BinarySearchFunc(in, p, Part.compare)
		return ok
	})
}

func (p Part) compare(o Part) int {
	return cmp.Or(cmp.Compare(p.Kind, o.Kind), cmp.Compare(p.A, o.A), cmp.Compare(p.B, o.B))
}
