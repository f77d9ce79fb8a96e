package text

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// ReadPatch reads a patch file. It also reads what plans print: the whole
// output of plan --json, of which it takes the patch, or that patch alone.
func ReadPatch(file string, src []byte, s *studio.Studio) (patch.Patch, Places, Problems) {
	r, root := open(file, src)
	var p patch.Patch
	if root != nil {
		r.attempt(func() { p = r.patchFile(root, newIndex(s)) })
	}
	return p, r.places, r.told()
}

func (r *reader) patchFile(root *node, x *index) patch.Patch {
	if root.shape == mapping && root.field("patch") == nil && bare(root) {
		return readContent(r, root, x)
	}
	if root.field("patch") != nil && root.field("steps") != nil {
		root = withoutPlan(root)
	}
	if of := root.field("session"); of != nil {
		// A session's file is a patch's where one is kept in it.
		kept := root.field("patch")
		if kept == nil {
			r.fault(of, "session", "give a file with a patch: in it; a session gets one in its file once it is ready", "this is the file of a session in which no patch is kept")
			return patch.Patch{}
		}
		return readContent(r, kept, x)
	}
	v := r.fields(root, patchFields)
	return readContent(r, v.of["patch"], x)
}

// bare says whether the mapping is a patch without its heading.
func bare(n *node) bool {
	return slices.ContainsFunc(n.entries, func(e entry) bool {
		_, ok := contentFields.Field(e.key.text)
		return ok
	})
}

// withoutPlan leaves out what a plan prints beside the patch.
func withoutPlan(n *node) *node {
	kept := *n
	kept.entries = nil
	for _, e := range n.entries {
		if !slices.Contains(planFields, e.key.text) {
			kept.entries = append(kept.entries, e)
		}
	}
	return &kept
}

// contentReader reads what a patch holds.
type contentReader struct {
	*reader
	index *index
	patch patch.Patch
	// plugged holds where each jack with a plug was named.
	plugged map[name.Point]*node
}

// readContent reads a patch without its heading, from a patch file, a session
// or the rest of a studio. A nil node is an empty patch.
func readContent(r *reader, n *node, x *index) patch.Patch {
	c := &contentReader{reader: r, index: x, plugged: map[name.Point]*node{}}
	v := r.fields(n, contentFields)
	for _, item := range r.wholeItems(v.of["cords"]) {
		c.cord(item)
	}
	for _, item := range r.wholeItems(v.of["leads"]) {
		c.lead(item)
	}
	for _, item := range r.wholeItems(v.of["dummies"]) {
		if jacks, ok := c.jacks(item, "a dummy is in a jack"); ok {
			c.patch.Dummies = append(c.patch.Dummies, c.plug(item, jacks...)...)
		}
	}
	c.crosspoints(v.of["crosspoints"])
	c.patch.Sort()
	return c.patch
}

// plug notes that jacks hold a plug, and returns those that held none before.
func (c *contentReader) plug(n *node, jacks ...name.Point) []name.Point {
	var free []name.Point
	for _, jack := range jacks {
		if first := c.plugged[jack]; first != nil {
			c.fault(n, "jack-taken", "", "the jack %s takes one plug and has one in line %d already", jack, first.place.Line)
			continue
		}
		c.plugged[jack] = n
		free = append(free, jack)
	}
	return free
}

// jacks are the jacks that a scalar names.
func (c *contentReader) jacks(n *node, role string) ([]name.Point, bool) {
	hop, ok := c.hop(n)
	if !ok {
		return nil, false
	}
	return c.refer(n, c.index, hop, role, jack)
}

const cordRole = "a cord joins jacks of bays"

func (c *contentReader) cord(n *node) {
	if n.shape == mapping {
		c.longCord(n)
		return
	}
	p, ok := c.pair(n, name.Cord)
	if !ok {
		return
	}
	left, ok := c.refer(n, c.index, p.Left, cordRole, jack)
	right, ok2 := c.refer(n, c.index, p.Right, cordRole, jack)
	if !ok || !ok2 {
		return
	}
	if len(left) != len(right) {
		c.faultIn(n, p.Right.At, "count", "", "%s are %d jacks and %s are %d; a cord has an end on each side", p.Left.Text, len(left), p.Right.Text, len(right))
		return
	}
	for i := range left {
		c.addCord(n, patch.Cord{A: left[i], B: right[i]})
	}
}

