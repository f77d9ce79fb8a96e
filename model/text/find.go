package text

import (
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// find says what a point is, with the rows of bays under their own names. The
// error says what there is instead.
func (x *index) find(p name.Point) (name.Point, kind, *lost) {
	switch {
	case p.Port() == "":
		return p, noPoint, x.bare(p)
	case x.gear[p.Owner] != nil:
		return x.findPort(p)
	case x.bays[p.Owner] != nil:
		return findJack(x.bays[p.Owner], p)
	case x.boxes[p.Owner] != nil:
		return findSocket(x.boxes[p.Owner], p)
	case x.matrices[p.Owner] != nil:
		return findCrossport(x.matrices[p.Owner], p)
	}
	return p, noPoint, &lost{
		message: "nothing in the studio is called " + p.Owner,
		hint:    maybe(p.Owner, x.owners()),
	}
}

// lost is why a name was not found.
type lost struct {
	message, hint string
	// part is true where the owner exists and what follows the slash does not.
	part bool
}

func (x *index) bare(p name.Point) *lost {
	switch {
	case x.bays[p.Owner] != nil:
		return &lost{message: p.Owner + " is a bay; one of its jacks is wanted", hint: "write " + p.Owner + "/t1 or " + p.Owner + "/b1"}
	case x.boxes[p.Owner] != nil:
		return &lost{message: p.Owner + " is a box; one of its sockets is wanted", hint: "write " + p.Owner + "/1"}
	case x.matrices[p.Owner] != nil:
		return &lost{message: p.Owner + " is a matrix; one of its inputs or outputs is wanted", hint: "write " + p.Owner + "/in1 or " + p.Owner + "/out1"}
	case x.gear[p.Owner] != nil:
		return &lost{message: p.Owner + " is gear; one of its ports is wanted", hint: "it has " + ranges(x.gear[p.Owner].Ports)}
	}
	return &lost{message: "nothing in the studio is called " + p.Owner, hint: maybe(p.Owner, x.owners())}
}

func (x *index) findPort(p name.Point) (name.Point, kind, *lost) {
	if port, ok := x.ports[p]; ok {
		return p, portKind(port), nil
	}
	g := x.gear[p.Owner]
	l := &lost{message: g.Name + " has no " + p.Port(), part: true}
	if word := nearest(p.Port(), portNames(g)); word != "" && p.Stem != "" {
		l.hint = "it has " + ranges(g.Ports) + "; did you mean " + g.Name + "/" + word + "?"
	} else {
		l.hint = "it has " + ranges(g.Ports)
	}
	if _, send := x.ports[half(p, name.Send)]; send && p.Part == name.Whole {
		l.message = p.String() + " is an insert; one of its halves is wanted"
		l.hint = "write " + p.String() + ".send or " + p.String() + ".return"
	}
	return p, noPoint, l
}

func half(p name.Point, part name.Part) name.Point {
	p.Part = part
	return p
}

func portKind(p studio.Port) kind {
	if p.Direction == studio.Output {
		return gearOutput
	}
	return gearInput
}

func portNames(g *studio.Gear) []string {
	var names []string
	for _, p := range g.Ports {
		names = append(names, p.Point.Port())
	}
	return names
}

// ranges are the ports of gear in short: in1-2 and out1-2.
func ranges(ports []studio.Port) string {
	groups := map[string][]name.Point{}
	var order []string
	for _, p := range ports {
		key := p.Point.Stem + p.Point.Part.String()
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], p.Point)
	}
	var words []string
	for _, key := range order {
		for _, word := range name.Fold(groups[key]) {
			_, port, _ := strings.Cut(word, "/")
			words = append(words, port)
		}
	}
	if len(words) == 0 {
		return "no ports"
	}
	return strings.Join(words, ", ")
}

func findJack(b *studio.Bay, p name.Point) (name.Point, kind, *lost) {
	for i, row := range b.Rows {
		if row != "" && p.Stem == row {
			p.Stem = [2]string{studio.Top, studio.Bottom}[i]
		}
	}
	last := name.At("", "", b.Pairs()).Port()
	switch {
	case p.Stem == studio.Top || p.Stem == studio.Bottom:
		if p.Part == name.Whole && p.Number >= 1 && p.Number <= b.Pairs() {
			return p, jack, nil
		}
		return p, noPoint, &lost{part: true, message: "the bay " + b.Name + " has no " + p.Port(), hint: "its jacks are t1-" + last + " and b1-" + last}
	case p.Stem == "":
		return p, noPoint, &lost{part: true, message: p.String() + " is a pair of two jacks; one of them is wanted", hint: "write " + b.TopJack(p.Number).String() + " or " + b.BottomJack(p.Number).String()}
	}
	return p, noPoint, &lost{part: true, message: "the bay " + b.Name + " has no " + p.Port(), hint: "its jacks are t1-" + last + " and b1-" + last}
}

func findSocket(b *studio.Box, p name.Point) (name.Point, kind, *lost) {
	if p.Stem == "" && p.Part == name.Whole && p.Number >= 1 && p.Number <= b.Sockets {
		return p, socket, nil
	}
	return p, noPoint, &lost{part: true, message: "the box " + b.Name + " has no " + p.Port(), hint: "its sockets are " + b.Name + "/1 to " + b.Socket(b.Sockets).String()}
}

func findCrossport(m *studio.Matrix, p name.Point) (name.Point, kind, *lost) {
	if p.Part == name.Whole && p.Number >= 1 {
		switch {
		case p.Stem == "in" && p.Number <= m.Inputs:
			return p, matrixInput, nil
		case p.Stem == "out" && p.Number <= m.Outputs:
			return p, matrixOutput, nil
		}
	}
	return p, noPoint, &lost{part: true, message: "the matrix " + m.Name + " has no " + p.Port(),
		hint: "it has in1-" + m.In(m.Inputs).Port()[2:] + " and out1-" + m.Out(m.Outputs).Port()[3:]}
}
