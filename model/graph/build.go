package graph

import (
	"slices"

	"bayhand/model/disjoint"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// New makes the graph of a studio, in time linear in its size. Wires, ties,
// normals and mults to points that the studio does not have are left out: the
// reader has refused them.
func New(s *studio.Studio) *Graph {
	g := &Graph{Studio: s, Ganged: map[int][]int{}, LeadsTo: map[int][]string{}, PairNormal: map[int]int{}, absent: map[int]bool{}}
	reserve(g)
	addPoints(g)
	addFixed(g)
	findNodes(g)
	addJacks(g)
	addNormals(g)
	g.addGear()
	g.addMatrices()
	g.addGanged()
	g.addAlways()
	g.Passes = g.Numbers(GearPasses(s))
	g.addOverrides()
	return g
}

// reserve makes the lists and maps as large as they will be.
func reserve(g *Graph) {
	ports, jacks, ins, outs, crosses := 0, 0, 0, 0, 0
	for _, one := range g.Studio.Gear {
		ports += len(one.Ports)
	}
	for _, bay := range g.Studio.Bays {
		jacks += 2 * bay.Pairs()
	}
	for _, box := range g.Studio.Boxes {
		jacks += box.Sockets
	}
	for _, m := range g.Studio.Matrices {
		ins, outs, crosses = ins+m.Inputs, outs+m.Outputs, crosses+m.Inputs*m.Outputs
	}
	points := ports + jacks + ins + outs + len(g.Studio.Mults)
	g.Points, g.Number = make([]name.Point, 0, points), make(map[name.Point]int, points)
	g.Kinds = make([]PointKind, 0, points)
	g.Jacks, g.JackOf = make([]Jack, 0, jacks), make(map[name.Point]int, jacks)
	g.Outputs, g.OutputOf = make([]Output, 0, outs), make(map[name.Point]int, outs)
	g.Crosses = make([]Crosspoint, 0, crosses)
	g.SourceOf, g.PortOf = make(map[name.Point]int, ports), map[name.Point]int{}
}

func addPoint(g *Graph, p name.Point, k PointKind) int {
	if n, ok := g.Number[p]; ok && k != Hub {
		return n
	}
	n := len(g.Points)
	g.Points, g.Kinds = append(g.Points, p), append(g.Kinds, k)
	if k != Hub {
		g.Number[p] = n
	}
	return n
}

func addPoints(g *Graph) {
	for _, one := range g.Studio.Gear {
		for _, p := range one.Ports {
			if p.Direction == studio.Output {
				addPoint(g, p.Point, GearOutput)
				continue
			}
			addPoint(g, p.Point, GearInput)
		}
	}
	for _, m := range g.Studio.Matrices {
		for n := 1; n <= m.Inputs; n++ {
			addPoint(g, m.In(n), MatrixInput)
		}
		for n := 1; n <= m.Outputs; n++ {
			addPoint(g, m.Out(n), MatrixOutput)
		}
	}
	for _, bay := range g.Studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			addPoint(g, bay.TopJack(n), JackPoint)
			addPoint(g, bay.BottomJack(n), JackPoint)
		}
	}
	for _, box := range g.Studio.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			addPoint(g, box.Socket(n), JackPoint)
		}
	}
}

// addFixed finds the metal that no patch can change.
func addFixed(g *Graph) {
	for _, bay := range g.Studio.Bays {
		for i, mode := range bay.Modes {
			if mode == studio.Parallel {
				fix(g, bay.TopJack(i+1), bay.BottomJack(i+1), ByParallel)
			}
		}
	}
	for _, w := range g.Studio.Wires {
		fix(g, w.From, w.To, ByWire)
	}
	for _, t := range g.Studio.Ties {
		fix(g, t.A, t.B, ByTie)
	}
	for _, m := range g.Studio.Mults {
		hub := addPoint(g, name.Point{}, Hub)
		for _, p := range m.Jacks {
			if n, ok := g.Number[p]; ok {
				g.FixedJoints = append(g.FixedJoints, Joint{n, hub, ByMult})
			}
		}
	}
}

func fix(g *Graph, p, q name.Point, by string) {
	a, okA := g.Number[p]
	b, okB := g.Number[q]
	if okA && okB {
		g.FixedJoints = append(g.FixedJoints, Joint{a, b, by})
	}
}

