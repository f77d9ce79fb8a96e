package planner

import "slices"

// trial is a draft that changes part by part. After each change only the nets
// that it touches, and those that they lead to, are looked at again, so that a
// change costs no more in a large room than in a small one. It counts what is
// wrong with the draft as package heard would; heard has the last word.
type trial struct {
	*task
	plugs []plugged // by jack
	// leads are the jacks where the leads of ports are; -1 for none.
	leads []int
	// behind are the closed crosspoints of each output; ahead those of amplifiers
	// that begin at each node; relays those of relays at each node.
	behind, ahead, relays [][]int
	net                   []int // of each node
	nets                  []tried
	unused                []int // numbers of nets, to be taken again
	// flows are the ways through gear that no crosspoint makes, by the node where
	// they begin.
	flows [][]flow
	// fronts are the ports that take over an input; of one that is wired for good
	// nowhere.
	fronts map[int][]int
	// meant are the points of loops that may be.
	meant map[int]bool
	// faults weighs what is wrong on all nets, loops whether a signal comes back to
	// where it was.
	faults int
	loops  bool
	marks  []bool // by net; all false between uses
}

// plugged is what a jack holds: of a cord the jack at its other end, of a lead
// its port.
type plugged struct {
	kind  partKind
	other int
}

// tried is the nodes that a draft makes one net.
type tried struct {
	nodes   []int
	drivers int
	heard   []int // sources, in order
	faults  int
}

// flow leads through gear to a node; in is the input of the gear.
type flow struct{ to, in int }

// How much it weighs what is wrong. A want that is not heard weighs more than
// what can be kept away with a dummy afterwards.
const (
	missingWeight = 8
	joinedWeight  = 4
	loopWeight    = 4
	strayWeight   = 1
)

func (t *task) try(d draft) *trial {
	r := &trial{
		task: t, plugs: make([]plugged, len(t.jacks)), leads: make([]int, len(t.ports)),
		behind: make([][]int, len(t.outputs)), ahead: make([][]int, len(t.nodes)), relays: make([][]int, len(t.nodes)),
		net: make([]int, len(t.nodes)), nets: make([]tried, 0, len(t.nodes)),
	}
	for p := range r.leads {
		r.leads[p] = nowhere
	}
	r.addFronts()
	r.addFlows()
	for _, p := range d.parts() {
		r.turn(p, true)
	}
	all := make([]int, len(t.nodes))
	for n := range all {
		all[n], r.net[n] = n, nowhere
	}
	made := r.gather(all)
	r.listen(made)
	r.loops = r.findLoops(made)
	return r
}

func (r *trial) addFronts() {
	r.fronts = map[int][]int{}
	for _, g := range r.studio.Gear {
		for _, s := range g.Steals {
			front, okFront := r.number[s.Front]
			rear, okRear := r.number[s.Rear]
			if !okFront || !okRear {
				continue
			}
			port, ok := r.portOf[r.points[front]]
			if !ok {
				port = nowhere
			}
			r.fronts[rear] = append(r.fronts[rear], port)
		}
	}
}

// addFlows finds the ways through gear, and through what the software carries,
// that may not come back to where they begin.
func (r *trial) addFlows() {
	r.flows = make([][]flow, len(r.nodes))
	r.meant = map[int]bool{}
	for _, p := range r.session.Loops {
		if at, ok := r.number[p]; ok {
			r.meant[at] = true
		}
	}
	for _, p := range append(gearPasses(r.studio), r.session.Inside...) {
		in, okIn := r.number[p.In]
		out, okOut := r.number[p.Out]
		if okIn && okOut && !r.meant[in] && !r.meant[out] {
			at := r.node[in]
			r.flows[at] = append(r.flows[at], flow{r.node[out], in})
		}
	}
}

// wrong weighs what is wrong with the draft; 0 where it gives the session.
func (r *trial) wrong() int {
	if r.loops {
		return r.faults + loopWeight
	}
	return r.faults
}

// change takes parts out and puts others in, as one change. What is taken out
// must be in, and what is put in must have a free place by then.
func (r *trial) change(out, in []part) {
	var touched []int
	for _, p := range out {
		touched = append(touched, r.turn(p, false)...)
	}
	for _, p := range in {
		touched = append(touched, r.turn(p, true)...)
	}
	var nodes, gone []int
	for _, n := range touched {
		if old := r.net[n]; old != nowhere {
			gone = append(gone, old)
			nodes = append(nodes, r.dissolve(old)...)
		}
	}
	made := r.gather(nodes)
	r.unused = append(r.unused, gone...)
	r.listen(made)
	if r.loops {
		made = r.inUse()
	}
	r.loops = r.findLoops(made)
}

// inUse are the numbers of all nets.
func (r *trial) inUse() []int {
	var all []int
	for at := range r.nets {
		if len(r.nets[at].nodes) > 0 {
			all = append(all, at)
		}
	}
	return all
}

// turn puts one part in or takes it out, and returns the nodes that it touches.
func (r *trial) turn(p part, in bool) []int {
	switch p.kind {
	case cordPart:
		if p.b == nowhere {
			return r.setPlug(p.a, cordPart, nowhere, in)
		}
		return append(r.setPlug(p.a, cordPart, p.b, in), r.setPlug(p.b, cordPart, p.a, in)...)
	case dummyPart:
		return r.setPlug(p.a, dummyPart, nowhere, in)
	case leadPart:
		touched := append(r.setPlug(p.b, leadPart, p.a, in), r.node[r.ports[p.a]])
		r.leads[p.a] = nowhere
		if in {
			r.leads[p.a] = p.b
		}
		for _, rear := range sortedKeys(r.fronts) {
			if slices.Contains(r.fronts[rear], p.a) {
				touched = append(touched, r.node[rear])
			}
		}
		return touched
	case crossPart:
		return r.setCross(p.a, in)
	}
	return nil
}

