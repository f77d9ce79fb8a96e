package text

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
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
		message: phrase.Put("nothing in the studio is called {name}", "name", p.Owner),
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
		return &lost{message: phrase.Put("{bay} is a bay; one of its jacks is wanted", "bay", p.Owner), hint: phrase.Put("write {bay}/t1 or {bay}/b1", "bay", p.Owner)}
	case x.boxes[p.Owner] != nil:
		return &lost{message: phrase.Put("{box} is a box; one of its sockets is wanted", "box", p.Owner), hint: phrase.Put("write {box}/1", "box", p.Owner)}
	case x.matrices[p.Owner] != nil:
		return &lost{message: phrase.Put("{matrix} is a matrix; one of its inputs or outputs is wanted", "matrix", p.Owner), hint: phrase.Put("write {matrix}/in1 or {matrix}/out1", "matrix", p.Owner)}
	case x.gear[p.Owner] != nil:
		return &lost{message: phrase.Put("{gear} is gear; one of its ports is wanted", "gear", p.Owner), hint: phrase.Put("it has {ports}", "ports", ranges(x.gear[p.Owner].Ports))}
	}
	l := &lost{message: phrase.Put("nothing in the studio is called {name}", "name", p.Owner), hint: maybe(p.Owner, x.owners())}
	if ports := x.portsCalled(p.Owner); len(ports) > 0 {
		l.hint = phrase.Put("ports are named with their gear; write {names}", "names", oneOf(ports))
	}
	return l
}

// portsCalled are the ports of gear with a name, each with the name of its gear.
func (x *index) portsCalled(port string) []string {
	var all []string
	for p := range x.ports {
		if p.Port() == port {
			all = append(all, p.String())
		}
	}
	slices.Sort(all)
	return all
}

func (x *index) findPort(p name.Point) (name.Point, kind, *lost) {
	if port, ok := x.ports[p]; ok {
		return p, portKind(port), nil
	}
	g := x.gear[p.Owner]
	l := &lost{message: phrase.Put("{gear} has no {port}", "gear", g.Name, "port", p.Port()), part: true}
	if word := phrase.Nearest(p.Port(), portNames(g)); word != "" && p.Stem != "" {
		l.hint = phrase.Put("it has {ports}; did you mean {gear}/{port}?", "ports", ranges(g.Ports), "gear", g.Name, "port", word)
	} else {
		l.hint = phrase.Put("it has {ports}", "ports", ranges(g.Ports))
	}
	if _, send := x.ports[half(p, name.Send)]; send && p.Part == name.Whole {
		l.message = phrase.Put("{insert} is an insert; one of its halves is wanted", "insert", p.String())
		l.hint = phrase.Put("write {insert}.send or {insert}.return", "insert", p.String())
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
		return p, noPoint, &lost{part: true, message: phrase.Put("the bay {bay} has no {jack}", "bay", b.Name, "jack", p.Port()), hint: phrase.Put("its jacks are t1-{last} and b1-{last}", "last", last)}
	case p.Stem == "":
		return p, noPoint, &lost{part: true, message: phrase.Put("{pair} is a pair of two jacks; one of them is wanted", "pair", p.String()), hint: phrase.Put("write {top} or {bottom}", "top", b.TopJack(p.Number).String(), "bottom", b.BottomJack(p.Number).String())}
	}
	return p, noPoint, &lost{part: true, message: phrase.Put("the bay {bay} has no {jack}", "bay", b.Name, "jack", p.Port()), hint: phrase.Put("its jacks are t1-{last} and b1-{last}", "last", last)}
}

func findSocket(b *studio.Box, p name.Point) (name.Point, kind, *lost) {
	if p.Stem == "" && p.Part == name.Whole && p.Number >= 1 && p.Number <= b.Sockets {
		return p, socket, nil
	}
	return p, noPoint, &lost{part: true, message: phrase.Put("the box {box} has no {socket}", "box", b.Name, "socket", p.Port()), hint: phrase.Put("its sockets are {box}/1 to {socket}", "box", b.Name, "socket", b.Socket(b.Sockets).String())}
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
	return p, noPoint, &lost{part: true, message: phrase.Put("the matrix {matrix} has no {port}", "matrix", m.Name, "port", p.Port()),
		hint: phrase.Put("it has in1-{inputs} and out1-{outputs}", "inputs", strconv.Itoa(m.Inputs), "outputs", strconv.Itoa(m.Outputs))}
}
