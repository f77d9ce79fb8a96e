package keep

import "slices"

// woken is the fact that the keeper began.
type woken struct{}

func (woken) happened(k *machine) {
	k.woke = k.at
	k.memory.Known.doubtAll(k.fact(Assumed))
	// Nobody knows what happened to a device that cannot be asked while no keeper ran.
	k.memory.disbelieve(k.fact(Assumed), nil, question{})
	if l := k.memory.Listening; l != nil {
		ends := *l
		ends.Ends = true // who listened did not outlive the keeper
		k.memory.Listening = &ends
	}
}

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
