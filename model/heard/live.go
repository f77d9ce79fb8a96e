package heard

import (
	"bayhand/model/graph"
	"bayhand/model/patch"
)

// Live is a state that changes with the room: after one plug, pull or
// crosspoint only the nets that it touches, and those that they lead to, are
// computed again. It is for one user at a time.
type Live struct {
	*State
}

// Live makes a state that can be changed.
func (r *Room) Live(p patch.Patch) *Live { return &Live{State: r.Hear(p)} }

// Change takes out and puts in, as one change. What is taken out must be in,
// each cord with the same jacks either way round; what is not in is left
// alone. Points that the room does not have are left out. It takes time linear
// in the nets touched and those they lead to, whatever the size of the room.
func (l *Live) Change(out, in patch.Patch) {
	l.state.Change(l.room.graph.Contents(out), l.room.graph.Contents(in))
}

// Numbers is the same state by the numbers of the room's graph, for who asks it often. What
// changes the one changes the other.
func (l *Live) Numbers() *graph.State { return l.state }
