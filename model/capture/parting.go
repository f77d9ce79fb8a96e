package capture

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// Parting is what must go out of a patch for outputs to be joined no longer: as little as none
// of it can stay in, and of a chain the part that came last, by an order of parts (nil takes
// them as they stand). It is empty where what is soldered and normalled joins them. The room is
// in its session. It takes time linear in the room, and for what is in, in the nets that it is on.
func Parting(room *heard.Room, p patch.Patch, outputs []name.Point, came func(a, b patch.Patch) int) patch.Patch {
	split := pairs(heard.Contention{Drivers: outputs}, room.Hear(patch.Patch{}))
	return least(room, p, outputs[:1], came, func(live *heard.Live) bool {
		return slices.ContainsFunc(split, func(two [2]name.Point) bool { return live.Contend(two[0], two[1]) })
	})
}

// Opening is what must go out of a patch for a signal not to go round through some ports: as
// Parting, of a loop that a session does not allow.
func Opening(room *heard.Room, in *session.Session, p patch.Patch, through []name.Point, came func(a, b patch.Patch) int) patch.Patch {
	return least(room, p, through, came, func(live *heard.Live) bool {
		return slices.ContainsFunc(live.Loops(in.Inside, in.Loops), func(l heard.Loop) bool {
			return slices.ContainsFunc(l.Through, func(q name.Point) bool { return slices.Contains(through, q) })
		})
	})
}

// least is what of the parts on the nets of some points must go for a harm to end; empty where
// it does not end without all of them.
func least(room *heard.Room, p patch.Patch, at []name.Point, came func(a, b patch.Patch) int, harm func(*heard.Live) bool) patch.Patch {
	live := room.Live(p)
	var out []patch.Patch
	for _, item := range items(room, p) {
		if slices.ContainsFunc(ends(item), func(e name.Point) bool {
			return slices.ContainsFunc(at, func(q name.Point) bool { return live.Joined(e, q) })
		}) {
			out = append(out, item)
		}
	}
	if came != nil {
		slices.SortStableFunc(out, came)
	}
	for _, item := range out {
		live.Change(item, patch.Patch{})
	}
	if harm(live) {
		return patch.Patch{}
	}
	var gone patch.Patch
	for _, item := range out {
		live.Change(patch.Patch{}, item)
		if harm(live) {
			live.Change(item, patch.Patch{})
			gone = with(gone, item)
		}
	}
	return gone
}
