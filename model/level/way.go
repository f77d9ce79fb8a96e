package level

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// hop is the way through one net, from one of its outputs to one of its inputs.
type hop struct {
	net           *net
	output, input int
}

func (h hop) from() terminal { return h.net.outputs[h.output] }
func (h hop) to() terminal   { return h.net.inputs[h.input] }

// way is the hops from a source to a destination: one, and one more for each
// matrix of amplifiers between; nil where there is none. Matrices that were
// passed already are seen.
func (r *Room) way(source, destination name.Point, seen map[name.Point]bool) []hop {
	n := r.netOf(destination)
	in := n.input(destination)
	if in < 0 || seen[destination] {
		return nil
	}
	if out := n.output(source); out >= 0 {
		return []hop{{n, out, in}}
	}
	seen[destination] = true
	for i, out := range n.outputs {
		for _, input := range r.inputs[out.point] {
			if before := r.way(source, input, seen); before != nil {
				return append(before, hop{n, i, in})
			}
		}
	}
	return nil
}

// stages are those that the output of a hop may have: its own, or all where it
// does not say and it matters. Cross-coupled is the same network as a transformer.
func stages(h hop) []studio.Stage {
	t := h.from()
	if !t.known || !t.line.Balanced || t.line.Stage != studio.StageUnsaid || h.net.symmetric() {
		return []studio.Stage{studio.StageUnsaid}
	}
	return []studio.Stage{studio.ActiveStage, studio.TransformerStage, studio.ImpedanceStage}
}

// symmetric says whether both legs of a net are alike from end to end, so that
// what stands between them is the same for outputs of all kinds.
func (n *net) symmetric() bool {
	if len(n.grounded()) > 0 {
		return false
	}
	return !slices.ContainsFunc(n.cables, func(c cable) bool { return !c.carries() || c.cold == studio.ColdGrounded })
}

func (r *Room) response(n *net, output int, unsaid studio.Stage) *response {
	key := responseKey{n, output, unsaid}
	known := r.responses[key]
	if known == nil {
		known = newResponse(n, output, unsaid)
		r.responses[key] = known
	}
	return known
}

// gain is |H| in dB at a frequency over the stages that the output may have.
func (r *Room) gain(h hop, hertz float64) Range {
	var all Range
	for i, stage := range stages(h) {
		v := decibel(r.response(h.net, h.output, stage).magnitude(h.input, hertz))
		if i == 0 {
			all = exactly(v)
		}
		all = all.include(v)
	}
	return all
}

// trebleOf is how much less comes at 20 kHz than at 1 kHz, in dB, over the
// stages, and the stage at which it is least.
func (r *Room) trebleOf(h hop) (drop Range, worst studio.Stage) {
	for i, stage := range stages(h) {
		resp := r.response(h.net, h.output, stage)
		v := decibel(resp.magnitude(h.input, treble)) - decibel(resp.magnitude(h.input, reference))
		if i == 0 || v < drop.Low {
			worst = stage
		}
		if i == 0 {
			drop = exactly(v)
		}
		drop = drop.include(v)
	}
	return drop, worst
}

// load is what an output sees at the inputs of its net together, in ohm; ok is
// false where nothing that is known listens.
func (n *net) load() (measure.Impedance, bool) {
	siemens := 0.0
	for _, in := range n.inputs {
		if in.known && in.line.Load > 0 {
			siemens += 1 / float64(in.line.Load)
		}
	}
	return measure.Impedance(1 / siemens), siemens > 0
}

// distance is the length of cable between the places of a hop, along the
// shortest way; ok is false where a cable of the net has no length.
func (h hop) distance() (measure.Length, bool) {
	if h.net.unmeasured() {
		return 0, false
	}
	way := map[int]measure.Length{h.from().place: 0}
	for range h.net.places {
		for _, c := range h.net.cables {
			relax(way, c.a, c.b, c.length)
			relax(way, c.b, c.a, c.length)
		}
	}
	length, ok := way[h.to().place]
	return length, ok
}

func relax(way map[int]measure.Length, from, to int, length measure.Length) {
	before, ok := way[from]
	if !ok {
		return
	}
	if known, ok := way[to]; !ok || before+length < known {
		way[to] = before + length
	}
}
