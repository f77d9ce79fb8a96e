package stock

import (
	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/patch"
)

// Between two rooms is a wall, which no cord goes through. Bays that are tied with each
// other mostly hang apart as well, in two racks or houses: where the file gives neither of
// two such bays a place, nothing says that a cord reaches from one to the other, and the
// line that is tied is there for it. Where a cord is known to go, others go too.

// ways says between which bays cords, and to which bays leads of which gear go, as far
// as walls and ties leave any.
type ways struct {
	graph *graph.Graph
	walls layout.Walls
	// place is that of each bay and box by number, of port that of the gear of a port.
	place, ofPort []int
	// open are bays from the one to the other of which a cord is known to go; lead is gear
	// with the bays or boxes in which a lead of it is known to be.
	open map[[2]int]bool
	lead map[[2]string]bool
	// tied are the bays, by number, that are left to their ties; nil for none.
	tied map[[2]int]bool
}

func newWays(g *graph.Graph, known []patch.Patch) ways {
	w := ways{graph: g, walls: layout.NewWalls(g.Studio), open: map[[2]int]bool{}, lead: map[[2]string]bool{}}
	number := map[string]int{}
	for i, b := range g.Studio.Bays {
		number[b.Name] = i
		w.place = append(w.place, w.walls.Place(b.Name))
	}
	for _, b := range g.Studio.Boxes {
		w.place = append(w.place, w.walls.Place(b.Name))
	}
	for _, one := range g.Studio.Gear {
		w.place = append(w.place, w.walls.Place(one.Name)) // its sockets, where it is loose
	}
	for _, at := range g.Ports {
		w.ofPort = append(w.ofPort, w.walls.Place(g.Points[at].Owner))
	}
	for _, p := range known {
		for _, c := range p.Cords {
			if a, b := number[c.A.Owner], number[c.B.Owner]; !c.B.IsZero() {
				w.open[[2]int{a, b}], w.open[[2]int{b, a}] = true, true
			}
		}
		for _, l := range p.Leads {
			w.lead[[2]string{l.Port.Owner, l.Jack.Owner}] = true
		}
	}
	return w
}

// walled says whether a wall stands between two bays.
func (w *ways) walled(a, b int) bool {
	p, q := w.place[a], w.place[b]
	return p != q && p != 0 && q != 0 && !w.open[[2]int{a, b}]
}

// GoByTies has no cord go past the ties: between two bays that are tied with each other
// and of which the file says no place, unless a cord is known to go there. It says whether
// there are such bays without a wall between them.
func (s *Stock) GoByTies() bool {
	w := &s.ways
	number := map[string]int{}
	bays := w.graph.Studio.Bays
	for i, b := range bays {
		number[b.Name] = i
	}
	w.tied = map[[2]int]bool{}
	for _, t := range w.graph.Studio.Ties {
		a, isBay := number[t.A.Owner]
		b, isOther := number[t.B.Owner]
		if isBay && isOther && a != b && !bays[a].At.Said && !bays[b].At.Said && !w.open[[2]int{a, b}] && !w.walled(a, b) {
			w.tied[[2]int{a, b}], w.tied[[2]int{b, a}] = true, true
		}
	}
	return len(w.tied) > 0
}

// barred says whether no cord goes between two jacks, since a wall is between them or a
// tie leads there.
func (s *Stock) barred(i, j int) bool {
	a, b := s.jacks[i].Bay, s.jacks[j].Bay
	return a != b && (s.ways.walled(a, b) || s.ways.tied[[2]int{a, b}])
}

// LeadGoes says whether the lead of a port can be plugged into a jack: none of gear in
// one room into one in another, unless the file says that it goes there.
func (s *Stock) LeadGoes(port, j int) bool {
	w := &s.ways
	if !w.graph.GoesTo(port, j) {
		return false
	}
	p, q := w.ofPort[port], w.place[s.jacks[j].Bay]
	if p == q || p == 0 || q == 0 || len(w.graph.LeadsTo[port]) > 0 {
		return true
	}
	return w.lead[[2]string{w.graph.Points[w.graph.Ports[port]].Owner, w.graph.Owner(j)}]
}
