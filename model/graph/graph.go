// Package graph is a studio as numbers: its points, the metal that joins them,
// and what one patch makes of it. Names become numbers here and nowhere else.
//
// A node is metal that no patch can part: jacks, ports and matrix points that
// wires, ties, mults and parallel pairs join. A normal joins the nodes of two
// jacks until a plug breaks it. A crosspoint joins an input and an output of a
// matrix: as metal in a matrix of relays, one way in one of amplifiers. A net is
// the nodes that one patch joins. A driver is an output of gear or of an
// amplifier, and drives its net; an input of gear listens. An override is a
// socket that takes over an input while something is plugged into it.
//
// A Graph never changes; a State is the graph with a patch in it, and changes
// plug by plug. A Patch is a patch by numbers. The package judges nothing.
package graph

import (
	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// None stands for no jack, node, net, port or crosspoint.
const None = -1

// Graph is a studio as numbers. It never changes, and is safe for concurrent use.
type Graph struct {
	Studio *studio.Studio

	// Points are gear ports, matrix points, jacks, then the common metal of each
	// mult, which has no name. Number finds those with a name.
	Points []name.Point
	Number map[name.Point]int
	// Kinds, Node, JackAt and PortAt are of each point; the last two None for what
	// is no jack, and for what takes no lead.
	Kinds  []PointKind
	Node   []int
	JackAt []int
	PortAt []int
	Nodes  []Node
	// Fixed is the metal between two points that no patch can change.
	FixedJoints []Joint

	Jacks   []Jack
	JackOf  map[name.Point]int
	Normals []Normal
	// PairNormal finds the normal of a pair by the point of its top jack.
	PairNormal map[int]int

	Outputs []Output
	// Amplifiers are the outputs that drive, of those of matrices.
	Amplifiers []int
	OutputOf   map[name.Point]int
	Crosses    []Crosspoint
	// Ganged are the crosspoints that are closed together, by each of them. The
	// list of one that lacks another begins with None.
	Ganged map[int][]int

	// Sources are gear outputs, as points; driver k is source k, or the amplifier
	// k - len(Sources).
	Sources  []int
	SourceOf map[name.Point]int

	// Ports can take a lead: gear ports that are wired to nothing.
	Ports  []int
	PortOf map[name.Point]int
	absent map[int]bool // crosspoints that the studio lacks

	// LeadsTo are the boxes and bays that the lead of a port can go to; none where
	// it can go to any.
	LeadsTo map[int][]string

	// Passes are what gear always passes on, from one point to another.
	Passes []Pass
	// Overrides are the sockets that take over each input, as points; Overridden
	// the inputs that a socket takes over.
	Overrides, Overridden map[int][]int
}

// PointKind is what a point is.
type PointKind uint8

// The kinds of points. A Hub is the common metal of a mult.
const (
	GearOutput PointKind = iota + 1
	GearInput
	JackPoint
	MatrixInput
	MatrixOutput
	Hub
)

// What a joint is made of, in the words that a person reads.
const (
	ByWire       = "wire"
	ByNormal     = "normal"
	ByStrap      = "strapped normal"
	ByCord       = "cord"
	ByLead       = "lead"
	ByTie        = "tie"
	ByMult       = "mult"
	ByParallel   = "parallel pair"
	ByCrosspoint = "crosspoint"
)

// Joint is metal between two points.
type Joint struct {
	A, B int
	By   string
}

// Pass leads from an input of gear to an output, as points.
type Pass struct{ In, Out int }

// Node is a set of points that no patch can part.
type Node struct {
	Points []int
	Jacks  []int
	// Sources and Outputs are by number; Inputs are gear inputs, as points.
	Sources []int
	Inputs  []int
	Outputs []int
	// Ins are the crosspoints that begin here, Outs those that end here.
	Ins, Outs []int
	Normals   []int
	Ports     []int
	// Always are the drivers that drive it whatever the patch.
	Always []int
	// Mic is true where gear at microphone level or with phantom power is wired.
	Mic  bool
	Mult bool
}

// Jack is a jack of a bay, or a socket of a box.
type Jack struct {
	Point int
	Node  int
	Spot  layout.Spot
	Kind  studio.Jack
	// Bay counts bays, then boxes.
	Bay int
	// Socket is true for one of a box: it takes leads only.
	Socket bool
	Faulty bool
	// Normals begin or end in this very jack.
	Normals []int
}

// Normal joins the nodes of two jacks while neither of the plugs that break it
// is in. A tagged one is not there.
type Normal struct {
	A, B             int // jacks
	BreaksA, BreaksB bool
	// By is ByNormal or ByStrap.
	By string
}

// Breaks says whether a plug in the jack breaks the normal.
func (n Normal) Breaks(j int) bool { return n.A == j && n.BreaksA || n.B == j && n.BreaksB }

// Other is the jack at the other end.
func (n Normal) Other(j int) int { return n.A + n.B - j }

// Output is an output of a matrix; relays join, amplifiers drive.
type Output struct {
	Point int
	Node  int
	Relay bool
	// HighImpedance says that it drives nothing while it has no crosspoint.
	HighImpedance bool
	Matrix        string
	// Driver is None for a relay.
	Driver int
	// Crosses are the crosspoints that exist, in the order of the inputs.
	Crosses []int
	first   int // the crosspoint of the first input
	inputs  int
}

// Crosspoint is one of a matrix; absent ones have a number, and no plan uses them.
type Crosspoint struct {
	Output int
	Input  int // point
	From   int // node of the input
}

// Has says whether the studio has the point.
func (g *Graph) Has(p name.Point) bool {
	_, ok := g.Number[p]
	return ok
}

// Owner is the bay or box that a jack is of.
func (g *Graph) Owner(j int) string { return g.Points[g.Jacks[j].Point].Owner }

// CrossAt is the crosspoint of an output and an input of its matrix; ok is false
// where it does not exist.
func (g *Graph) CrossAt(output, input int) (x int, ok bool) {
	x, ok = g.anyCross(output, input)
	return x, ok && !g.absent[x]
}

// anyCross is CrossAt for those that do not exist, too.
func (g *Graph) anyCross(output, input int) (x int, ok bool) {
	o := &g.Outputs[output]
	if o.inputs == 0 {
		return None, false
	}
	at := input - g.Crosses[o.first].Input
	if at < 0 || at >= o.inputs {
		return None, false
	}
	return o.first + at, true
}

// SourceAt is the gear output that a driver is, and whether it is one.
func (g *Graph) SourceAt(driver int) (source int, ok bool) { return driver, driver < len(g.Sources) }

// Amplifier is the output of a matrix that a driver is.
func (g *Graph) Amplifier(driver int) int { return g.Amplifiers[driver-len(g.Sources)] }

// DriverNode is where a driver stands.
func (g *Graph) DriverNode(driver int) int {
	if s, ok := g.SourceAt(driver); ok {
		return g.Node[g.Sources[s]]
	}
	return g.Outputs[g.Amplifier(driver)].Node
}

// CountDrivers is the number of gear outputs and outputs of amplifiers.
func (g *Graph) CountDrivers() int { return len(g.Sources) + len(g.Amplifiers) }

// Always are the drivers that drive a node whatever the patch.
func (g *Graph) Always(n int) []int { return g.Nodes[n].Always }

// OtherEnd is the jack at the other end of a normal.
func (g *Graph) OtherEnd(m, j int) int { return g.Normals[m].Other(j) }

// Across is the node at the other end of a normal.
func (g *Graph) Across(m, n int) int {
	return g.Jacks[g.Normals[m].A].Node + g.Jacks[g.Normals[m].B].Node - n
}

// DriverPoint is the output that a driver is.
func (g *Graph) DriverPoint(driver int) int {
	if s, ok := g.SourceAt(driver); ok {
		return g.Sources[s]
	}
	return g.Outputs[g.Amplifier(driver)].Point
}
