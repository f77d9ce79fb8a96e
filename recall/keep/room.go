package keep

import (
	"context"

	"bayhand/model/name"
)

// Room is what commands and pages ask of a keeper, in the same process or over
// the wire. Each call that changes something returns when no device is being
// switched any more on its account, with the status of then; what is left waits
// for a person. A call whose context ends returns early, and what it began goes
// on.
//
// A status is returned beside an error wherever there is one: with ErrNoAnswer,
// ErrRefused and ErrDiffers the recall stands and other matrices have gone on.
type Room interface {
	// Status is the room as it is held now.
	Status(ctx context.Context) (Status, error)
	// Recall makes the session what is intended. A session that cannot be given
	// moves nothing (ErrNotGiven, a *NotGivenError) unless it is asked for partly.
	// In a studio of several rooms, sessions in others are held on; where they
	// touch it is ErrConflict, and nothing moves either.
	Recall(ctx context.Context, session string, options RecallOptions) (Status, error)
	// Strip plans the way back to rest. Without now nothing changes, and the
	// status returned has that way as its Plan.
	Strip(ctx context.Context, now bool) (Status, error)
	// Undo makes what was intended before the last recall what is intended again,
	// by the patch that was meant then; undoing an undo brings back what it undid.
	// Before the first recall it is ErrConflict.
	Undo(ctx context.Context) (Status, error)
	// Tick says that steps were done, or were not.
	Tick(ctx context.Context, tick Tick) (Status, error)
	Bay
	// Events gives the present status and then each new one. A slow reader gets
	// the newest and misses those between. The channel is closed when the context
	// ends or the room is left.
	Events(ctx context.Context) (<-chan Status, error)
}

// Bay is what a person says of the bay without having been asked.
type Bay interface {
	// Plug says that a cord joins two jacks, or a lead a port and a jack; without
	// b it is a dummy in a.
	Plug(ctx context.Context, a, b name.Point) (Status, error)
	// Pull says that the cord, lead or dummy in a is out, with both its ends.
	Pull(ctx context.Context, a name.Point) (Status, error)
	// Move says that the plug in a is now in b; without b it hangs loose.
	Move(ctx context.Context, a, b name.Point) (Status, error)
	// Tag says that a jack is faulty, or that it is not any more.
	Tag(ctx context.Context, p name.Point, faulty bool) (Status, error)
}

// Tick names steps. With All it is every step of a person that can be done
// before a device has to be switched again.
type Tick struct {
	IDs []string `json:"ids"`
	All bool     `json:"all,omitempty"`
	// Not says that the steps were not done after all.
	Not bool `json:"not,omitempty"`
	// Still says, instead of naming steps, that the bay is as it is known.
	Still bool `json:"still,omitempty"`
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
	// touches.
	Instead bool `json:"instead,omitempty"`
}
