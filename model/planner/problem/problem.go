// Package problem is what one session asks of a room: the room as a graph, the patch
// that is in, what each input of gear must, may and must not hear, and the cords that
// are owned. It answers questions about patches and places, and looks for nothing.
//
// A want is one destination that must hear one source, a silence one that must hear
// none. A destination that the session does not name may hear what it hears in the
// room at rest. A source is wanted where a destination asks for it, and useful where
// it is, or comes through an amplifier. A plug guards where it breaks a normal by
// which something would come to where it must not be heard.
package problem

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/stock"
	"bayhand/model/session"
)

// Problem is what one session asks of a room.
type Problem struct {
	*graph.Graph
	Room    *heard.Room
	Session *session.Session
	Options Options
	From    patch.Patch
	Present graph.Patch
	leftIn  []patch.Cord
	Judge   *heard.Judge
	// Asks is what each point asks for, if it is a gear input.
	Asks []Ask
	// Wanted are the sources that some destination asks for, sorted.
	Wanted []int
	// WantsAt are the numbers of the wants at each node.
	WantsAt [][]int
	// Split are sources that the session asks for at two destinations or more.
	Split map[int]bool
	// Listens says which gear inputs pass what they hear on to an output.
	Listens map[int]bool
	// OverrideOf is the port whose lead takes over an input, by the input's point.
	OverrideOf map[int]int
	// Stock is the cords owned. GoesByTies says that none of them goes between some bays,
	// which are tied with each other and have no places.
	Stock      stock.Stock
	GoesByTies bool
	// Dummies is how many are owned, with those that are in; -1 where there is no end to
	// them.
	Dummies int
}

// Ask is what a gear input may hear.
type Ask struct {
	// Wants are numbers of wants; Silent asks for nothing where something could be heard.
	Wants  []int
	Silent bool
	// May are the sources that it may hear where nothing is asked of it; Anything is allowed
	// at a loudspeaker that is cut, and at an input that is taken over for good.
	May      []int
	Anything bool
}

// Named says whether the session names the input.
func (a Ask) Named() bool { return len(a.Wants) > 0 || a.Silent }

// New is the problem of a session in a room with a patch in it. An error is a patch
// that the room cannot have.
func New(room *heard.Room, from patch.Patch, s *session.Session, o Options) (*Problem, error) {
	b := room.Graph()
	present, err := b.Numbered(from)
	if err != nil {
		return nil, err
	}
	t := &Problem{Graph: b, Room: room, Session: s, Options: o, From: from, Present: present, Split: map[int]bool{}, Listens: map[int]bool{}}
	if o.LeaveCords {
		t.leftIn = from.Cords
	}
	t.Judge = room.Judge(s, t.leftIn)
	t.Asks = make([]Ask, len(b.Points))
	t.readOverrides()
	t.readWants()
	t.wantAll()
	t.readOthers()
	for _, p := range slices.Concat(b.Passes, b.Numbers(s.Inside)) {
		t.Listens[p.In] = true
	}
	var kept []patch.Patch
	if s.Patch != nil {
		kept = append(kept, *s.Patch)
	}
	t.Stock = stock.New(b, from, present, kept...)
	t.Dummies = stock.Dummies(room.Studio(), present)
	if !o.PastTies {
		t.GoesByTies = t.Stock.GoByTies()
	}
	return t, nil
}

func (t *Problem) readWants() {
	for i, w := range t.Session.Wants {
		if at, ok := t.Number[w.Destination]; ok {
			t.Asks[at].Wants = append(t.Asks[at].Wants, i)
		}
		if s, ok := t.SourceOf[w.Source]; ok {
			if slices.Contains(t.Wanted, s) {
				t.Split[s] = true
			}
			t.Wanted = append(t.Wanted, s)
		}
	}
	slices.Sort(t.Wanted)
	t.Wanted = slices.Compact(t.Wanted)
	for _, p := range t.Session.Silent {
		if at, ok := t.Number[p]; ok {
			t.Asks[at].Silent = true
		}
	}
	t.WantsAt = make([][]int, len(t.Nodes))
	for n := range t.Nodes {
		for _, in := range t.Nodes[n].Inputs {
			t.WantsAt[n] = append(t.WantsAt[n], t.Asks[in].Wants...)
		}
	}
}

