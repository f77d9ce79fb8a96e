package planner

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// board is a studio as numbers. A node is metal that no patch can part: jacks,
// ports and matrix points joined by wires, ties, mults and parallel pairs.
type board struct {
	room   *heard.Room
	studio *studio.Studio

	points []name.Point
	number map[name.Point]int
	node   []int // of each point
	nodes  []node

	jacks  []jack
	jackOf map[name.Point]int

	normals []normal
	outputs []output // of matrices
	// amplifiers are the outputs that drive.
	amplifiers []int
	outputOf   map[name.Point]int
	crosses    []cross
	// fellows are the crosspoints that are closed together, by each of them.
	fellows map[int][]int

	// sources are gear outputs; driver k is source k, or the amplifier's output
	// outputs[k-len(sources)].
	sources  []int
	sourceOf map[name.Point]int
	micLevel []bool // of each source

	// ports can take a lead: gear ports that are wired to nothing.
	ports  []int
	portOf map[name.Point]int
	// hangs are the boxes and bays that the lead of a port can go to; none where it
	// can go to any.
	hangs map[int][]string
}

type node struct {
	jacks   []int
	sources []int // gear outputs
	inputs  []int // gear inputs, as points
	outputs []int // of matrices
	// ins are the crosspoints that begin here, outs those that end here.
	ins, outs []int
	normals   []int
	ports     []int
	// always are the drivers that drive it whatever the patch.
	always []int
	// mic is true where gear at microphone level or with phantom power is wired.
	mic  bool
	mult bool
}

type jack struct {
	point int
	node  int
	spot  layout.Spot
	kind  studio.Jack
	// bay counts bays, then boxes.
	bay int
	// socket is true for one of a box: it takes leads only.
	socket bool
	faulty bool
	// normals that begin or end in this very jack.
	normals []int
}

// normal joins the nodes of two jacks while neither of the plugs that break it
// is in.
type normal struct {
	a, b             int // jacks
	breaksA, breaksB bool
}

// breaks says whether a plug in the jack breaks the normal.
func (n normal) breaks(j int) bool { return n.a == j && n.breaksA || n.b == j && n.breaksB }

// output is an output of a matrix; relays join, amplifiers drive.
type output struct {
	point   int
	node    int
	relay   bool
	letsGo  bool
	matrix  string
	driver  int // of an amplifier; -1 of a relay
	crosses []int
}

// cross is a crosspoint that exists.
type cross struct {
	output int
	input  int // point
	from   int // node of the input
}

func newBoard(room *heard.Room) *board {
	b := &board{room: room, studio: room.Studio(), fellows: map[int][]int{}, hangs: map[int][]string{}}
	b.makeRoom()
	b.addPoints()
	b.joinFixed()
	b.addJacks()
	b.addNormals()
	b.addGear()
	b.addMatrices()
	b.addFellows()
	b.addAlways()
	return b
}

// makeRoom makes the lists and maps as large as they will be.
func (b *board) makeRoom() {
	ports, jacks, ins, outs, crosses := 0, 0, 0, 0, 0
	for _, g := range b.studio.Gear {
		ports += len(g.Ports)
	}
	for _, bay := range b.studio.Bays {
		jacks += 2 * bay.Pairs()
	}
	for _, box := range b.studio.Boxes {
		jacks += box.Sockets
	}
	for _, m := range b.studio.Matrices {
		ins, outs, crosses = ins+m.Inputs, outs+m.Outputs, crosses+m.Inputs*m.Outputs
	}
	points := ports + jacks + ins + outs
	b.points, b.number = make([]name.Point, 0, points), make(map[name.Point]int, points)
	b.jacks, b.jackOf = make([]jack, 0, jacks), make(map[name.Point]int, jacks)
	b.outputs, b.outputOf = make([]output, 0, outs), make(map[name.Point]int, outs)
	b.crosses = make([]cross, 0, crosses)
	b.sourceOf, b.portOf = make(map[name.Point]int, ports), map[name.Point]int{}
}

func (b *board) addPoint(p name.Point) {
	if _, ok := b.number[p]; !ok {
		b.number[p] = len(b.points)
		b.points = append(b.points, p)
	}
}

func (b *board) addPoints() {
	for _, g := range b.studio.Gear {
		for _, p := range g.Ports {
			b.addPoint(p.Point)
		}
	}
	for _, m := range b.studio.Matrices {
		for n := 1; n <= m.Inputs; n++ {
			b.addPoint(m.In(n))
		}
		for n := 1; n <= m.Outputs; n++ {
			b.addPoint(m.Out(n))
		}
	}
	for _, bay := range b.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			b.addPoint(bay.TopJack(n))
			b.addPoint(bay.BottomJack(n))
		}
	}
	for _, box := range b.studio.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			b.addPoint(box.Socket(n))
		}
	}
}

