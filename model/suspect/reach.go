package suspect

import "bayhand/model/name"

// Reach is an output that comes to an input.
type Reach struct {
	Output, Input name.Point
	// By is the mistake with which it does; nil where it does as told.
	By *Mistake
}

// Reaches are the outputs that come to any input of the scene, as told or with
// any one mistake: each output once, those as told first. What is told never
// proves that a loudspeaker is safe, since the patch is what is in doubt. What a
// desk might let through counts where the setup has it inside.
func (c *Scene) Reaches() []Reach {
	var found []Reach
	have := map[int]bool{}
	note := func(at int, by *Mistake) {
		if o := at % len(c.Outputs); !have[o] {
			have[o] = true
			found = append(found, Reach{c.Outputs[o], c.Inputs[at/len(c.Outputs)], by})
		}
	}
	for at, class := range c.base {
		if class != Absent {
			note(at, nil)
		}
	}
	all := c.suspicions()
	for i := range all {
		for _, d := range all[i].changes {
			if d.class != Absent {
				note(d.at, &all[i].Mistake)
			}
		}
	}
	return found
}
