package listen

import (
	"slices"

	"bayhand/model/patch"
)

// Follow takes in what was found before: where the room is told to be now as the listening
// plug of a finding asked for, only those of its causes are left in Followed that give
// what was read with the plug as well.
func (v *Answer) Follow(before *Answer) {
	if before == nil || before.Plan.Room.Studio().Name != v.Plan.Room.Studio().Name {
		return
	}
	same := slices.Equal(before.Scene.Outputs, v.Scene.Outputs) && slices.Equal(before.Scene.Inputs, v.Scene.Inputs)
	for _, f := range before.Found.Findings {
		if p, ok := before.Scene.Probe(f); ok && same && alike(p.Patch(), v.Scene.Patch) {
			v.Followed = append(v.Followed, p.Narrow(f, v.Paths))
		}
	}
}

// alike says whether the same is plugged and switched in two patches.
func alike(p, q patch.Patch) bool {
	has := func(all []patch.Cord, c patch.Cord) bool { return slices.ContainsFunc(all, c.Same) }
	for _, c := range p.Cords {
		if !has(q.Cords, c) {
			return false
		}
	}
	p, q = p.Clone(), q.Clone()
	p.Sort()
	q.Sort()
	return len(p.Cords) == len(q.Cords) && slices.Equal(p.Leads, q.Leads) && slices.Equal(p.Dummies, q.Dummies) && slices.Equal(p.Crosspoints, q.Crosspoints)
}