func (r *trial) setPlug(j int, kind partKind, other int, in bool) []int {
	r.plugs[j] = plugged{}
	if in {
		r.plugs[j] = plugged{kind, other}
	}
	touched := []int{r.jacks[j].node}
	for _, m := range r.jacks[j].normals {
		touched = append(touched, r.jacks[r.otherEnd(m, j)].node)
	}
	return touched
}

func (r *trial) setCross(x int, in bool) []int {
	set := func(list []int) []int {
		if in {
			return append(list, x)
		}
		return dropped(list, x)
	}
	c := r.crosses[x]
	o := r.outputs[c.output]
	r.behind[c.output] = set(r.behind[c.output])
	if !o.relay {
		r.ahead[c.from] = set(r.ahead[c.from])
		return []int{o.node}
	}
	r.relays[c.from] = set(r.relays[c.from])
	if o.node != c.from {
		r.relays[o.node] = set(r.relays[o.node])
	}
	return []int{c.from, o.node}
}

// holds says whether a normal holds.
func (r *trial) holds(m int) bool {
	n := r.normals[m]
	return !(n.breaksA && r.plugs[n.a].kind != 0) && !(n.breaksB && r.plugs[n.b].kind != 0)
}

// next calls f with each node that metal joins to one, and by what.
func (r *trial) next(n int, f func(by thing, to int)) {
	for _, m := range r.nodes[n].normals {
		if r.holds(m) {
			f(thing{aNormal, m, 0}, r.across(m, n))
		}
	}
	for _, j := range r.nodes[n].jacks {
		switch p := r.plugs[j]; {
		case p.kind == cordPart && p.other != nowhere:
			f(thing{aCord, min(j, p.other), max(j, p.other)}, r.jacks[p.other].node)
		case p.kind == leadPart:
			f(thing{aLead, p.other, j}, r.node[r.ports[p.other]])
		}
	}
	for _, p := range r.nodes[n].ports {
		if j := r.leads[p]; j != nowhere {
			f(thing{aLead, p, j}, r.jacks[j].node)
		}
	}
	for _, x := range r.relays[n] {
		f(thing{aCross, x, 0}, r.crosses[x].from+r.outputs[r.crosses[x].output].node-n)
	}
}

// across is the node at the other end of a normal.
func (t *task) across(m, n int) int {
	return t.jacks[t.normals[m].a].node + t.jacks[t.normals[m].b].node - n
}

func (r *trial) dissolve(old int) []int {
	gone := r.nets[old]
	for _, n := range gone.nodes {
		r.net[n] = nowhere
	}
	r.faults -= gone.faults
	r.nets[old] = tried{}
	return gone.nodes
}

// gather makes new nets of nodes that are in none, and returns their numbers.
func (r *trial) gather(nodes []int) []int {
	var made []int
	for _, start := range nodes {
		if r.net[start] != nowhere {
			continue
		}
		at := r.newNet()
		made = append(made, at)
		r.net[start] = at
		reached := []int{start}
		for i := 0; i < len(reached); i++ {
			r.next(reached[i], func(_ thing, to int) {
				if r.net[to] == nowhere {
					r.net[to] = at
					reached = append(reached, to)
				}
			})
		}
		r.nets[at].nodes = reached
		r.nets[at].drivers = r.countDrivers(reached)
	}
	return made
}

func (r *trial) newNet() int {
	if last := len(r.unused) - 1; last >= 0 {
		at := r.unused[last]
		r.unused = r.unused[:last]
		return at
	}
	r.nets = append(r.nets, tried{})
	return len(r.nets) - 1
}

func (r *trial) countDrivers(nodes []int) int {
	count := 0
	for _, n := range nodes {
		count += len(r.nodes[n].sources)
		for _, o := range r.nodes[n].outputs {
			if r.drives(o) {
				count++
			}
		}
	}
	return count
}

// drives says whether an output of a matrix drives its node.
func (r *trial) drives(o int) bool {
	return !r.outputs[o].relay && (!r.outputs[o].letsGo || len(r.behind[o]) > 0)
}

// draft is what the trial holds now.
func (r *trial) draft() draft {
	var d draft
	for j, p := range r.plugs {
		switch {
		case p.kind == cordPart && (p.other == nowhere || p.other > j):
			d.cords = append(d.cords, [2]int{j, p.other})
		case p.kind == leadPart:
			d.leads = append(d.leads, [2]int{p.other, j})
		case p.kind == dummyPart:
			d.dummies = append(d.dummies, j)
		}
	}
	for _, list := range r.behind {
		d.crosses = append(d.crosses, list...)
	}
	d.sort()
	return d
}

// parts are what a draft holds.
func (d draft) parts() []part {
	var all []part
	for _, x := range d.crosses {
		all = append(all, part{crossPart, x, 0})
	}
	for _, c := range d.cords {
		all = append(all, part{cordPart, c[0], c[1]})
	}
	for _, l := range d.leads {
		all = append(all, part{leadPart, l[0], l[1]})
	}
	for _, j := range d.dummies {
		all = append(all, part{dummyPart, j, 0})
	}
	return all
}