// joinFixed finds the nodes. Wires to points that the studio does not have are
// left out, as package heard does.
func (b *board) joinFixed() {
	f := newForest(len(b.points))
	join := func(p, q name.Point) {
		i, okI := b.number[p]
		j, okJ := b.number[q]
		if okI && okJ {
			f.join(i, j)
		}
	}
	for _, w := range b.studio.Wires {
		join(w.From, w.To)
	}
	for _, t := range b.studio.Ties {
		join(t.A, t.B)
	}
	for _, m := range b.studio.Mults {
		known := slices.DeleteFunc(slices.Clone(m.Jacks), func(p name.Point) bool { return !b.has(p) })
		for _, p := range known {
			join(known[0], p)
		}
	}
	for _, bay := range b.studio.Bays {
		for i, mode := range bay.Modes {
			if mode == studio.Parallel {
				join(bay.TopJack(i+1), bay.BottomJack(i+1))
			}
		}
	}
	b.node = make([]int, len(b.points))
	nodes := 0
	for i := range b.points {
		if f.root(i) == i { // the least of its node
			b.node[i] = nodes
			nodes++
		} else {
			b.node[i] = b.node[f.root(i)]
		}
	}
	b.nodes = make([]node, nodes)
	for _, m := range b.studio.Mults {
		for _, p := range m.Jacks {
			if b.has(p) {
				b.at(p).mult = true
			}
		}
	}
}

func (b *board) has(p name.Point) bool {
	_, ok := b.number[p]
	return ok
}

func (b *board) at(p name.Point) *node { return &b.nodes[b.node[b.number[p]]] }

func (b *board) addJacks() {
	for i, bay := range b.studio.Bays {
		origin, _ := layout.At(b.studio, bay.TopJack(1))
		pitch := bay.Pitch
		if pitch == 0 {
			pitch = layout.Usual(bay.Jack)
		}
		for n := 1; n <= bay.Pairs(); n++ {
			spot := layout.Spot{X: origin.X + measure.Length(n-1)*pitch, Y: origin.Y}
			b.addJack(bay.TopJack(n), jack{spot: spot, kind: bay.Jack, bay: i})
			spot.Y -= layout.Below
			b.addJack(bay.BottomJack(n), jack{spot: spot, kind: bay.Jack, bay: i})
		}
	}
	for i, box := range b.studio.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			b.addJack(box.Socket(n), jack{bay: len(b.studio.Bays) + i, socket: true})
		}
	}
	for _, p := range b.studio.Faulty {
		if j, ok := b.jackOf[p]; ok {
			b.jacks[j].faulty = true
		}
	}
}

func (b *board) addJack(p name.Point, one jack) {
	j := len(b.jacks)
	b.jackOf[p] = j
	one.point = b.number[p]
	one.node = b.node[one.point]
	b.jacks = append(b.jacks, one)
	n := &b.nodes[one.node]
	n.jacks = append(n.jacks, j)
}

func (b *board) addNormals() {
	for _, bay := range b.studio.Bays {
		for i, mode := range bay.Modes {
			top := bay.TopJack(i + 1)
			switch mode {
			case studio.Parallel, studio.Isolated, studio.ModeUnknown:
				continue
			case studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop:
			}
			if slices.Contains(b.studio.FaultyNormals, top) {
				continue
			}
			b.addNormal(normal{
				a: b.jackOf[top], b: b.jackOf[bay.BottomJack(i+1)],
				breaksA: !mode.Joined(true, false), breaksB: !mode.Joined(false, true),
			})
		}
	}
	for _, n := range b.studio.Normals {
		a, okA := b.jackOf[n.From]
		to, okB := b.jackOf[n.To]
		if okA && okB {
			b.addNormal(normal{a: a, b: to, breaksB: true})
		}
	}
}

func (b *board) addNormal(n normal) {
	at := len(b.normals)
	b.normals = append(b.normals, n)
	for _, j := range []int{n.a, n.b} {
		b.jacks[j].normals = append(b.jacks[j].normals, at)
		end := &b.nodes[b.jacks[j].node]
		if !slices.Contains(end.normals, at) {
			end.normals = append(end.normals, at)
		}
	}
}

