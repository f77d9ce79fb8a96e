package text

import (
	"strconv"
	"strings"

	"bayhand/model/patch"
)

// WritePatch is a patch file: the patch in its one order, a cord and an output
// on a line each, so that versions can be compared line by line.
func WritePatch(p patch.Patch) []byte {
	var w writer
	writePatch(&w, p)
	return w.Bytes()
}

// writePatch writes patch: and what the patch holds, without indentation.
func writePatch(w *writer, p patch.Patch) {
	p = p.Clone()
	p.Sort()
	if len(p.Cords)+len(p.Leads)+len(p.Dummies)+len(p.Crosspoints) == 0 {
		w.line(0, "patch: {}")
		return
	}
	w.line(0, "patch:")
	if len(p.Cords) > 0 {
		w.line(1, "cords:")
	}
	for _, c := range p.Cords {
		w.line(2, "- "+cordText(c))
	}
	if len(p.Leads) > 0 {
		w.line(1, "leads:")
	}
	for _, l := range p.Leads {
		w.line(2, "- "+l.Port.String()+" - "+l.Jack.String())
	}
	dummies := make([]string, len(p.Dummies))
	for i, d := range p.Dummies {
		dummies[i] = d.String()
	}
	w.list(1, "dummies", dummies)
	writeCrosspoints(w, p.Crosspoints)
}

func cordText(c patch.Cord) string {
	if c.Length == 0 && c.Poles == 0 && !c.B.IsZero() {
		return c.A.String() + " - " + c.B.String()
	}
	ends := make([]string, 0, 2)
	for _, e := range c.Ends() {
		ends = append(ends, e.String())
	}
	text := "{ends: [" + strings.Join(ends, ", ") + "]"
	if c.Length != 0 {
		length, _ := c.Length.MarshalText() // it cannot fail
		text += ", length: " + string(length)
	}
	if c.Poles != 0 {
		text += ", poles: " + strconv.Itoa(c.Poles)
	}
	return text + "}"
}

// writeCrosspoints takes crosspoints in order, so that those of one matrix, and
// of one output, stand side by side.
func writeCrosspoints(w *writer, crosspoints []patch.Crosspoint) {
	if len(crosspoints) == 0 {
		return
	}
	w.line(1, "crosspoints:")
	matrix := ""
	for i := 0; i < len(crosspoints); {
		output := crosspoints[i].Output
		if output.Owner != matrix {
			matrix = output.Owner
			w.line(2, matrix+":")
		}
		var inputs []string
		for ; i < len(crosspoints) && crosspoints[i].Output == output; i++ {
			inputs = append(inputs, crosspoints[i].Input.Port())
		}
		w.line(3, output.Port()+": "+inputsText(inputs))
	}
}

func inputsText(inputs []string) string {
	if len(inputs) == 1 {
		return inputs[0]
	}
	return "[" + strings.Join(inputs, ", ") + "]"
}
