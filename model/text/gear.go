package text

import (
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// gearReader reads one piece of gear.
type gearReader struct {
	*reader
	file *studioReader // of the file that the gear stands in
	gear *studio.Gear
	// named holds where each port was described.
	named map[string]*node
}

func (r *studioReader) readGear(n *node) {
	r.records(n, func(key, value *node) {
		if !r.own(key) {
			return
		}
		g := &gearReader{reader: r.reader, file: r, gear: &studio.Gear{Name: key.text}, named: map[string]*node{}}
		g.read(value)
		r.studio.Gear = append(r.studio.Gear, *g.gear)
	})
}

func (g *gearReader) read(n *node) {
	before := g.mistakes()
	v := g.fields(n, gearFields)
	g.gear.Label = v.text("label")
	g.ports(v.of["outputs"], studio.Output)
	g.ports(v.of["inputs"], studio.Input)
	g.inserts(v.of["inserts"])
	g.channels(v)
	g.file.broken[g.gear.Name] = g.file.broken[g.gear.Name] || g.mistakes() > before
	g.gear.Passes = append(g.gear.Passes, g.passes(v.of["passes"])...)
	g.gear.CanPass = g.passes(v.of["can-pass"])
	switch v.word("role") {
	case "loudspeaker":
		g.gear.Role = studio.Loudspeaker
	case "headphone":
		g.gear.Role = studio.Headphone
	}
	g.selects(v.of["select"])
	g.steals(v.of["steals"])
	g.gear.Place = g.file.place(v.of["place"], gearPlaceFields, "gear stands")
	g.at(v.of["at"])
	g.gear.Loose = v.flag("loose", false)
	g.gear.Short = v.text("short")
	g.gear.Sockets = g.file.sockets(v.of["sockets"], g.gear.Name, "port", func(p name.Point) bool { return g.named[p.Port()] != nil })
	g.gear.InsertTip = map[string]name.Part{"send": name.Send, "return": name.Return}[v.word("insert-tip")]
	g.mute(v.of["mute"])
	g.gear.NoTest = v.word("test") == "no"
	g.sound(v.of["sound"])
	g.midi(v.of["midi"])
}

// ports reads a mapping of ranges to lines.
func (g *gearReader) ports(n *node, d studio.Direction) {
	if n != nil && n.torn {
		g.file.broken[g.gear.Name] = true
	}
	for _, e := range n.eachEntry() {
		for _, p := range g.portsNamed(e.key) {
			if p.Part != name.Whole {
				g.fault(e.key, "name", phrase.Put("write inserts: {{port}: ...}", "port", half(p, name.Whole).Port()), "%s is half of an insert; inserts have a key of their own", p.Port())
				break
			}
			g.add(e.key, g.port(e.value, p, d))
		}
	}
}

// portsNamed expands the key of a mapping of ports.
func (g *gearReader) portsNamed(key *node) []name.Point {
	text := key.text
	if owner, port, ok := strings.Cut(text, "/"); ok && owner == g.gear.Name {
		g.fault(key, "name", phrase.Put("write {port}", "port", port), "%s stands here; ports of gear stand here without its name", quoteText(text))
		return nil
	}
	points, err := name.Ports(g.gear.Name, text)
	if err != nil {
		g.nameFault(key, err)
		return nil
	}
	if points[0].Stem == "" {
		g.fault(key, "name", phrase.Put("write in{number} or out{number}", "number", text), "%s stands here; a port's name begins with letters", quoteText(text))
		return nil
	}
	g.spend(key, len(points))
	return points
}

// add takes a port unless its name is taken.
func (g *gearReader) add(key *node, p studio.Port) {
	text := p.Point.Port()
	if first := g.named[text]; first != nil {
		if first != key {
			g.fault(key, "duplicate", "", "%s overlaps %s in line %d: both have %s", key.text, first.text, first.place.Line, text)
			// One problem for each pair of ranges is enough.
			g.named[text] = key
		}
		return
	}
	g.named[text] = key
	g.gear.Ports = append(g.gear.Ports, p)
}

// port is a port with its line, in the short form or the long one.
func (g *gearReader) port(n *node, p name.Point, d studio.Direction) studio.Port {
	port := studio.Port{Point: p, Direction: d}
	switch {
	case n.shape == mapping:
		v := g.fields(n, portFields)
		port.Label, port.Short = v.text("label"), v.text("short")
		port.NoTest = v.word("test") == "no"
		if line := v.of["line"]; line != nil {
			port.Line = lineOf(v, g.file.lines.line(line))
		}
		if p.Part == name.Whole {
			g.fitsDirection(v, port)
		}
		if d == studio.Output && v.flag("phantom", false) {
			g.fault(v.of["phantom"], "phantom", "", "an output supplies no phantom power; phantom belongs to an input")
		}
	case g.isText(n):
		port.Line = g.file.lines.line(n)
	}
	return port
}

func (g *gearReader) inserts(n *node) {
	for _, e := range n.eachEntry() {
		for _, p := range g.portsNamed(e.key) {
			if p.Part != name.Whole {
				g.fault(e.key, "name", phrase.Put("write {port}", "port", half(p, name.Whole).Port()), "%s stands here; an insert is described by its name alone and gives both halves", quoteText(e.key.text))
				break
			}
			g.add(e.key, g.port(e.value, half(p, name.Send), studio.Output))
			g.add(e.key, g.port(e.value, half(p, name.Return), studio.Input))
		}
	}
}

// channels gives each channel an input, an output and a pass between them.
func (g *gearReader) channels(v values) {
	count, line := v.number("channels", 0), v.of["line"]
	switch {
	case count == 0 && line != nil && !v.has("channels"):
		g.report(g.placeOf(line), "missing", "write channels: 2, or name the line at each range of ports", "line is the line of the channels, and there are none")
		return
	case count > 0 && line == nil:
		g.report(g.placeOf(v.of["channels"]), "missing", "write line: pro-line beside it", "channels need the key line")
		return
	case count == 0 || line == nil:
		return
	}
	kind, key := g.file.lines.line(line), v.of["channels"]
	g.spend(key, 2*count)
	g.gear.Channels = count
	for i := range count {
		in, out := name.At(g.gear.Name, "in", i+1), name.At(g.gear.Name, "out", i+1)
		g.add(key, studio.Port{Point: in, Direction: studio.Input, Line: kind})
		g.gear.Passes = append(g.gear.Passes, studio.Pass{In: in, Out: out})
	}
	for i := range count {
		g.add(key, studio.Port{Point: name.At(g.gear.Name, "out", i+1), Direction: studio.Output, Line: kind})
	}
}