// findNodes numbers them in the order of their first points.
func findNodes(g *Graph) {
	f := disjoint.New(len(g.Points))
	for _, j := range g.FixedJoints {
		f.Join(j.A, j.B)
	}
	g.Node = make([]int, len(g.Points))
	for i := range g.Points {
		if f.Root(i) == i { // the least of its node
			g.Node[i] = len(g.Nodes)
			g.Nodes = append(g.Nodes, Node{})
		} else {
			g.Node[i] = g.Node[f.Root(i)]
		}
		n := &g.Nodes[g.Node[i]]
		n.Points = append(n.Points, i)
		n.Mult = n.Mult || g.Kinds[i] == Hub
	}
}

func addJacks(g *Graph) {
	g.JackAt = slices.Repeat([]int{None}, len(g.Points))
	for i, bay := range g.Studio.Bays {
		origin, _ := layout.At(g.Studio, bay.TopJack(1))
		pitch := bay.Pitch
		if pitch == 0 {
			pitch = layout.Usual(bay.Jack)
		}
		for n := 1; n <= bay.Pairs(); n++ {
			spot := layout.Spot{X: origin.X + measure.Length(n-1)*pitch, Y: origin.Y}
			addJack(g, bay.TopJack(n), Jack{Spot: spot, Kind: bay.Jack, Bay: i})
			spot.Y -= layout.Below
			addJack(g, bay.BottomJack(n), Jack{Spot: spot, Kind: bay.Jack, Bay: i})
		}
	}
	for i, box := range g.Studio.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			addJack(g, box.Socket(n), Jack{Bay: len(g.Studio.Bays) + i, Socket: true})
		}
	}
	addLooseInputs(g)
	for _, p := range g.Studio.Faulty {
		if j, ok := g.JackOf[p]; ok {
			g.Jacks[j].Faulty = true
		}
	}
}

// addLooseInputs makes sockets of the inputs of gear that stands loose: leads of other
// gear go in. A lead may as well lead from them to a jack; one of the two.
func addLooseInputs(g *Graph) {
	wired := g.wired()
	for i, one := range g.Studio.Gear {
		for _, p := range one.Ports {
			if one.Loose && p.Direction == studio.Input && !wired[p.Point] {
				addJack(g, p.Point, Jack{Bay: len(g.Studio.Bays) + len(g.Studio.Boxes) + i, Socket: true})
			}
		}
	}
}

func addJack(g *Graph, p name.Point, one Jack) {
	j := len(g.Jacks)
	g.JackOf[p] = j
	one.Point = g.Number[p]
	one.Node = g.Node[one.Point]
	g.JackAt[one.Point] = j
	g.Jacks = append(g.Jacks, one)
	n := &g.Nodes[one.Node]
	n.Jacks = append(n.Jacks, j)
}

func addNormals(g *Graph) {
	for _, bay := range g.Studio.Bays {
		for i, mode := range bay.Modes {
			top := bay.TopJack(i + 1)
			switch mode {
			case studio.Parallel, studio.Isolated, studio.ModeUnknown:
				continue
			case studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop:
			}
			if slices.Contains(g.Studio.FaultyNormals, top) {
				continue
			}
			g.PairNormal[g.Number[top]] = len(g.Normals)
			addNormal(g, Normal{
				A: g.JackOf[top], B: g.JackOf[bay.BottomJack(i+1)], By: ByNormal,
				BreaksA: !mode.Joined(true, false), BreaksB: !mode.Joined(false, true),
			})
		}
	}
	for _, n := range g.Studio.Normals {
		a, okA := g.JackOf[n.From]
		b, okB := g.JackOf[n.To]
		if okA && okB {
			addNormal(g, Normal{A: a, B: b, BreaksB: true, By: ByStrap})
		}
	}
}

func addNormal(g *Graph, n Normal) {
	at := len(g.Normals)
	g.Normals = append(g.Normals, n)
	for _, j := range []int{n.A, n.B} {
		g.Jacks[j].Normals = append(g.Jacks[j].Normals, at)
		end := &g.Nodes[g.Jacks[j].Node]
		if !slices.Contains(end.Normals, at) {
			end.Normals = append(end.Normals, at)
		}
	}
}
