package web

import (
	"context"
	"errors"
)

// ErrFull means that no further stream is let open.
var ErrFull = errors.New("there are too many streams already; end one of them")

// Gate is a server's hold on the streams of whoever asks.
type Gate interface {
	// Open counts one stream more, and gives the way to close it; false where there
	// are enough.
	Open() (done func(), ok bool)
	// Stays says whether who asked may still be told anything.
	Stays() bool
}

type gateKey struct{}

// Gated makes the streams of a request's context go through a gate.
func Gated(ctx context.Context, g Gate) context.Context {
	return context.WithValue(ctx, gateKey{}, g)
}

// openGate is the gate of a context; one that is always open where there is none.
func openGate(ctx context.Context) (stays func() bool, done func(), err error) {
	g, ok := ctx.Value(gateKey{}).(Gate)
	if !ok {
		return func() bool { return true }, func() {}, nil
	}
	if done, ok = g.Open(); !ok {
		return nil, nil, ErrFull
	}
	return g.Stays, done, nil
}
