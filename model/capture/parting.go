package capture

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Parting is what must go out of a patch for outputs to be joined no longer: as little as none
// of it can stay in. It is empty where what is soldered and normalled joins them. The room is
// in its session. It takes time linear in the room, and for what is in, in the nets that it is on.
func Parting(room *heard.Room, p patch.Patch, outputs []name.Point) patch.Patch {
	live := room.Live(p)
	split := pairs(heard.Contention{Drivers: outputs}, room.Hear(patch.Patch{}))
	joined := func() bool {
		return slices.ContainsFunc(split, func(two [2]name.Point) bool { return live.Contend(two[0], two[1]) })
	}
	var out []patch.Patch
	for _, item := range items(room, p) {
		if slices.ContainsFunc(ends(item), func(e name.Point) bool { return live.Joined(e, outputs[0]) }) {
			out = append(out, item)
		}
	}
	for _, item := range out {
		live.Change(item, patch.Patch{})
	}
	if joined() {
		return patch.Patch{}
	}
	var gone patch.Patch
	for _, item := range out {
		live.Change(patch.Patch{}, item)
		if joined() {
			live.Change(item, patch.Patch{})
			gone = with(gone, item)
		}
	}
	return gone
}