// readOthers says what each input may hear beside what is asked of it: what it
// hears at rest, with the cords that are left on request. One that a cable at the front takes over
// for good is silent, whatever comes there.
func (t *Problem) readOthers() {
	rest := t.Studio.Rest.Clone()
	rest.Cords = append(rest.Cords, t.leftIn...)
	baseline := t.Room.Hear(rest)
	cut := map[string]bool{}
	for _, g := range t.Session.Cut {
		cut[g] = true
	}
	empty := t.State(graph.Patch{})
	for n := range t.Nodes {
		for _, in := range t.Nodes[n].Inputs {
			a := &t.Asks[in]
			a.Anything = cut[t.Points[in].Owner]
			if len(a.Wants) == 0 && empty.TakenOver(in) {
				a.Anything, a.Silent = true, false
			}
			for _, s := range baseline.Hears(t.Points[in]) {
				a.May = append(a.May, t.SourceOf[s])
			}
		}
	}
}

// Missing are wants and silences that name points which the studio does not
// have as what they are named for.
func (t *Problem) Missing() []plan.Missing {
	var found []plan.Missing
	for _, w := range t.Session.Wants {
		if _, ok := t.SourceOf[w.Source]; !ok {
			found = append(found, plan.Missing{Want: WantText(w), Because: phrase.Put("{source} is no output of gear in this studio", "source", w.Source.String()), Key: w.Key})
		} else if !t.IsInput(w.Destination) {
			found = append(found, plan.Missing{Want: WantText(w), Because: phrase.Put("{destination} is no input of gear in this studio", "destination", w.Destination.String()), Key: w.Key})
		}
	}
	return found
}

// IsInput says whether a point is an input of gear.
func (t *Problem) IsInput(p name.Point) bool {
	at, ok := t.Number[p]
	return ok && slices.Contains(t.Nodes[t.Node[at]].Inputs, at)
}

// WantText is a want in the words of the file.
func WantText(w session.Want) string {
	return plan.WantText(w.Source.String(), w.Destination.String())
}

// readOverrides finds the sockets at the front that take over an input at the rear,
// which then hears nothing.
func (t *Problem) readOverrides() {
	t.OverrideOf = map[int]int{}
	for rear, fronts := range t.Overrides {
		for _, front := range fronts {
			if port := t.PortAt[front]; port != graph.None {
				t.OverrideOf[rear] = port
			}
		}
	}
}

// Accepts says whether a source may be heard at an input; soft lets each ask
// be dropped. One that could be taken over from the front may have anything at it
// while a lead is in the socket there.
func (t *Problem) Accepts(in, source int, soft bool) bool {
	if _, ok := t.OverrideOf[in]; ok && len(t.Asks[in].Wants) == 0 {
		return true
	}
	return t.AcceptsItself(in, source, soft)
}

// AcceptsItself is Accepts for an input that nothing takes over.
func (t *Problem) AcceptsItself(in, source int, soft bool) bool {
	a := t.Asks[in]
	for _, w := range a.Wants {
		if t.SourceOf[t.Session.Wants[w].Source] == source {
			return true
		}
	}
	if a.Named() && !soft {
		return false
	}
	return a.Anything || slices.Contains(a.May, source)
}

// Takes says whether a source may be heard at a node.
func (t *Problem) Takes(n, source int, soft bool) bool {
	for _, in := range t.Nodes[n].Inputs {
		if !t.Accepts(in, source, soft) {
			return false
		}
	}
	return true
}

// Forbids says whether anything at a node could be the worse for hearing a
// source where the node is fed by nothing else.
func (t *Problem) Forbids(n, source int) bool {
	for _, in := range t.Nodes[n].Inputs {
		a := t.Asks[in]
		if a.Named() || t.Listens[in] || !a.Anything && !slices.Contains(a.May, source) {
			return true
		}
	}
	return false
}

// wantAll makes every source one to reckon with where outputs are switched
// together: what the other output carries then is nothing that was asked for,
// and must not go astray.
func (t *Problem) wantAll() {
	if len(t.Ganged) == 0 {
		return
	}
	t.Wanted = nil
	for s := range t.Sources {
		t.Wanted = append(t.Wanted, s)
	}
}

// SilenceText is a silence that a session asks for, in words.
func SilenceText(p name.Point) string { return plan.SilenceText(p.String()) }
