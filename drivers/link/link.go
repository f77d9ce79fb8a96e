// Package link opens the lines on which devices hang.
//
// An address says which: serial:/dev/ttyUSB0?baud=9600, tcp:host:port,
// rfc2217:host:port?baud=9600, midi:PORT NAME, rawmidi:/dev/snd/midiC1D0,
// pty:PATH. A link is a stream of bytes both ways,
// with deadlines; the kinds differ only in how they are opened. One goroutine
// owns a link: it may have another one read, and no more.
//
// Opening never hangs: every kind is opened without waiting for the far end,
// and the context and Options.Timeout bound what is left. Close ends a blocked
// Read. A device that was pulled out ends both ways with ErrGone.
//
// The package moves bytes and knows nothing of what they mean: no messages, no
// answers, no retries.
package link

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"bayhand/drivers/ports"
	"bayhand/model/device"
)

// ErrGone is a link whose other end went away: the cable was pulled, the
// device lost its power, the peer closed. The link has to be opened anew.
var ErrGone = errors.New("the link is gone")

// ErrNotHere is a kind of link that this build or this machine cannot open.
var ErrNotHere = ports.ErrNotHere

// Link is an open line to a device.
//
// Read waits for at least one byte. Both ways end with os.ErrDeadlineExceeded
// after their deadline, with os.ErrClosed after Close, and with ErrGone when
// the other end is no longer there. A Write that ran into its deadline may
// have sent a part.
type Link interface {
	io.ReadWriteCloser
	// SetReadDeadline and SetWriteDeadline bound the calls that come after,
	// and for all kinds but serial also one that waits now; the zero time
	// means no bound.
	SetReadDeadline(time.Time) error
	SetWriteDeadline(time.Time) error
	// Links with a line of a known rate have a method Baud too.
	// String is the address.
	String() string
}

// Options say what an address leaves open.
type Options struct {
	// Serial is the framing that the device expects; the address overrides it.
	Serial device.Serial
	// Kinds are the links that the device can hang on; empty for any.
	Kinds []device.Link
	// Timeout is the longest time that opening may take; 0 for 5 seconds.
	Timeout time.Duration
	// Root is the folder below which the machine says what is plugged in; empty for
	// the machine's own.
	Root string
}

const usualTimeout = 5 * time.Second

// Open opens the link at an address. The error names the address, and says
// what to do where that is known.
func Open(ctx context.Context, address string, o Options) (Link, error) {
	a, err := Parse(address)
	if err != nil {
		return nil, err
	}
	if err := allowed(a, o.Kinds); err != nil {
		return nil, err
	}
	timeout := o.Timeout
	if timeout <= 0 {
		timeout = usualTimeout
	}
	ctx, cancel := context.WithTimeout(ctx, timeout)
	defer cancel()
	opened, err := open(ctx, a, o)
	if err != nil {
		return nil, fmt.Errorf("can't open %s: %w", address, err)
	}
	return opened, nil
}

func open(ctx context.Context, a Address, o Options) (Link, error) {
	switch a.Kind {
	case device.SerialLink:
		return openSerial(ctx, a, o)
	case device.TCPLink:
		return openTCP(ctx, a)
	case device.RawMIDILink:
		return openRawMIDI(a)
	case device.PTYLink:
		return openPTY(a)
	case device.RFC2217Link:
		return openRFC2217(ctx, a, o.Serial)
	case device.MIDILink:
		return openMIDI(a)
	case device.LinkUnknown:
	}
	return nil, fmt.Errorf("the kind of link %v is not known", a.Kind)
}

func allowed(a Address, kinds []device.Link) error {
	if len(kinds) == 0 {
		return nil
	}
	names := ""
	for i, kind := range kinds {
		// A pseudo-terminal stands for whichever kind it plays.
		if kind == a.Kind || a.Kind == device.PTYLink {
			return nil
		}
		if i > 0 {
			names += ", "
		}
		names += kind.String()
	}
	return fmt.Errorf("the device cannot be connected to %s (%s); it can to: %s", a.Kind, a, names)
}

// ended tells why an open link's Read or Write failed. There are three reasons
// only: a deadline, our own Close, and a device that is no longer there.
// Drivers of the operating system have many words for the last one: EIO, ENODEV,
// ENXIO, a broken pipe, a reset connection, an end of file.
func ended(address string, err error, closed bool) error {
	switch {
	case err == nil:
		return nil
	case closed || errors.Is(err, os.ErrClosed):
		return fmt.Errorf("%s: %w", address, os.ErrClosed)
	case errors.Is(err, os.ErrDeadlineExceeded):
		return fmt.Errorf("%s: %w", address, os.ErrDeadlineExceeded)
	}
	return fmt.Errorf("%s: %w (%w)", address, ErrGone, err)
}
