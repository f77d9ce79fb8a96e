package keep

import "slices"

// doubtAll takes back what devices were read to hold: it is not known any more
// after a time in which nobody kept the room. What was sent to them and what a
// person said stays as it was.
func (k *Known) doubtAll(fact Fact) {
	k.Crosspoints = slices.Clone(k.Crosspoints)
	for i, c := range k.Crosspoints {
		if c.How == Read {
			k.Crosspoints[i].Fact = fact
		}
	}
}
