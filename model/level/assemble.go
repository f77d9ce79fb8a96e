package level

import (
	"bayhand/model/disjoint"
	"bayhand/model/studio"
)

// least is the smallest impedance of an output, in ohm: one without any would
// be no network.
const least = 1e-4

// floating is what a floating output has to ground, in ohm.
const floating = 1e9

// legs is a net as a circuit: the nodes of both legs of each place.
type legs struct {
	circuit   circuit
	hot, cold []int
}

// assemble makes the circuit of a net, with one volt behind the output that is
// heard and none behind the others. The stage is that of outputs that do not
// say theirs.
func (n *net) assemble(heard int, unsaid studio.Stage) *legs {
	l := n.nodes()
	for _, c := range n.cables {
		l.addCable(c)
	}
	for _, in := range n.inputs {
		l.addInput(in)
	}
	for i, out := range n.outputs {
		volt := 0.0
		if i == heard {
			volt = 1
		}
		l.addOutput(out, stageOf(out.line, unsaid), volt)
	}
	return l
}

// stageOf is the stage of an output; of a balanced one that does not say, the
// given one.
func stageOf(l studio.Line, unsaid studio.Stage) studio.Stage {
	if l.Stage == studio.StageUnsaid {
		return unsaid
	}
	return l.Stage
}

// nodes numbers the legs of all places. Legs that are joined without resistance
// are one node, and those that are grounded are node 0. Behind the places stands
// the open end of the cold core of each cable that does not carry the leg.
func (n *net) nodes() *legs {
	const ground = 0
	hot := func(place int) int { return 1 + 2*place }
	cold := func(place int) int { return 2 + 2*place }
	all := disjoint.New(1 + 2*n.places)
	for _, c := range n.cables {
		bare := c.ohm() == 0
		if bare {
			all.Join(hot(c.a), hot(c.b))
		}
		if c.cold == studio.ColdGrounded {
			all.Join(cold(c.a), ground)
		}
		if bare && c.carries() {
			all.Join(cold(c.a), cold(c.b))
		}
	}
	for _, place := range n.grounded() {
		all.Join(cold(place), ground)
	}
	number := map[int]int{all.Root(ground): ground}
	of := func(node int) int {
		root := all.Root(node)
		if _, ok := number[root]; !ok {
			number[root] = len(number)
		}
		return number[root]
	}
	l := &legs{hot: make([]int, n.places), cold: make([]int, n.places)}
	for p := range n.places {
		l.hot[p], l.cold[p] = of(hot(p)), of(cold(p))
	}
	l.circuit.nodes = len(number)
	return l
}

// grounded are the places whose cold leg is joined with ground there, by a port
// that is not balanced or by a two-pole plug.
func (n *net) grounded() []int {
	var places []int
	for _, all := range [][]terminal{n.outputs, n.inputs} {
		for _, t := range all {
			if t.known && !t.line.Balanced {
				places = append(places, t.place)
			}
		}
	}
	for _, p := range n.plugs {
		places = append(places, p.place)
	}
	return places
}

// addCable puts half of the capacitance at each end, and the resistance of each
// core between the ends.
func (l *legs) addCable(c cable) {
	half := metres(c.length) / 2
	cores, shield := c.kind.Cores.FaradPerMetre()*half, c.kind.Shield.FaradPerMetre()*half
	near, far := l.cold[c.a], l.cold[c.b]
	ohm := c.ohm()
	if ohm > 0 {
		l.circuit.resist(l.hot[c.a], l.hot[c.b], ohm)
	}
	if !c.carries() { // the core hangs at the far end alone
		near = far
	} else if ohm > 0 {
		l.circuit.resist(near, far, ohm)
	}
	for _, end := range [][2]int{{l.hot[c.a], near}, {l.hot[c.b], far}} {
		l.circuit.hold(end[0], end[1], cores)
		l.circuit.hold(end[0], 0, shield)
		l.circuit.hold(end[1], 0, shield)
	}
}

func (l *legs) addInput(in terminal) {
	load := float64(in.line.Load)
	if !in.known || load <= 0 {
		return
	}
	hot, cold := l.hot[in.place], l.cold[in.place]
	switch {
	case !in.line.Balanced:
		l.circuit.resist(hot, 0, load)
	case in.line.Stage == studio.ActiveStage:
		l.circuit.resist(hot, 0, load/2)
		l.circuit.resist(cold, 0, load/2)
	default: // a transformer, or of a kind that nobody said
		l.circuit.resist(hot, cold, load)
	}
}

// addOutput puts an output there as a current beside its impedance.
func (l *legs) addOutput(out terminal, stage studio.Stage, volt float64) {
	source := max(float64(out.line.Source), least)
	if !out.known {
		source, stage = least, studio.TransformerStage
	}
	hot, cold := l.hot[out.place], l.cold[out.place]
	if out.known && !out.line.Balanced {
		l.circuit.resist(hot, 0, source)
		l.circuit.push(0, hot, volt/source)
		return
	}
	switch stage {
	case studio.ActiveStage:
		l.circuit.resist(hot, 0, source/2)
		l.circuit.resist(cold, 0, source/2)
		l.circuit.push(0, hot, volt/source)
		l.circuit.push(cold, 0, volt/source)
	case studio.ImpedanceStage:
		l.circuit.resist(hot, 0, source/2)
		l.circuit.resist(cold, 0, source/2)
		l.circuit.push(0, hot, 2*volt/source)
	case studio.TransformerStage, studio.CrossCoupledStage, studio.StageUnsaid:
		l.circuit.resist(hot, cold, source)
		l.circuit.push(cold, hot, volt/source)
		l.circuit.resist(cold, 0, floating)
	}
}

// across is what an input sees of the voltages of all nodes: both legs of a
// balanced one, the hot one of any other.
func (l *legs) across(in terminal, v []complex128) complex128 {
	if in.known && !in.line.Balanced {
		return v[l.hot[in.place]]
	}
	return v[l.hot[in.place]] - v[l.cold[in.place]]
}
