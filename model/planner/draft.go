package planner

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// draft is a patch as numbers of a board, sorted.
type draft struct {
	// cords are pairs of jacks, the lesser first; the second of a loose one is -1.
	cords   [][2]int
	leads   [][2]int // port, jack
	dummies []int
	crosses []int
}

const nowhere = -1

// draft reads a patch. Points that the board does not have are an error.
func (b *board) draft(p patch.Patch) (draft, error) {
	if lost := b.room.Unknown(p); len(lost) > 0 {
		return draft{}, fmt.Errorf("the patch has %s, which the studio does not", lost[0])
	}
	var d draft
	jack := func(p name.Point) (j int, err error) {
		j, ok := b.jackOf[p]
		if !ok {
			err = fmt.Errorf("%s is no jack of a bay; plugs go into jacks", p)
		}
		return j, err
	}
	for _, c := range p.Cords {
		ends := [2]int{nowhere, nowhere}
		for i, p := range c.Ends() {
			j, err := jack(p)
			if err != nil {
				return draft{}, err
			}
			ends[i] = j
		}
		d.cords = append(d.cords, ordered(ends))
	}
	for _, l := range p.Leads {
		j, err := jack(l.Jack)
		if err != nil {
			return draft{}, err
		}
		port, ok := b.portOf[l.Port]
		if !ok {
			return draft{}, fmt.Errorf("%s is wired at the rear; a lead comes from gear that is wired to no bay", l.Port)
		}
		d.leads = append(d.leads, [2]int{port, j})
	}
	for _, p := range p.Dummies {
		j, err := jack(p)
		if err != nil {
			return draft{}, err
		}
		d.dummies = append(d.dummies, j)
	}
	for _, c := range p.Crosspoints {
		o, ok := b.outputOf[c.Output]
		x := nowhere
		if ok {
			x, ok = b.crossAt(o, b.number[c.Input])
		}
		if !ok {
			return draft{}, fmt.Errorf("the patch has the crosspoint %s x %s, which does not exist", c.Output, c.Input)
		}
		d.crosses = append(d.crosses, x)
	}
	d.sort()
	return d, d.twice(b)
}

// twice refuses two plugs in one jack.
func (d draft) twice(b *board) error {
	plugged := map[int]bool{}
	for _, j := range d.plugs() {
		if plugged[j] {
			return fmt.Errorf("the patch has two plugs in %s; a jack takes one", b.points[b.jacks[j].point])
		}
		plugged[j] = true
	}
	return nil
}

func ordered(ends [2]int) [2]int {
	if ends[1] != nowhere && ends[1] < ends[0] {
		return [2]int{ends[1], ends[0]}
	}
	return ends
}

func (d *draft) sort() {
	pairs := func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) }
	slices.SortFunc(d.cords, pairs)
	slices.SortFunc(d.leads, pairs)
	slices.Sort(d.dummies)
	slices.Sort(d.crosses)
}

func (d draft) clone() draft {
	return draft{slices.Clone(d.cords), slices.Clone(d.leads), slices.Clone(d.dummies), slices.Clone(d.crosses)}
}

// plugs are the jacks that hold one.
func (d draft) plugs() []int {
	var jacks []int
	for _, c := range d.cords {
		jacks = append(jacks, c[0])
		if c[1] != nowhere {
			jacks = append(jacks, c[1])
		}
	}
	for _, l := range d.leads {
		jacks = append(jacks, l[1])
	}
	return append(jacks, d.dummies...)
}

// patch writes a draft with names, without the lengths of its cords.
func (b *board) patch(d draft) patch.Patch {
	var p patch.Patch
	jack := func(j int) name.Point {
		if j == nowhere {
			return name.Point{}
		}
		return b.points[b.jacks[j].point]
	}
	for _, c := range d.cords {
		p.Cords = append(p.Cords, patch.Cord{A: jack(c[0]), B: jack(c[1])})
	}
	for _, l := range d.leads {
		p.Leads = append(p.Leads, patch.Lead{Port: b.points[b.ports[l[0]]], Jack: jack(l[1])})
	}
	for _, j := range d.dummies {
		p.Dummies = append(p.Dummies, jack(j))
	}
	for _, x := range d.crosses {
		c := b.crosses[x]
		p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: b.points[b.outputs[c.output].point], Input: b.points[c.input]})
	}
	p.Sort()
	return p
}

// part is one cord, lead, dummy or crosspoint of a draft.
type part struct {
	kind partKind
	a, b int
}

type partKind uint8

const (
	cordPart partKind = iota + 1
	leadPart
	dummyPart
	crossPart
)