// longCord reads {ends: [main/t2, main/b9], length: 60 cm}.
func (c *contentReader) longCord(n *node) {
	if c.tornLine(n, cordFields) {
		return
	}
	v := c.fields(n, cordFields)
	cord := patch.Cord{Length: c.cordLength(v), Poles: v.number("poles", 0)}
	ends := v.of["ends"]
	if ends == nil {
		return
	}
	jacks, ok := c.points(ends, c.index, cordRole, jack)
	switch {
	case !ok:
	case len(jacks) < 1 || len(jacks) > 2:
		c.fault(ends, "count", "", "%d ends stand here; a cord is in two jacks, or in one if its other end is loose", len(jacks))
	default:
		cord.A = jacks[0]
		if len(jacks) == 2 {
			cord.B = jacks[1]
		}
		c.addCord(n, cord)
	}
}

// cordLength is empty in what plans print where nothing was said.
func (c *contentReader) cordLength(v values) measure.Length {
	if n := v.of["length"]; n != nil && n.quoted && n.text == "" {
		return 0
	}
	return c.positive(v, "length")
}

func (c *contentReader) addCord(n *node, cord patch.Cord) {
	if cord.A == cord.B {
		c.fault(n, "duplicate", "", "both ends of the cord are in %s; a jack takes one plug", cord.A)
		return
	}
	if len(c.plug(n, cord.Ends()...)) == len(cord.Ends()) {
		c.patch.Cords = append(c.patch.Cords, cord)
	}
}

// lead reads synth/out1 - main/b3, either way round.
func (c *contentReader) lead(n *node) {
	p, ok := c.pair(n, name.Cord)
	if !ok {
		return
	}
	from, to := p.Left.Points[0].Owner, p.Right.Points[0].Owner
	if c.index.isBay(from) || !c.index.isBay(to) && c.index.isLoose(from) && !c.index.isLoose(to) {
		p.Left, p.Right = p.Right, p.Left
		to = from
	}
	if c.index.gear[to] != nil {
		c.looseLead(n, p)
		return
	}
	ports, ok := c.refer(n, c.index, p.Left, "a gear cable goes from a port of gear to a jack", gearOutput, gearInput)
	jacks, ok2 := c.refer(n, c.index, p.Right, "a gear cable goes from a port of gear to a jack", jack, socket)
	if ok && ok2 {
		c.leads(n, p, ports, jacks)
	}
}

// looseLead reads synth/out1 - di/in1, where the box stands loose.
func (c *contentReader) looseLead(n *node, p name.Pair) {
	outs, ok := c.refer(n, c.index, p.Left, "a gear cable goes from an output to gear that stands loose", gearOutput)
	ins, ok2 := c.refer(n, c.index, p.Right, "a gear cable goes from an output to gear that stands loose", gearInput)
	if !ok || !ok2 {
		return
	}
	if to := ins[0].Owner; !c.index.isLoose(to) {
		c.faultIn(n, p.Right.At, "lead", phrase.Put("write loose: true at {gear} if it stands loose, such as a DI box; else name the jack", "gear", to), "%s is a port of gear, and no jack; a gear cable has one end in a jack, a socket or gear that stands loose", ins[0])
		return
	}
	c.leads(n, p, outs, ins)
}

func (c *contentReader) leads(n *node, p name.Pair, ports, jacks []name.Point) {
	if len(ports) != len(jacks) {
		c.faultIn(n, p.Right.At, "count", "", "%s are %d ports and %s are %d jacks; a gear cable has an end on each side", p.Left.Text, len(ports), p.Right.Text, len(jacks))
		return
	}
	for i := range ports {
		if c.oneLead(n, ports[i]) && len(c.plug(n, jacks[i])) == 1 {
			c.patch.Leads = append(c.patch.Leads, patch.Lead{Port: ports[i], Jack: jacks[i]})
		}
	}
}

// oneLead: a port of gear takes one plug, as a jack does.
func (c *contentReader) oneLead(n *node, port name.Point) bool {
	if first := c.plugged[port]; first != nil {
		c.fault(n, "jack-taken", "", "the port %s takes one plug and has one in line %d already", port, first.place.Line)
		return false
	}
	c.plugged[port] = n
	return true
}
