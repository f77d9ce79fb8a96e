package text

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Hops stand in chains for an input and an output together: squeeze/1 is
// channel 1, desk/ins1 an insert, and a bare name is gear with one input and
// some outputs.

// leave are the outputs at which a signal leaves the first hop of a chain.
func (l *line) leave(n *node, h name.Hop) ([]name.Point, bool) {
	return l.resolve(n, h, studio.Output, "a source is an output of gear", gearOutput)
}

// enter are the inputs at which a signal enters a hop.
func (l *line) enter(n *node, h name.Hop) ([]name.Point, bool) {
	return l.resolve(n, h, studio.Input, "a destination is an input of gear", gearInput)
}

// leaveHop are the outputs of a hop in the middle of a chain, which must be one
// that stands for an input and an output.
func (l *line) leaveHop(n *node, h name.Hop) ([]name.Point, bool) {
	for _, p := range h.Points {
		if _, ok := l.file.index.hop(p, studio.Output); !ok {
			l.faultIn(n, h.At, "hop", l.throughHint(p), "%s is an input, where the chain ends; in the middle stands what a signal goes through: a channel, an insert, or gear with one input", p)
			return nil, false
		}
	}
	return l.leave(n, h)
}

func (l *line) throughHint(p name.Point) string {
	g := l.file.index.gear[p.Owner]
	switch {
	case g == nil:
		return ""
	case p.Part == name.Return:
		return phrase.Put("write {insert} for the insert", "insert", half(p, name.Whole).String())
	}
	channel := name.At(p.Owner, "", p.Number)
	if ins, ok := l.file.index.hop(channel, studio.Input); ok && ins[0] == p {
		return phrase.Put("write {channel} for the channel", "channel", channel.String())
	}
	return inTwoLines(g)
}

func (l *line) resolve(n *node, h name.Hop, d studio.Direction, role string, wanted kind) ([]name.Point, bool) {
	var points []name.Point
	for _, p := range h.Points {
		if ports, ok := l.file.index.hop(p, d); ok {
			points = append(points, ports...)
			continue
		}
		if lost := l.file.index.noHop(p); lost != nil {
			l.faultIn(n, h.At, "unknown-name", lost.hint, "%s", lost.message)
			return nil, false
		}
		one := h
		one.Points = []name.Point{p}
		named, ok := l.refer(n, l.file.index, one, role, wanted)
		if !ok {
			return nil, false
		}
		points = append(points, named...)
	}
	return points, true
}

// hop gives the ports that a hop stands for, on the side of the direction;
// false for a point that is no such hop.
func (x *index) hop(p name.Point, d studio.Direction) ([]name.Point, bool) {
	g := x.gear[p.Owner]
	switch {
	case g == nil:
		return nil, false
	case p.Port() == "":
		return bareHop(g, d)
	case p.Stem == "" && p.Part == name.Whole && p.Number <= g.Channels:
		stem := "in"
		if d == studio.Output {
			stem = "out"
		}
		return []name.Point{name.At(p.Owner, stem, p.Number)}, true
	case p.Stem == "" && p.Part == name.Whole:
		return passHop(g, p.Number, d)
	}
	part := name.Return
	if d == studio.Output {
		part = name.Send
	}
	_, insert := x.ports[half(p, part)]
	return []name.Point{half(p, part)}, insert && p.Part == name.Whole
}

// passHop: the channel n of gear that is described by what it passes is the one pass
// between an input and an output of that number, where neither passes to or from
// another port.
func passHop(g *studio.Gear, n int, d studio.Direction) ([]name.Point, bool) {
	var found []studio.Pass
	for _, p := range g.Passes {
		if p.In.Number == n && p.Out.Number == n && p.In.Part == name.Whole && p.Out.Part == name.Whole {
			found = append(found, p)
		}
	}
	if n == 0 || len(found) != 1 {
		return nil, false
	}
	only := found[0]
	for _, p := range g.Passes {
		if p != only && (p.In == only.In || p.Out == only.Out) {
			return nil, false
		}
	}
	if d == studio.Input {
		return []name.Point{only.In}, true
	}
	return []name.Point{only.Out}, true
}

// bareHop: gear with one input and some outputs.
func bareHop(g *studio.Gear, d studio.Direction) ([]name.Point, bool) {
	ins, outs := sidesOf(g)
	if len(ins) != 1 || len(outs) == 0 {
		return nil, false
	}
	if d == studio.Input {
		return ins, true
	}
	return outs, true
}

// noHop says why a bare name or a channel is no hop; nil for other points.
func (x *index) noHop(p name.Point) *lost {
	g := x.gear[p.Owner]
	switch {
	case g == nil:
		return nil
	case p.Port() == "":
		return &lost{message: phrase.Put("{gear} is no gear with one input and some outputs; name the port", "gear", g.Name), hint: inTwoLines(g)}
	case p.Stem == "" && g.Channels > 0:
		return &lost{part: true, message: phrase.Put("{point} is no channel; {gear} has channels 1 to {last}", "point", p.String(), "gear", g.Name, "last", name.At("", "", g.Channels).Port())}
	case p.Stem == "":
		return &lost{part: true, message: phrase.Put("{point} is no channel; {gear} has no channels:, and no pass of its own from an input {number} to an output {number}", "point", p.String(), "gear", g.Name, "number", name.At("", "", p.Number).Port()), hint: inTwoLines(g)}
	}
	return nil
}

// inTwoLines is how to write a way through gear that is no hop.
func inTwoLines(g *studio.Gear) string {
	ins, outs := sidesOf(g)
	if len(ins) == 0 || len(outs) == 0 {
		return phrase.Put("it has {ports}", "ports", ranges(g.Ports))
	}
	return phrase.Put("end a line with -> {inputs}, and begin another with {outputs} ->", "inputs", name.Fold(ins)[0], "outputs", name.Fold(outs)[0])
}

// sidesOf are the inputs and the outputs of gear.
func sidesOf(g *studio.Gear) (ins, outs []name.Point) {
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			ins = append(ins, p.Point)
		} else {
			outs = append(outs, p.Point)
		}
	}
	return ins, outs
}
