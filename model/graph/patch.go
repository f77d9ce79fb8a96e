package graph

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Patch is a patch by the numbers of a graph, sorted.
type Patch struct {
	// Cords are pairs of jacks, the lesser first; the second of a loose one is None.
	Cords   [][2]int
	Leads   [][2]int // port, jack
	Dummies []int
	Crosses []int
}

// Numbered is a patch by numbers. A point that the graph does not have, a plug that
// cannot be there and two plugs in one jack are errors.
func (g *Graph) Numbered(p patch.Patch) (Patch, error) {
	if lost := g.Unknown(p); len(lost) > 0 {
		return Patch{}, fmt.Errorf("the patch has %s, which the studio does not", lost[0])
	}
	var d Patch
	jack := func(p name.Point) (j int, err error) {
		j, ok := g.JackOf[p]
		if !ok {
			err = fmt.Errorf("%s is no jack of a bay; plugs go into jacks", p)
		}
		return j, err
	}
	for _, c := range p.Cords {
		ends := [2]int{None, None}
		for i, p := range c.Ends() {
			j, err := jack(p)
			if err != nil {
				return Patch{}, err
			}
			ends[i] = j
		}
		d.Cords = append(d.Cords, Ordered(ends))
	}
	for _, l := range p.Leads {
		j, err := jack(l.Jack)
		if err != nil {
			return Patch{}, err
		}
		port, ok := g.PortOf[l.Port]
		if !ok {
			return Patch{}, fmt.Errorf("%s is wired at the rear; a gear cable comes from gear that is wired to no bay", l.Port)
		}
		d.Leads = append(d.Leads, [2]int{port, j})
	}
	for _, p := range p.Dummies {
		j, err := jack(p)
		if err != nil {
			return Patch{}, err
		}
		d.Dummies = append(d.Dummies, j)
	}
	for _, c := range p.Crosspoints {
		o, ok := g.OutputOf[c.Output]
		x := None
		if ok {
			x, ok = g.CrossAt(o, g.Number[c.Input])
		}
		if !ok {
			return Patch{}, fmt.Errorf("the patch has the crosspoint %s x %s, which does not exist", c.Output, c.Input)
		}
		d.Crosses = append(d.Crosses, x)
	}
	d.Sort()
	return d, d.twice(g)
}

// twice refuses two plugs in one jack.
func (d Patch) twice(g *Graph) error {
	plugged := map[int]bool{}
	for _, j := range d.Plugs() {
		if plugged[j] {
			return fmt.Errorf("the patch has two plugs in %s; a jack takes one", g.Points[g.Jacks[j].Point])
		}
		plugged[j] = true
	}
	return nil
}

// Unknown lists the points of a patch that the studio does not have.
func (g *Graph) Unknown(p patch.Patch) []name.Point {
	points := p.Plugs()
	for _, l := range p.Leads {
		points = append(points, l.Port)
	}
	for _, c := range p.Crosspoints {
		points = append(points, c.Output, c.Input)
	}
	return slices.DeleteFunc(points, g.Has)
}

// Ordered are the ends of a cord, the lesser jack first.
func Ordered(ends [2]int) [2]int {
	if ends[1] != None && ends[1] < ends[0] {
		return [2]int{ends[1], ends[0]}
	}
	return ends
}

// Ends are the jacks of a cord, the lesser first; the second None for one that hangs.
func (g *Graph) Ends(c patch.Cord) [2]int {
	if c.B.IsZero() {
		return [2]int{g.JackOf[c.A], None}
	}
	return Ordered([2]int{g.JackOf[c.A], g.JackOf[c.B]})
}

// Sort puts a patch in order.
func (d *Patch) Sort() {
	slices.SortFunc(d.Cords, comparePairs)
	slices.SortFunc(d.Leads, comparePairs)
	slices.Sort(d.Dummies)
	slices.Sort(d.Crosses)
}

func comparePairs(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) }

// Clone is a copy that shares nothing.
func (d Patch) Clone() Patch {
	return Patch{slices.Clone(d.Cords), slices.Clone(d.Leads), slices.Clone(d.Dummies), slices.Clone(d.Crosses)}
}

// Plugs are the jacks that hold one.
func (d Patch) Plugs() []int {
	var jacks []int
	for _, c := range d.Cords {
		jacks = append(jacks, c[0])
		if c[1] != None {
			jacks = append(jacks, c[1])
		}
	}
	for _, l := range d.Leads {
		jacks = append(jacks, l[1])
	}
	return append(jacks, d.Dummies...)
}

// Named is the inverse of Numbered, without the lengths of its cords.
func (g *Graph) Named(d Patch) patch.Patch {
	var p patch.Patch
	jack := func(j int) name.Point {
		if j == None {
			return name.Point{}
		}
		return g.Points[g.Jacks[j].Point]
	}
	for _, c := range d.Cords {
		p.Cords = append(p.Cords, patch.Cord{A: jack(c[0]), B: jack(c[1])})
	}
	for _, l := range d.Leads {
		p.Leads = append(p.Leads, patch.Lead{Port: g.Points[g.Ports[l[0]]], Jack: jack(l[1])})
	}
	for _, j := range d.Dummies {
		p.Dummies = append(p.Dummies, jack(j))
	}
	for _, x := range d.Crosses {
		c := g.Crosses[x]
		p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: g.Points[g.Outputs[c.Output].Point], Input: g.Points[c.Input]})
	}
	p.Sort()
	return p
}

// HoldsPlugs says whether anything is plugged.
func (d Patch) HoldsPlugs() bool { return len(d.Cords)+len(d.Leads)+len(d.Dummies) > 0 }

// Switched is what of a patch no hand does: its crosspoints.
func (d Patch) Switched() Patch { return Patch{Crosses: slices.Clone(d.Crosses)} }

// Shared says whether two leads come from one port, which takes one plug.
func (d Patch) Shared() bool {
	taken := map[int]bool{}
	for _, l := range d.Leads {
		if taken[l[0]] {
			return true
		}
		taken[l[0]] = true
	}
	return false
}

// CountBroken is how many normals its plugs break.
func (d Patch) CountBroken(g *Graph) int {
	broken := map[int]bool{}
	for _, j := range d.Plugs() {
		for _, m := range g.Jacks[j].Normals {
			if g.Normals[m].Breaks(j) {
				broken[m] = true
			}
		}
	}
	return len(broken)
}
