package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// heard takes in that a cord was found with test sound where it is known to be, or
// was not, and then is no more than told. What is not known there cannot be measured: it was listened to with another
// patch than the one that is known now.
func (k *machine) heard(a, b name.Point, how How) error {
	m := k.memory
	at := slices.IndexFunc(m.Known.Cords, func(c KnownCord) bool { return c.Same(patch.Cord{A: a, B: b}) })
	if at < 0 {
		return tell(ErrConflict, "no cord is known to be in %s and %s; listen again with the patch that is known now", a, b)
	}
	m.Known = m.Known.clone()
	m.Known.Cords[at].Fact = k.fact(how)
	m.BayTold = true
	text := "heard with test sound: "
	if how != Measured {
		text = "not heard as it should be with test sound: "
	}
	return k.told(m, "", Event{Kind: PersonDid, Text: text + joined(m.Known.Cords[at].Ends())})
}
