package text

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// matrixReader reads what is programmable.
type matrixReader struct {
	*reader
	file *studioReader
}

func (r *matrixReader) read(n *node) {
	r.file.records(n, func(key, value *node) {
		if !r.file.own(key) {
			return
		}
		if key.text == "person" {
			r.fault(key, "name", "give the matrix another name", "a matrix cannot be called person; steps by hand are a person's")
			return
		}
		r.file.studio.Matrices = append(r.file.studio.Matrices, r.matrix(key.text, r.fields(value, matrixFields)))
	})
}

func (r *matrixReader) matrix(text string, v values) studio.Matrix {
	m := studio.Matrix{Name: text, Label: v.text("label"), Kind: studio.Amplifiers}
	m.Inputs, m.Outputs = v.number("inputs", 0), v.number("outputs", 0)
	m.Kind = r.matrixKind(v.of["kind"])
	m.HighImpedance = v.word("unused") == "open"
	if v.has("unused") && m.Kind == studio.Contacts {
		r.report(r.placeOf(v.of["unused"]), "unused", "take it out", "unused is for amplifiers; a contact without a crosspoint is open anyway")
		m.HighImpedance = false
	}
	switch v.word("power-off") {
	case "open":
		m.PowerOff = studio.PowerOffOpen
	case "holds":
		m.PowerOff = studio.PowerOffHolds
	}
	if line := v.of["line"]; line != nil {
		m.Line = r.file.lines.line(line)
		m.OutputsLine = m.Line
	}
	if line := v.of["outputs-line"]; line != nil {
		m.OutputsLine = r.file.lines.line(line)
	}
	m.Device = r.device(v.of["device"])
	if m.Inputs > 0 && m.Outputs > 0 {
		m.Missing = r.missing(v.of["missing"], m)
		m.Stereo = r.stereo(v.of["stereo"], m)
	}
	return m
}

func (r *matrixReader) matrixKind(n *node) studio.MatrixKind {
	f, _ := matrixFields.Field("kind")
	switch {
	case n == nil:
		return studio.Amplifiers
	case n.text == "mixing" || n.text == "mixer":
		r.fault(n, "mixing", "describe a mixer as gear", "mixing matrices are not supported: each output takes one input")
		return studio.Amplifiers
	}
	if r.wordOf(n, f.Words) == "contacts" {
		return studio.Contacts
	}
	return studio.Amplifiers
}

// missing reads crosspoints that the hardware lacks: in1-4 x out9-16.
func (r *matrixReader) missing(n *node, m studio.Matrix) []studio.Absent {
	var missing []studio.Absent
	seen := map[studio.Absent]bool{}
	for _, item := range r.wholeItems(n) {
		if !r.isText(item) {
			continue
		}
		p, err := name.ParseOwnPair(m.Name, item.text, name.Cross)
		if err != nil {
			r.nameFault(item, err)
			continue
		}
		for _, a := range r.absent(item, p, m) {
			if seen[a] {
				r.fault(item, "duplicate", "", "the crosspoint %s x %s is named twice", a.Input.Port(), a.Output.Port())
				break
			}
			seen[a] = true
			missing = append(missing, a)
		}
	}
	return missing
}

// absent expands in1-4 x out9-16, all with all, either side first.
func (r *matrixReader) absent(n *node, p name.Pair, m studio.Matrix) []studio.Absent {
	x := newIndex(&studio.Studio{Matrices: []studio.Matrix{m}})
	if len(p.Left.Points) > 0 && p.Left.Points[0].Stem == "out" {
		p.Left, p.Right = p.Right, p.Left
	}
	ins, ok := r.refer(n, x, p.Left, "a crosspoint is of an input and an output", matrixInput)
	outs, ok2 := r.refer(n, x, p.Right, "a crosspoint is of an input and an output", matrixOutput)
	if !ok || !ok2 {
		return nil
	}
	r.spend(n, len(ins)*len(outs))
	var all []studio.Absent
	for _, in := range ins {
		for _, out := range outs {
			all = append(all, studio.Absent{Output: out, Input: in})
		}
	}
	return all
}

// device reads the description and the link; every other key is a parameter of
// the description.
func (r *matrixReader) device(n *node) *studio.Device {
	if n == nil {
		return nil
	}
	if n.shape != mapping {
		r.fields(n, deviceFields)
		return nil
	}
	own := &node{shape: mapping, key: n.key, place: n.place, flow: n.flow}
	d := &studio.Device{}
	for _, e := range n.entries {
		if _, ok := deviceFields.Field(e.key.text); ok {
			own.entries = append(own.entries, e)
		} else if r.isText(e.value) {
			d.Parameters = append(d.Parameters, studio.Parameter{Name: e.key.text, Value: e.value.text})
		}
	}
	v := r.fields(own, deviceFields)
	d.Description, d.Link = v.text("description"), v.text("link")
	if v.has("link") {
		r.link(v.of["link"])
	}
	return d
}

var linkKinds = []string{"serial", "tcp", "rfc2217", "midi", "rawmidi", "pty"}

// link checks the kind of a link; what follows it is for whoever opens it.
func (r *reader) link(n *node) {
	kind, rest, found := strings.Cut(n.text, ":")
	switch {
	case !found || !slices.Contains(linkKinds, kind):
		r.fault(n, "link", maybe(kind, linkKinds), "%s is no link; it begins with one of %s and a colon", quoteText(n.text), oneOf(linkKinds))
	case rest == "":
		r.fault(n, "link", "", "%s is no link; what follows the colon is missing", quoteText(n.text))
	}
}
