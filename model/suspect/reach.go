package suspect

import (
	"slices"

	"bayhand/model/name"
)

// Reach is an output that comes to an input.
type Reach struct {
	Output, Input name.Point
	// By is the mistake with which it does; nil where it does as told.
	By *Mistake
}

// Reaches are the outputs that come to any input of the scene, as told or with
// any one mistake at a bay or a matrix: each output once, those as told first.
// What is told never proves that a loudspeaker is safe, since the patch is what is
// in doubt. It errs to the safe side: a jack that holds a plug counts as one that a
// cord could be in. What a desk might let through counts where the setup has it
// inside. Wires at the rear are taken to be as told. It takes time linear in the
// jacks, in the nets behind each, and in the mistakes.
func (c *Scene) Reaches() []Reach {
	r := &reaching{scene: c, have: map[int]bool{}}
	for at, class := range c.base {
		if class != Absent {
			r.note(at%len(c.Outputs), c.Inputs[at/len(c.Outputs)], nil)
		}
	}
	for _, bay := range c.Room.Studio().Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			r.jacks = append(r.jacks, bay.TopJack(n), bay.BottomJack(n))
		}
	}
	r.across(ExtraCord, r.jacks, r.jacks)
	for _, m := range c.Room.Studio().Matrices {
		var ins, outs []name.Point
		for n := 1; n <= m.Inputs; n++ {
			ins = append(ins, m.In(n))
		}
		for n := 1; n <= m.Outputs; n++ {
			outs = append(outs, m.Out(n))
		}
		r.across(CrosspointOther, ins, outs)
	}
	for _, m := range append(c.normals(), c.dummies()...) {
		for at, class := range c.with(m.out, m.in) {
			if class != Absent {
				r.note(at%len(c.Outputs), c.Inputs[at/len(c.Outputs)], &m)
			}
		}
	}
	return r.found
}

// reaching collects them.
type reaching struct {
	scene *Scene
	jacks []name.Point
	have  map[int]bool // outputs that are found already
	found []Reach
}

func (r *reaching) note(output int, input name.Point, by *Mistake) {
	if !r.have[output] {
		r.have[output] = true
		r.found = append(r.found, Reach{r.scene.Outputs[output], input, by})
	}
}

// across finds the outputs that are heard at one of some points while another
// leads to an input: one cord, or one crosspoint, joins both.
func (r *reaching) across(code Code, heardAt, leading []name.Point) {
	at, input, any := r.leads(leading)
	if !any {
		return
	}
	c := r.scene
	for _, p := range heardAt {
		for _, source := range c.live.Origins(p, c.sure) {
			if o := slices.Index(c.Outputs, source); o >= 0 && !r.have[o] {
				m := mistake(code, p, at)
				if code == CrosspointOther {
					m.At = []name.Point{at, p, p}
				}
				r.note(o, input, &m)
			}
		}
	}
}

// leads is the first point that leads to an input of the scene.
func (r *reaching) leads(points []name.Point) (at, input name.Point, any bool) {
	c := r.scene
	for _, p := range points {
		for _, in := range c.live.Onward(p, c.sure) {
			if slices.Contains(c.Inputs, in) {
				return p, in, true
			}
		}
	}
	return at, input, false
}
