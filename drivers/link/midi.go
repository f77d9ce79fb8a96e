package link

import (
	"errors"
	"net"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"

	"bayhand/drivers/ports"
	"bayhand/drivers/wire"
)

// midiBaud is the rate of a MIDI line (MIDI 1.0).
const midiBaud = 31250

// openMIDI opens a MIDI port by the name that the machine gives it, both ways.
func openMIDI(a Address) (Link, error) {
	in, err := ports.In(a.Path)
	if err != nil {
		return nil, err
	}
	out, err := ports.Out(a.Path)
	if err != nil {
		return nil, err
	}
	return overPorts(a.String(), in, out)
}

// overPorts is a link over a port to hear and one to send to.
func overPorts(address string, in drivers.In, out drivers.Out) (Link, error) {
	if err := out.Open(); err != nil {
		return nil, err
	}
	if err := in.Open(); err != nil {
		return nil, errors.Join(err, out.Close())
	}
	// What is heard goes through a pipe, which has deadlines.
	near, far := net.Pipe()
	stop, err := in.Listen(func(message []byte, _ int32) {
		_, _ = far.Write(message) // it fails when the link is closed
	}, drivers.ListenConfig{
		SysEx: true, SysExBufferSize: wire.MaxExclusive + 2,
		OnErr: func(error) { far.Close() },
	})
	if err != nil {
		return nil, errors.Join(err, in.Close(), out.Close())
	}
	sent := &portOut{out: out, framer: wire.NewFramer()}
	after := func() error {
		far.Close()
		stop()
		return errors.Join(in.Close(), out.Close())
	}
	return &stream{address: address, in: near, out: sent, after: after, baud: midiBaud}, nil
}

// portOut is a port to send to as the end of a stream: bytes become messages.
// Only one goroutine writes.
type portOut struct {
	end
	out    drivers.Out
	framer *wire.Framer
}

// Write sends the messages that end in p. Real-time bytes are left out.
func (o *portOut) Write(p []byte) (int, error) {
	messages, err := o.framer.Feed(p)
	if err != nil {
		return 0, err
	}
	for _, message := range messages {
		if err := o.out.Send(message); err != nil {
			return 0, err
		}
	}
	return len(p), nil
}

// SetWriteDeadline holds where the port has deadlines; those of the operating
// system do not wait.
func (o *portOut) SetWriteDeadline(t time.Time) error {
	if bounded, ok := o.out.(interface{ SetWriteDeadline(time.Time) error }); ok {
		return bounded.SetWriteDeadline(t)
	}
	return nil
}

// Close leaves the port to the link, which closes both ways at once.
func (o *portOut) Close() error { return nil }
