package heard

import (
	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// State is a room with one patch in it. It is safe for concurrent use as long
// as nobody changes it; only a Live changes its own.
type State struct {
	room  *Room
	state *graph.State
}

// Hear computes every net of a patch and what is heard on it. Points that the
// room does not have are left out (see Unknown). It takes time linear in the
// size of the room, and in what is heard behind matrices.
func (r *Room) Hear(p patch.Patch) *State {
	return &State{room: r, state: r.graph.Hear(r.graph.Contents(p))}
}

// Unknown lists the points of a patch that the room does not have, such as
// after a bay was taken out of the studio's file.
func (r *Room) Unknown(p patch.Patch) []name.Point { return r.graph.Unknown(p) }

// Contended says in constant time whether any two outputs are joined.
func (s *State) Contended() bool { return s.state.Contended() }

// netOf is the net of a point.
func (s *State) netOf(point int) int { return s.state.NetOf(s.room.graph.Node[point]) }
