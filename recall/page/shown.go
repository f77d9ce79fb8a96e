package page

import (
	"net/http"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/web"
)

// Of a large room the bays and matrices are drawn that somebody looks at: those of
// the next move, of what is touched, and those that came into view. The others have
// their place and their name.
const (
	// mostPairs and mostCells are drawn of a room at once.
	mostPairs = 512
	mostCells = 1024
)

// isLarge says whether a room is drawn in parts.
func isLarge(s *studio.Studio) bool {
	pairs, cells := 0, 0
	for _, b := range s.Bays {
		pairs += b.Pairs()
	}
	for _, m := range s.Matrices {
		cells += m.Inputs * m.Outputs
	}
	return pairs > mostPairs || cells > mostCells
}

// drawing is what is drawn of a room, by the names of bays and matrices.
type drawing struct {
	all   bool
	names []string
}

func (d drawing) has(owner string) bool { return d.all || slices.Contains(d.names, owner) }

// drawing is what a browser has, what it asks for beside, and what the view is about.
func (p *page) drawing(r *http.Request, had sentView, whole bool, about ...name.Point) drawing {
	d := drawing{all: !p.large, names: slices.Clone(had.drawn)}
	add := func(owner string) {
		if p.owns(owner) && !slices.Contains(d.names, owner) {
			d.names = append(d.names, owner)
		}
	}
	if whole {
		for _, b := range p.Studio.Bays {
			add(b.Name)
		}
		for _, m := range p.Studio.Matrices {
			add(m.Name)
		}
	}
	for _, owner := range strings.Fields(r.Header.Get(web.ShowHeader)) {
		add(owner)
	}
	for _, point := range about {
		add(point.Owner)
	}
	return d
}

// with is the drawing with the jacks of a move.
func (d drawing) with(next *move) drawing {
	if next == nil {
		return d
	}
	return d.about(next.ends)
}

// about is the drawing with the owners of points.
func (d drawing) about(points []name.Point) drawing {
	for _, end := range points {
		if !slices.Contains(d.names, end.Owner) {
			d.names = append(d.names, end.Owner)
		}
	}
	return d
}

func (p *page) owns(owner string) bool {
	return p.isBay(owner) || p.Studio.MatrixNamed(owner) != nil
}

// rack is a column of the map of the bays, from the upper bay to the lower.
type rack []inRack

// inRack is a bay on the map, with how many moves are left there.
type inRack struct {
	Name, Label string
	Moves       int
	Next        bool
}

// racks is the map of the bays of a large room.
func (p *page) racks(left []move, next *move) []rack {
	if !p.large {
		return nil
	}
	moves := map[string]int{}
	for _, m := range left {
		touched := map[string]bool{}
		for _, end := range m.ends {
			touched[end.Owner] = true
		}
		for owner := range touched {
			moves[owner]++
		}
	}
	var all []rack
	for _, b := range (drawer{p}).standing() {
		if side := p.sides[b.Name]; side.first || len(all) == 0 {
			all = append(all, nil)
		}
		one := inRack{Name: b.Name, Label: p.words.Owner(b.Name), Moves: moves[b.Name]}
		one.Next = next != nil && slices.ContainsFunc(next.ends, func(e name.Point) bool { return e.Owner == b.Name })
		all[len(all)-1] = append(all[len(all)-1], one)
	}
	return all
}