func (b *board) addGear() {
	wired := b.wired()
	for _, g := range b.studio.Gear {
		for _, p := range g.Ports {
			at := b.number[p.Point]
			n := &b.nodes[b.node[at]]
			n.mic = n.mic || p.Line.Kind == studio.MicLevel || p.Line.Phantom
			if p.Direction == studio.Output {
				b.sourceOf[p.Point] = len(b.sources)
				n.sources = append(n.sources, len(b.sources))
				b.sources = append(b.sources, at)
				b.micLevel = append(b.micLevel, p.Line.Kind == studio.MicLevel)
			} else {
				n.inputs = append(n.inputs, at)
			}
			if !wired[p.Point] {
				b.portOf[p.Point] = len(b.ports)
				b.hangs[len(b.ports)] = g.At
				n.ports = append(n.ports, len(b.ports))
				b.ports = append(b.ports, at)
			}
		}
	}
}

// wired are the points that a cable at the rear ends in.
func (b *board) wired() map[name.Point]bool {
	wired := make(map[name.Point]bool, 2*(len(b.studio.Wires)+len(b.studio.Ties)))
	for _, w := range b.studio.Wires {
		wired[w.From], wired[w.To] = true, true
	}
	for _, t := range b.studio.Ties {
		wired[t.A], wired[t.B] = true, true
	}
	return wired
}

func (b *board) addMatrices() {
	drivers := len(b.sources)
	for _, m := range b.studio.Matrices {
		absent := map[studio.Absent]bool{}
		for _, a := range m.Missing {
			absent[a] = true
		}
		inputs := make([]int, m.Inputs)
		for i := range inputs {
			inputs[i] = b.number[m.In(i+1)]
		}
		for n := 1; n <= m.Outputs; n++ {
			o := output{point: b.number[m.Out(n)], relay: m.Kind == studio.Contacts, letsGo: m.LetsGo, matrix: m.Name, driver: -1}
			o.node = b.node[o.point]
			if !o.relay {
				o.driver = drivers
				drivers++
			}
			b.addOutput(o, inputs, absent)
		}
	}
}

// crossAt is the crosspoint of an output and an input, and whether it exists.
func (b *board) crossAt(output, input int) (x int, ok bool) {
	crosses := b.outputs[output].crosses
	at, ok := slices.BinarySearchFunc(crosses, input, func(x, input int) int { return b.crosses[x].input - input })
	if !ok {
		return nowhere, false
	}
	return crosses[at], true
}

func (b *board) addOutput(o output, inputs []int, absent map[studio.Absent]bool) {
	at := len(b.outputs)
	out := b.points[o.point]
	b.outputOf[out] = at
	n := &b.nodes[o.node]
	n.outputs = append(n.outputs, at)
	o.crosses = make([]int, 0, len(inputs))
	for _, in := range inputs {
		if len(absent) > 0 && absent[studio.Absent{Output: out, Input: b.points[in]}] {
			continue
		}
		x := len(b.crosses)
		c := cross{output: at, input: in, from: b.node[in]}
		from := &b.nodes[c.from]
		from.ins = append(from.ins, x)
		o.crosses = append(o.crosses, x)
		b.crosses = append(b.crosses, c)
	}
	n.outs = append(n.outs, o.crosses...)
	if !o.relay {
		b.amplifiers = append(b.amplifiers, at)
	}
	b.outputs = append(b.outputs, o)
}

// sourceAt is the gear output that a driver is, and whether it is one.
func (b *board) sourceAt(driver int) (source int, ok bool) {
	return driver, driver < len(b.sources)
}

// amplifier is the output of a matrix that a driver is.
func (b *board) amplifier(driver int) int { return b.amplifiers[driver-len(b.sources)] }

// driverNode is where a driver stands.
func (b *board) driverNode(driver int) int {
	if s, ok := b.sourceAt(driver); ok {
		return b.node[b.sources[s]]
	}
	return b.outputs[b.amplifier(driver)].node
}

// drivers is the number of gear outputs and outputs of amplifiers.
func (b *board) drivers() int { return len(b.sources) + len(b.amplifiers) }

// addAlways finds the drivers that drive each node whatever the patch.
func (b *board) addAlways() {
	for i := range b.nodes {
		n := &b.nodes[i]
		n.always = slices.Clone(n.sources)
		for _, o := range n.outputs {
			if !b.outputs[o].relay && !b.outputs[o].letsGo {
				n.always = append(n.always, b.outputs[o].driver)
			}
		}
	}
}

// always are the drivers that drive a node whatever the patch.
func (b *board) always(n int) []int { return b.nodes[n].always }
