package remote

import (
	"context"
	"fmt"

	"bayhand/drivers/program"
	"bayhand/model/studio"
)

// control is the port that is to be listened to now, if there is one.
func (r *Remote) control() *studio.Control {
	var said *studio.Control
	if s := r.config.Files.Studio(); s != nil {
		said = s.Control
	}
	if r.config.At == "" {
		return said
	}
	at := studio.Control{Port: r.config.At}
	if said != nil {
		at.Channel = said.Channel
	}
	return &at
}

// listen listens to the control port, also after it was pulled and put back, and
// after the studio's file names another.
func (r *Remote) listen(ctx context.Context) {
	control := r.control()
	for ctx.Err() == nil {
		if control == nil {
			r.trouble(controlTrouble, "", "")
			control = r.changed(ctx, nil)
			continue
		}
		control = r.listenTo(ctx, *control)
	}
}

const controlTrouble = "control"

// changed waits until another port is to be listened to; the same one where the
// context ends first.
func (r *Remote) changed(ctx context.Context, now *studio.Control) *studio.Control {
	for {
		select {
		case <-r.looks:
		case <-ctx.Done():
			return now
		}
		if next := r.control(); !same(now, next) {
			return next
		}
	}
}

func same(a, b *studio.Control) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

// listenTo listens to a port until another one is to be listened to, which it
// returns. A port that cannot be opened, or was pulled, is tried again by and by.
func (r *Remote) listenTo(ctx context.Context, control studio.Control) *studio.Control {
	r.mu.Lock()
	r.channel = control.Channel
	r.mu.Unlock()
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		r.keepListening(ctx, control)
	}()
	next := r.changed(ctx, &control)
	stop()
	<-ended
	return next
}

func (r *Remote) keepListening(ctx context.Context, control studio.Control) {
	for ctx.Err() == nil {
		err := r.config.Ports.Hear(ctx, control.Port, func() {
			r.trouble(controlTrouble, "", "")
			r.config.Say(fmt.Sprintf("the control port is %s, %s", control.Port, channels(control.Channel)))
		}, r.hear)
		if ctx.Err() != nil {
			return
		}
		if err != nil {
			r.trouble(controlTrouble, "control-port", fmt.Sprintf("control port %s: %v. Retrying", control.Port, err))
		}
		r.wait(ctx, retry)
	}
}

func channels(n int) string {
	if n == 0 {
		return "all channels"
	}
	return fmt.Sprintf("channel %d", n)
}

// hear takes what comes at the port. It never waits: the newest request takes the
// place of one that nobody has begun with, as when a hand steps through programs.
func (r *Remote) hear(p program.Program) {
	if !r.meant(p) {
		return
	}
	select {
	case <-r.requests:
	default:
	}
	r.requests <- p // only the port's goroutine puts one in
}

// meant says whether a Program Change is a request at all.
func (r *Remote) meant(p program.Program) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.channel != 0 && p.Channel != r.channel {
		return false
	}
	if r.echoes.has(p, r.config.Clock.Now()) {
		r.config.Say(fmt.Sprintf("%v came back as it was sent; it is no request", p))
		return false
	}
	return true
}
