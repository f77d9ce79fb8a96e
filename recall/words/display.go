package words

import (
	"cmp"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// OnDisplays are the names of what is wired to the outputs and the inputs of a matrix,
// in their order, for its own display; empty for those to which nothing is wired. A
// name is the port's own, or that of its gear with the port. A jack keeps the name that
// files have.
func OnDisplays(s *studio.Studio, m studio.Matrix) (outputs, inputs []string) {
	from, to := map[name.Point]name.Point{}, map[name.Point]name.Point{}
	for _, w := range s.Wires {
		from[w.To], to[w.From] = w.From, w.To
	}
	for n := 1; n <= m.Outputs; n++ {
		outputs = append(outputs, onDisplay(s, to[m.Out(n)]))
	}
	for n := 1; n <= m.Inputs; n++ {
		inputs = append(inputs, onDisplay(s, from[m.In(n)]))
	}
	return outputs, inputs
}

// onDisplay is the name of one place; empty for none.
func onDisplay(s *studio.Studio, p name.Point) string {
	if p.IsZero() {
		return ""
	}
	g := s.GearNamed(p.Owner)
	if g == nil {
		return p.String()
	}
	for _, port := range g.Ports {
		if port.Point == p && cmp.Or(port.Short, port.Label) != "" {
			return cmp.Or(port.Short, port.Label)
		}
	}
	return cmp.Or(g.Short, g.Label, g.Name) + " " + p.Port()
}
