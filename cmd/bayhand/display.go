package main

import (
	"cmp"
	"context"
	"sync"

	"bayhand/drivers/matrix"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// displays puts the studio's names on the displays of matrices that have one, each time
// a link is opened. Only whoever keeps the room does so: for one command it would take
// longer than the command.
type displays struct {
	// mu guards the studio, which is nil for no names.
	mu     sync.Mutex
	wanted bool
	studio *studio.Studio
}

// want has names put on displays from now on.
func (d *displays) want() { d.wanted = true }

// read takes in the studio as its file has it now.
func (d *displays) read(s *studio.Studio) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.studio = s
}

// label names the outputs and inputs of a matrix on its device. A device that would
// rather not is driven all the same: a name is no crosspoint.
func (d *displays) label(ctx context.Context, m studio.Matrix, driven *matrix.Matrix) {
	d.mu.Lock()
	s := d.studio
	d.mu.Unlock()
	if !d.wanted || s == nil {
		return
	}
	outputs, inputs := wiredNames(s, m)
	_ = driven.Label(ctx, outputs, inputs)
}

// wiredNames are what the studio calls what is wired to the outputs and the inputs of a
// matrix, in their order; empty for those to which nothing is.
func wiredNames(s *studio.Studio, m studio.Matrix) (outputs, inputs []string) {
	from, to := map[name.Point]name.Point{}, map[name.Point]name.Point{}
	for _, w := range s.Wires {
		from[w.To], to[w.From] = w.From, w.To
	}
	called := func(p name.Point) string {
		for _, g := range s.Gear {
			if g.Name != p.Owner {
				continue
			}
			for _, port := range g.Ports {
				if port.Point == p && cmp.Or(port.Short, port.Label) != "" {
					return cmp.Or(port.Short, port.Label)
				}
			}
			return cmp.Or(g.Short, g.Label, g.Name) + " " + p.Port()
		}
		if p.IsZero() {
			return ""
		}
		return p.String()
	}
	for n := 1; n <= m.Outputs; n++ {
		outputs = append(outputs, called(to[m.Out(n)]))
	}
	for n := 1; n <= m.Inputs; n++ {
		inputs = append(inputs, called(from[m.In(n)]))
	}
	return outputs, inputs
}
