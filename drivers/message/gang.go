package message

import (
	"fmt"
	"slices"

	"bayhand/model/device"
)

// Gang is the gang of outputs that moves with an output, and its place there from 0;
// nil for one that moves alone.
func (c *Codec) Gang(output int) (gang []int, place int) {
	return c.description.Gangs.Gang(output, c.outputs)
}

// Lead is the crosspoint of the first output of its gang that moves with a crosspoint;
// false where that would be an input which the matrix has not. Off stays off.
func (c *Codec) Lead(x Crosspoint) (Crosspoint, bool) {
	gang, place := c.Gang(x.Output)
	if gang == nil {
		return x, true
	}
	lead := Crosspoint{Output: gang[0], Input: max(0, x.Input-place)}
	fits := x.Input == 0 || x.Input > place && lead.Input+len(gang)-1 <= c.inputs
	return lead, fits && (!countsGangs(c) || lead.Input == 0 || (lead.Input-1)%c.description.Gangs.Of == 0)
}

// example is a crosspoint that the messages can name, near one that may be in the
// middle of a gang.
func (c *Codec) example(x Crosspoint) Crosspoint {
	gang, _ := c.Gang(x.Output)
	if gang == nil {
		return x
	}
	x.Output = gang[0]
	if of := c.description.Gangs.Of; countsGangs(c) && x.Input > 0 {
		x.Input = (x.Input-1)/of*of + 1
	}
	return x
}

// countedInGangs is an output or an input counted in gangs, off being 0.
func countedInGangs(c *Codec, f device.Field, n int) (int, error) {
	of := c.description.Gangs.Of
	if !f.Gang || n == 0 {
		return n, nil
	}
	if (n-1)%of != 0 {
		return 0, fmt.Errorf("it is in the middle of a gang of %d", of)
	}
	return (n-1)/of + 1, nil
}

// members are what a crosspoint means that is counted in gangs: one of each output of
// the gang, all of them off where the first is.
func (c *Codec) members(x Crosspoint) []Crosspoint {
	gang, _ := c.Gang(x.Output)
	if gang == nil {
		return []Crosspoint{x}
	}
	all := make([]Crosspoint, len(gang))
	for k, output := range gang {
		all[k] = Crosspoint{Output: output}
		if x.Input != 0 {
			all[k].Input = x.Input + k
		}
	}
	return all
}

// widened are crosspoints with those that a message means beside them, where its
// messages count in gangs.
func (c *Codec) widened(list []Crosspoint) []Crosspoint {
	if !countsGangs(c) {
		return list
	}
	var all []Crosspoint
	for _, x := range list {
		if _, place := c.Gang(x.Output); place == 0 {
			all = append(all, c.members(x)...)
			continue
		}
		all = append(all, x)
	}
	slices.SortFunc(all, Crosspoint.Compare)
	return slices.Compact(all)
}

// leads are the crosspoints that a message names of some that it means.
func (c *Codec) leads(list []Crosspoint) []Crosspoint {
	var all []Crosspoint
	for _, x := range list {
		if lead, fits := c.Lead(x); fits && countsGangs(c) {
			x = lead
		}
		if !slices.Contains(all, x) {
			all = append(all, x)
		}
	}
	return all
}

// countsGangs says whether the messages of the device count in gangs.
func countsGangs(c *Codec) bool {
	return slices.ContainsFunc(c.description.Exchanges, func(e device.Exchange) bool {
		return inGangs(e.Send) || inGangs(e.Answer)
	})
}

// AsksGangs says whether the question of a role asks about a gang of outputs at once.
func (c *Codec) AsksGangs(role device.Role) bool {
	e, _ := c.description.Exchange(role)
	return inGangs(e.Send)
}

func inGangs(fields []device.Field) bool {
	return slices.ContainsFunc(fields, func(f device.Field) bool {
		return f.Gang || f.Over == device.EachGang && f.Kind == device.Each || inGangs(f.Of) || slices.ContainsFunc(f.Choices, inGangs)
	})
}

// checkGangs says whether the gangs fit a matrix of this size.
func (c checker) checkGangs() error {
	g := c.description.Gangs
	switch {
	case g.Of > 0 && c.outputs%g.Of != 0:
		return fmt.Errorf("its %d outputs are no whole number of gangs of %d", c.outputs, g.Of)
	case g.Of > 0 && countsGangs(c.Codec) && c.inputs%g.Of != 0:
		return fmt.Errorf("its %d inputs are no whole number of gangs of %d, in which its messages count", c.inputs, g.Of)
	}
	for _, gang := range g.Lists {
		for _, output := range gang {
			if output > c.outputs {
				return fmt.Errorf("its gang %v has output %d, and there are %d", gang, output, c.outputs)
			}
		}
	}
	return nil
}
