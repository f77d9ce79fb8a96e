package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// task is what one session asks of a board.
type task struct {
	*graph.Graph
	room    *heard.Room
	session *session.Session
	options options
	from    patch.Patch
	present graph.Patch
	leftIn  []patch.Cord
	judge   *heard.Judge
	// asks is what each point asks for, if it is a gear input.
	asks []ask
	// wanted are the sources that some destination asks for, sorted.
	wanted []int
	// wantsAt are the numbers of the wants at each node.
	wantsAt [][]int
	// split are sources that the session asks for at two destinations or more.
	split map[int]bool
	// listens says which gear inputs pass what they hear on to an output.
	listens map[int]bool
	// fed are the sources that gear or the session's inside passes something to.
	fed map[int]bool
	// front is the port whose lead takes over an input, by the input's point.
	override map[int]int
	// shelf is the stock of cords.
	stock stock
}

// ask is what a gear input may hear.
type ask struct {
	// wants are numbers of wants; silent asks for nothing.
	wants  []int
	silent bool
	// may are the sources that it may hear where nothing is asked of it; anything
	// is allowed at a loudspeaker that is cut.
	may      []int
	anything bool
}

func (a ask) named() bool { return len(a.wants) > 0 || a.silent }

func newTask(room *heard.Room, from patch.Patch, s *session.Session, o options) (*task, error) {
	b := room.Graph()
	present, err := b.Numbered(from)
	if err != nil {
		return nil, err
	}
	t := &task{Graph: b, room: room, session: s, options: o, from: from, present: present, split: map[int]bool{}, listens: map[int]bool{}, fed: map[int]bool{}}
	if o.LeaveCords {
		t.leftIn = from.Cords
	}
	t.judge = room.Judge(s, t.leftIn)
	t.asks = make([]ask, len(b.Points))
	t.readOverrides()
	t.readWants()
	t.wantAll()
	t.readOthers()
	for _, p := range append(gearPasses(b.Studio), s.Inside...) {
		if n, ok := b.Number[p.In]; ok {
			t.listens[n] = true
		}
		if k, ok := b.SourceOf[p.Out]; ok {
			t.fed[k] = true
		}
	}
	t.addStock()
	return t, nil
}

func gearPasses(s *studio.Studio) []studio.Pass {
	var all []studio.Pass
	for _, g := range s.Gear {
		all = append(all, g.Passes...)
	}
	return all
}

func (t *task) readWants() {
	for i, w := range t.session.Wants {
		if at, ok := t.Number[w.Destination]; ok {
			t.asks[at].wants = append(t.asks[at].wants, i)
		}
		if s, ok := t.SourceOf[w.Source]; ok {
			if slices.Contains(t.wanted, s) {
				t.split[s] = true
			}
			t.wanted = append(t.wanted, s)
		}
	}
	slices.Sort(t.wanted)
	t.wanted = slices.Compact(t.wanted)
	for _, p := range t.session.Silent {
		if at, ok := t.Number[p]; ok {
			t.asks[at].silent = true
		}
	}
	t.wantsAt = make([][]int, len(t.Nodes))
	for n := range t.Nodes {
		for _, in := range t.Nodes[n].Inputs {
			t.wantsAt[n] = append(t.wantsAt[n], t.asks[in].wants...)
		}
	}
}

// readOthers says what each input may hear beside what is asked of it: what it
// hears at rest, with the cords that are left on request.
func (t *task) readOthers() {
	rest := t.Studio.Rest.Clone()
	rest.Cords = append(rest.Cords, t.leftIn...)
	baseline := t.room.Hear(rest)
	cut := map[string]bool{}
	for _, g := range t.session.Cut {
		cut[g] = true
	}
	for n := range t.Nodes {
		for _, in := range t.Nodes[n].Inputs {
			a := &t.asks[in]
			a.anything = cut[t.Points[in].Owner]
			for _, s := range baseline.Hears(t.Points[in]) {
				a.may = append(a.may, t.SourceOf[s])
			}
		}
	}
}

// missing are wants and silences that name points which the studio does not
// have as what they are named for.
func (t *task) missing() []plan.Missing {
	var found []plan.Missing
	for _, w := range t.session.Wants {
		if _, ok := t.SourceOf[w.Source]; !ok {
			found = append(found, plan.Missing{Want: wantText(w), Because: w.Source.String() + " is no output of gear in this studio", Key: w.Key})
		} else if !t.isInput(w.Destination) {
			found = append(found, plan.Missing{Want: wantText(w), Because: w.Destination.String() + " is no input of gear in this studio", Key: w.Key})
		}
	}
	return found
}

func (t *task) isInput(p name.Point) bool {
	at, ok := t.Number[p]
	return ok && slices.Contains(t.Nodes[t.Node[at]].Inputs, at)
}

func wantText(w session.Want) string { return w.Source.String() + " -> " + w.Destination.String() }

// readOverrides finds the sockets at the front that take over an input at the rear,
// which then hears nothing.
func (t *task) readOverrides() {
	t.override = map[int]int{}
	for _, g := range t.Studio.Gear {
		for _, s := range g.Steals {
			rear, ok := t.Number[s.Rear]
			if port, loose := t.PortOf[s.Front]; ok && loose {
				t.override[rear] = port
			}
		}
	}
}

// accepts says whether a source may be heard at an input; soft lets each ask
// be dropped. One that could be taken over from the front may have anything at it
// (see addFronts).
func (t *task) accepts(in, source int, soft bool) bool {
	if _, ok := t.override[in]; ok && len(t.asks[in].wants) == 0 {
		return true
	}
	return t.acceptsItself(in, source, soft)
}

func (t *task) acceptsItself(in, source int, soft bool) bool {
	a := t.asks[in]
	for _, w := range a.wants {
		if t.SourceOf[t.session.Wants[w].Source] == source {
			return true
		}
	}
	if a.named() && !soft {
		return false
	}
	return a.anything || slices.Contains(a.may, source)
}

// takes says whether a source may be heard at a node.
func (t *task) takes(n, source int, soft bool) bool {
	for _, in := range t.Nodes[n].Inputs {
		if !t.accepts(in, source, soft) {
			return false
		}
	}
	return true
}

// forbids says whether anything at a node could be the worse for hearing a
// source where the node is fed by nothing else.
func (t *task) forbids(n, source int) bool {
	for _, in := range t.Nodes[n].Inputs {
		a := t.asks[in]
		if a.named() || t.listens[in] || !a.anything && !slices.Contains(a.may, source) {
			return true
		}
	}
	return false
}

// takesOverWanted says whether a lead in a port takes over an input that the session asks
// to hear something.
func (t *task) takesOverWanted(port int) bool {
	p := t.Points[t.Ports[port]]
	for _, g := range t.Studio.Gear {
		for _, s := range g.Steals {
			if at, ok := t.Number[s.Rear]; ok && s.Front == p && len(t.asks[at].wants) > 0 {
				return true
			}
		}
	}
	return false
}

// wantAll makes every source one to reckon with where outputs are switched
// together: what the other output carries then is nothing that was asked for,
// and must not go astray.
func (t *task) wantAll() {
	if len(t.Ganged) == 0 {
		return
	}
	t.wanted = nil
	for s := range t.Sources {
		t.wanted = append(t.wanted, s)
	}
}
