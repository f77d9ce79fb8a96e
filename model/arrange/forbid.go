package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// withoutNormal are the inputs that get no normal: what must be silent, or is
// kept, in the session at rest.
func (r *room) withoutNormal(q *Request) map[int]bool {
	all := map[int]bool{}
	if q.AtRest == nil {
		return all
	}
	inputs := numbers(r.inputs)
	add := func(p name.Point) {
		if i, ok := inputs[p]; ok {
			all[i] = true
		}
	}
	for _, p := range q.AtRest.Silent {
		add(p)
	}
	for _, w := range q.AtRest.Wants {
		if w.Keep {
			add(w.Destination)
		}
	}
	return all
}

// howling says of an output and an input whether a normal between them would let a
// loudspeaker play a microphone: one that comes to the bays, or that gear passes on.
func (r *room) howling() func(o, i int) bool {
	hears := map[name.Point]bool{}
	loud := map[string]bool{}
	for _, g := range r.studio.Gear {
		loud[g.Name] = g.Role == studio.Loudspeaker
		for _, p := range g.Passes {
			if at := slices.IndexFunc(g.Ports, func(q studio.Port) bool { return q.Point == p.In }); at >= 0 && g.Ports[at].Line.Kind == studio.MicLevel {
				hears[p.Out] = true
			}
		}
	}
	return func(o, i int) bool {
		return loud[r.inputs[i].point.Owner] && (r.outputs[o].kind == studio.MicLevel || hears[r.outputs[o].point])
	}
}
