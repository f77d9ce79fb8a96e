package demo

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bayhand/recall/serve"
)

// Options say how the demo is wished.
type Options struct {
	// Out is where it is shown.
	Out io.Writer
	// Stay leaves the room up until the context ends, for playing.
	Stay bool
	// Private is true where nobody else reads what is shown.
	Private bool
	// TCP has the simulated matrices listen on TCP ports, as they do on systems
	// without pseudo-terminals.
	TCP bool
}

var errStopped = errors.New("the demo was stopped before its end")

// Run shows everything, and takes it away again. The error is not nil when
// anything went otherwise than it should, ErrOtherwise among other reasons.
func Run(ctx context.Context, o Options) (err error) {
	began := time.Now()
	s, err := newStage(o)
	if err != nil {
		return err
	}
	defer func() {
		switch {
		case ctx.Err() == nil:
		case o.Stay:
			err = nil // that is how one leaves
		case err != nil:
			err = errStopped // whatever else failed, failed because of that
		}
		err = errors.Join(err, s.clear())
	}()
	if err := s.open(ctx); err != nil {
		return fmt.Errorf("the room did not open: %w", err)
	}
	if o.Stay {
		return s.stay(ctx, o.Private)
	}
	scenes := []func(context.Context) error{s.recallMix, s.plugMix, s.editMix, s.turnByHand, s.pullThePlug, s.listenToRoom}
	for _, scene := range scenes {
		if err := scene(ctx); err != nil {
			return err
		}
	}
	return s.summary(time.Since(began))
}

// open starts the simulators and the daemon, and tells what there is.
func (s *stage) open(ctx context.Context) error {
	s.say("The Heron Boathouse, a studio that was made up. Everything that follows runs on\n")
	s.say("this machine: each matrix is a simulator in a process of its own.\n\n")
	for at := range simulated {
		if err := s.simulate(ctx, at); err != nil {
			return err
		}
	}
	if err := s.keepRoom(ctx); err != nil {
		return err
	}
	room, err := serve.Find(ctx, s.path("state"))
	if err != nil {
		return err
	}
	s.room = room
	s.say("   files    %s\n", s.folder)
	for _, m := range simulated {
		s.say("   %-8s %s at %s\n", m.matrix, m.description, s.links[m.matrix])
	}
	s.say("   daemon   %s\n", s.page)
	return nil
}

// stay tells how to play, and waits for the end.
func (s *stage) stay(ctx context.Context, private bool) error {
	page, err := invited(ctx, s.room, s.page, "heron", private)
	if err != nil {
		return err
	}
	s.say("\nThe room stays up until Ctrl-C. In another terminal:\n\n")
	s.say("   alias heron='%s %s'\n", s.program[0], strings.Join(s.here(), " "))
	for _, command := range []string{"recall tern-mix-1", "cords", "done all", "trace interface/in1", "strip --now", "page"} {
		s.say("   heron %s\n", command)
	}
	s.say("\nThe page at the bay: %s\nThe files to change: %s\n", page, s.folder)
	if err := s.stayListening(ctx, private); err != nil {
		return err
	}
	select {
	case <-ctx.Done():
		return nil
	case <-s.children["daemon"].ended:
		return fmt.Errorf("the daemon ended: %s", s.children["daemon"].complaints.String())
	}
}

// invited is the address at which a page opens; where nobody else reads it, one that
// lets a browser in. The alias is how commands are said to this room.
func invited(ctx context.Context, room *serve.Client, page, alias string, private bool) (string, error) {
	if !private {
		return page, nil
	}
	i, err := room.Invite(ctx, serve.InviteRequest{Role: serve.Recall, Here: true})
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%s\n  lets one browser in; later it is: %s page", i.Address, alias), nil
}

func (s *stage) summary(took time.Duration) error {
	s.say("\n%d expectations met, %d not, in %.1f s. No process and no file is left.\n", s.met, len(s.failed), took.Seconds())
	if len(s.failed) > 0 {
		return fmt.Errorf("%w: %s", ErrOtherwise, strings.Join(s.failed, "; "))
	}
	s.say("To play in it: bayhand demo --keep. To have its files: bayhand demo --write DIR\n")
	return nil
}
