package keep

import "context"

// Room is what commands and pages ask of a keeper, in the same process or over
// the wire.
type Room interface {
	// Status is the room as it is held now.
	Status(ctx context.Context) (Status, error)
	// Act does what somebody asks of the room, or takes what somebody says of it.
	// It returns when no device is being switched any more on its account; what is
	// left waits for a person. What devices did not do is Unfinished in the answer.
	//
	// An error means that the act was not taken and nothing was changed; the answer
	// beside it has no more than the status, where there is one. A call whose context
	// ends returns early with the context's error, and what it began goes on.
	//
	// A session that cannot be given is ErrNotGiven (a *NotGivenError). In a studio
	// of several rooms, sessions in others are held on; where they touch it is
	// ErrConflict. So is an undo before the first recall.
	Act(ctx context.Context, act Act) (Answer, error)
	// Events gives the present status and then each new one. A slow reader gets
	// the newest and misses those between. The channel is closed when the context
	// ends or the room is left.
	Events(ctx context.Context) (<-chan Status, error)
}

// RecallOptions shape a recall.
type RecallOptions struct {
	// Prefer is same, plain or fewest; empty means same.
	Prefer string `json:"prefer,omitempty"`
	// Partly carries out what can be had of a session that cannot be given.
	Partly bool `json:"partly,omitempty"`
	// LeaveCords leaves cords in that the session does not need.
	LeaveCords bool `json:"leave-cords,omitempty"`
	// Inside says that the software or desk has been changed over already, so
	// that loops are judged with the new session's inside only.
	Inside bool `json:"inside,omitempty"`
	// Room is the one that rest brings to rest; empty for all.
	Room string `json:"room,omitempty"`
	// Instead takes the place of sessions that are held in rooms which this one
	// touches, and of those that have what it lacks.
	Instead bool `json:"instead,omitempty"`
	// Effort bounds the search for each of its plans, in millions of steps; 0 is
	// plan.DefaultEffort.
	Effort int64 `json:"effort,omitempty"`
}
