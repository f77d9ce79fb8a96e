package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// jacks are those that hold a plug.
type jacks map[name.Point]bool

func pluggedIn(p patch.Patch) jacks {
	taken := jacks{}
	for _, at := range p.Plugs() {
		taken[at] = true
	}
	return taken
}

// allow says whether the jacks that an action needs are free.
func (j jacks) allow(a *action) bool {
	return !slices.ContainsFunc(a.enters, func(p name.Point) bool { return j[p] })
}

func (j jacks) do(a *action)   { j.change(a.leaves, a.enters) }
func (j jacks) undo(a *action) { j.change(a.enters, a.leaves) }

func (j jacks) change(out, in []name.Point) {
	for _, p := range out {
		delete(j, p)
	}
	for _, p := range in {
		j[p] = true
	}
}
