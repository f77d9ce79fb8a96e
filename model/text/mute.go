package text

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// muteBy is a mute by a matrix that is not read yet.
type muteBy struct {
	gear int
	node *node
	hop  name.Hop
}

func (g *gearReader) mute(n *node) {
	if n == nil {
		return
	}
	v := g.fields(n, muteFields)
	by := v.of["by"]
	switch {
	case by == nil:
		return
	case by.text == "person":
		g.gear.Mute = studio.Mute{ByPerson: true, At: v.text("at")}
		return
	case v.has("at"):
		g.report(g.placeOf(v.of["at"]), "mute", "write by: person, or leave it out", "at is the switch that a person works; here a matrix mutes")
	}
	if hop, ok := g.hop(by); ok {
		g.file.mutes = append(g.file.mutes, muteBy{gear: len(g.file.studio.Gear), node: by, hop: hop})
	}
}

func (r *studioReader) resolveMutes() {
	for _, m := range r.mutes {
		points, ok := r.refer(m.node, r.index, m.hop, "what mutes is person or a matrix output", matrixOutput)
		switch {
		case !ok:
		case len(points) > 1:
			r.fault(m.node, "count", "", "%s are several outputs; one mutes the gear", m.hop.Text)
		default:
			r.studio.Gear[m.gear].Mute = studio.Mute{Output: points[0]}
		}
	}
}

func (r *studioReader) readControl(n *node) {
	if n == nil {
		return
	}
	v := r.fields(n, controlFields)
	r.studio.Control = &studio.Control{Port: v.text("port"), Channel: v.number("channel", 0)}
}

func (g *gearReader) midi(n *node) {
	if n == nil {
		return
	}
	v := g.fields(n, midiFields)
	g.gear.MIDI = &studio.MIDI{Port: v.text("port"), Channel: v.number("channel", 1), First: v.number("first", 0)}
}
