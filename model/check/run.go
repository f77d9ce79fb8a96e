package check

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// run is one wire or tie with what is known of its cable; its source's end is a.
type run struct {
	a, b name.Point
	run  studio.Run
	key  string
}

// runs are all wires and ties, in the order of the file.
func (v *view) runs() []run {
	var all []run
	for _, w := range v.studio.Wires {
		all = append(all, run{w.From, w.To, w.Run, orElse(w.Key, "wiring")})
	}
	for _, t := range v.studio.Ties {
		all = append(all, run{t.A, t.B, t.Run, orElse(t.Key, "ties")})
	}
	return all
}

// joined says at which of its ends the shield of a run is joined; both where
// nothing is said.
func (r run) joined() (atA, atB bool) {
	switch r.run.Shield {
	case studio.ShieldSource:
		return true, false
	case studio.ShieldDestination:
		return false, true
	case studio.ShieldUnsaid, studio.ShieldBoth:
	}
	return true, true
}
