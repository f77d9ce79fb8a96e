package program

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"

	"bayhand/drivers/link"
	"bayhand/drivers/ports"
	"bayhand/model/device"
)

// ErrGone is a port whose device is no longer there.
var ErrGone = ports.ErrGone

// address is what a studio's file calls a port.
func address(port string) (link.Address, error) {
	for _, kind := range []device.Link{device.MIDILink, device.RawMIDILink} {
		if strings.HasPrefix(port, kind.String()+":") {
			return link.Parse(port)
		}
	}
	return link.Parse(device.MIDILink.String() + ":" + port)
}

func portIn(port string) (drivers.In, error) {
	a, err := address(port)
	if err != nil {
		return nil, err
	}
	if a.Kind == device.RawMIDILink {
		return ports.RawIn(a.Path), nil
	}
	return ports.In(a.Path)
}

func portOut(port string) (drivers.Out, error) {
	a, err := address(port)
	if err != nil {
		return nil, err
	}
	switch {
	case a.Kind == device.RawMIDILink && a.WritePath != "":
		return ports.RawOut(a.WritePath), nil
	case a.Kind == device.RawMIDILink:
		return ports.RawOut(a.Path), nil
	}
	return ports.Out(a.Path)
}

// Check says why a port cannot be one; it opens nothing.
func Check(port string) error {
	_, err := address(port)
	return err
}

// Hear calls heard for each Program Change that comes, one at a time, until the
// context ends; then it returns nil. It calls ready once the port is listened to.
// Nothing is ever sent to the port. A port that is pulled is ErrGone.
func Hear(ctx context.Context, port string, ready func(), heard func(Program)) error {
	in, err := portIn(port)
	if err != nil {
		return err
	}
	if err := in.Open(); err != nil {
		return err
	}
	gone := make(chan error, 1)
	var selected banks
	stop, err := in.Listen(func(message []byte, _ int32) {
		if p, ok := selected.take(message); ok {
			heard(p)
		}
	}, drivers.ListenConfig{OnErr: func(err error) {
		select {
		case gone <- err:
		default: // it is told already
		}
	}})
	if err != nil {
		return errors.Join(err, in.Close())
	}
	ready()
	var ended error
	select {
	case <-ctx.Done():
	case ended = <-gone:
	}
	stop()
	return errors.Join(ended, in.Close())
}

// patience is how long the operating system may take for a message that goes out.
const patience = 2 * time.Second

// Send sends a program to a port.
func Send(port string, p Program) error {
	if err := p.check(); err != nil {
		return err
	}
	out, err := portOut(port)
	if err != nil {
		return err
	}
	if err := out.Open(); err != nil {
		return err
	}
	return errors.Join(send(out, p), out.Close())
}

func send(out drivers.Out, p Program) error {
	if bounded, ok := out.(interface{ SetWriteDeadline(time.Time) error }); ok {
		if err := bounded.SetWriteDeadline(time.Now().Add(patience)); err != nil {
			return err
		}
	}
	for _, message := range p.Messages() {
		if err := out.Send(message); err != nil {
			return fmt.Errorf("%v: %w", p, err)
		}
	}
	return nil
}
