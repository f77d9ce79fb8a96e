package order

import (
	"slices"
)

// together makes one unit of what outputs that are switched together do: none
// of them can be opened, or closed, without the others.
func (a *arranger) together(units []*unit) []*unit {
	for _, m := range a.room.Studio().Matrices {
		for _, group := range m.Stereo {
			for _, closes := range []bool{false, true} {
				in := func(u *unit) bool {
					if len(u.changes) == 0 {
						return false
					}
					c := u.changes[0]
					return slices.Contains(group, c.Output) && !c.Input.IsZero() == closes
				}
				units = joinAll(units, in)
			}
		}
	}
	return units
}

// joinAll makes one unit of those that are in, where the first of them stands.
func joinAll(units []*unit, in func(*unit) bool) []*unit {
	at := slices.IndexFunc(units, in)
	if at < 0 {
		return units
	}
	var one, rest []*unit
	for _, u := range units {
		if in(u) {
			one = append(one, u)
		} else {
			rest = append(rest, u)
		}
	}
	return slices.Insert(rest, at, join(one))
}
