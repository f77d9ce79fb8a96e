package web

import (
	"context"
	"time"
)

// Doors let screens in and out again. The server hands them to the page with each
// request of somebody who may do that, and with no other.
type Doors interface {
	// Invite makes an invitation for a role, look, tick or recall, in somebody's name.
	Invite(role, who string) (Invitation, error)
	// Open are the invitations that nobody has used yet.
	Open() []Invitation
	// Screens are those that are let in, the newest first.
	Screens() []Screen
	// LetOut lets a screen out at once.
	LetOut(id string) error
	// Closed says why no other machine can come in; empty where one can.
	Closed() string
}

// Invitation lets one screen in, once.
type Invitation struct {
	Code, Role, Who, Address string
	Until                    time.Time
}

// Screen is a browser that was let in.
type Screen struct {
	ID, Role, Who string
	Since, Seen   time.Time
	// Here is true for the screen that asks.
	Here bool
}

type doorsKey struct{}

// WithDoors is a context that carries them.
func WithDoors(ctx context.Context, d Doors) context.Context {
	return context.WithValue(ctx, doorsKey{}, d)
}

// DoorsOf are those of a request; nil where who asks may open none.
func DoorsOf(ctx context.Context) Doors {
	d, _ := ctx.Value(doorsKey{}).(Doors)
	return d
}
