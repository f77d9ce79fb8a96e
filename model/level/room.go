package level

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Options say how what is not known is taken.
type Options struct {
	// Assume is the length of every cable of which nothing is known; 0 leaves it
	// unknown.
	Assume measure.Length
	// Quick leaves the corners out, which take most of the time.
	Quick bool
}

// Room is a studio with one patch in it, ready to be asked for levels. It is
// for one user at a time.
type Room struct {
	studio  *studio.Studio
	state   *heard.State
	options Options
	lengths *layout.Lengths
	kinds   map[string]studio.Cable
	ports   map[name.Point]studio.Port
	// matrices by name, and the inputs that each output listens to.
	matrices map[string]studio.Matrix
	inputs   map[name.Point][]name.Point
	// rears are the inputs that a socket can take over.
	rears map[name.Point]bool
	// joints are those of each point, in the order of the studio.
	joints map[name.Point][]joint
	// plugs are the two-pole plugs of cords, by jack.
	plugs map[name.Point]bool
	// nets that were asked for, by each of their points.
	nets map[name.Point]*net
	// responses of the outputs of nets, by stage.
	responses map[responseKey]*response
}

type responseKey struct {
	net    *net
	output int
	stage  studio.Stage
}

// New prepares a room with a patch for questions. It takes time linear in the
// size of the room; each net is solved when it is asked for.
func New(room *heard.Room, p patch.Patch, o Options) *Room {
	s := room.Studio()
	r := &Room{
		studio: s, state: room.Hear(p), options: o, lengths: layout.NewLengths(s), kinds: layout.Cables(s),
		ports: s.PortsByPoint(), matrices: map[string]studio.Matrix{}, inputs: map[name.Point][]name.Point{},
		rears: map[name.Point]bool{}, joints: map[name.Point][]joint{}, plugs: map[name.Point]bool{},
		nets: map[name.Point]*net{}, responses: map[responseKey]*response{},
	}
	for _, g := range s.Gear {
		for _, steal := range g.Overrides {
			r.rears[steal.Rear] = true
		}
	}
	for _, m := range s.Matrices {
		r.matrices[m.Name] = m
	}
	r.joinFixed()
	r.joinPatch(p)
	return r
}

// joint is metal between two points: bare, or a cable.
type joint struct {
	a, b name.Point
	// wire is nil where the joint has no length to speak of.
	wire *wire
}

// wire is the cable of a joint; its length is 0 where nothing is known.
type wire struct {
	kind      studio.Cable
	length    measure.Length
	estimated bool
	cold      studio.Cold
	// plugs says at which ends two-pole plugs are.
	plugs [2]bool
}

func (r *Room) join(a, b name.Point, w *wire) {
	j := joint{a, b, w}
	r.joints[a] = append(r.joints[a], j)
	if a != b {
		r.joints[b] = append(r.joints[b], j)
	}
}

func (r *Room) joinFixed() {
	for _, w := range r.studio.Wires {
		r.join(w.From, w.To, r.wireOf(w.Run, w.From, w.To))
	}
	for _, t := range r.studio.Ties {
		r.join(t.A, t.B, r.wireOf(t.Run, t.A, t.B))
	}
	for _, m := range r.studio.Mults {
		for _, jack := range m.Jacks[1:] {
			r.join(m.Jacks[0], jack, nil)
		}
	}
	for _, bay := range r.studio.Bays {
		for i, mode := range bay.Modes {
			if mode == studio.Parallel || r.state.NormalHolds(bay.Name, i+1) {
				r.join(bay.TopJack(i+1), bay.BottomJack(i+1), nil)
			}
		}
	}
}

func (r *Room) wireOf(run studio.Run, a, b name.Point) *wire {
	length, estimated, ok := r.lengths.Length(run, a, b)
	if !ok {
		length = r.options.Assume
	}
	return &wire{
		kind: r.lengths.Kind(run), length: length, estimated: estimated || !ok, cold: run.Cold,
		plugs: [2]bool{TwoPoles(run.Plugs[0]), TwoPoles(run.Plugs[1])},
	}
}

// joinPatch adds cords, leads, closed contacts and the strapped normals that no
// plug breaks.
func (r *Room) joinPatch(p patch.Patch) {
	for _, c := range p.Cords {
		r.joinCord(c)
	}
	for _, l := range p.Leads {
		r.join(l.Port, l.Jack, &wire{kind: r.cordKind(), length: r.options.Assume, estimated: true})
	}
	for _, c := range p.Crosspoints {
		if r.matrices[c.Output.Owner].Kind == studio.Contacts {
			r.join(c.Output, c.Input, nil)
			continue
		}
		r.inputs[c.Output] = append(r.inputs[c.Output], c.Input)
	}
	plugged := p.Plugs()
	for _, n := range r.studio.Normals {
		if !slices.Contains(plugged, n.To) {
			r.join(n.From, n.To, nil)
		}
	}
}

func (r *Room) joinCord(c patch.Cord) {
	for _, end := range c.Ends() {
		r.plugs[end] = r.plugs[end] || c.Poles == 2
	}
	length, estimated := c.Length, false
	if length == 0 && !c.B.IsZero() {
		length, _ = layout.Shortest(r.studio, c.A, c.B)
		estimated = true
	}
	if length == 0 {
		length = r.options.Assume
	}
	w := &wire{kind: r.cordKind(), length: length, estimated: estimated}
	if c.B.IsZero() {
		r.joints[c.A] = append(r.joints[c.A], joint{a: c.A, wire: w}) // it hangs loose
		return
	}
	r.join(c.A, c.B, w)
}

func (r *Room) cordKind() studio.Cable {
	if kind, ok := r.kinds[r.studio.Stock.Cable]; ok {
		return kind
	}
	return r.kinds[layout.UsualCord]
}
