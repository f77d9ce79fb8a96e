package line

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"strconv"
	"strings"
	"time"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// Serve is a simulated device on a link until ctx ends; then it returns nil,
// having removed what it made. Before it serves it calls ready, if not nil,
// with the link as others can open it, such as tcp:127.0.0.1:40213.
//
// One conversation is held at a time: a second TCP client waits until the first
// has gone. A pseudo terminal outlives those who open and close it.
func Serve(ctx context.Context, o Options, ready func(where string)) error {
	s, err := newServer(o)
	if err != nil {
		return err
	}
	if ready == nil {
		ready = func(string) {}
	}
	if err := CheckListen(o); err != nil {
		return err
	}
	switch kind, address, _ := strings.Cut(o.Listen, ":"); kind {
	case "tcp":
		s.hangsUp = true
		err = s.serveTCP(ctx, kind, address, ready, func(c io.ReadWriteCloser) io.ReadWriteCloser { return c })
	case "rfc2217":
		err = s.serveTCP(ctx, kind, address, ready, func(c io.ReadWriteCloser) io.ReadWriteCloser {
			return newNetSerial(c, o.Description, s.log)
		})
	default:
		err = s.servePTY(ctx, kind, address, ready)
	}
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// CheckListen says why a device cannot listen where its options say. It tries
// nothing.
func CheckListen(o Options) error {
	kind, address, _ := strings.Cut(o.Listen, ":")
	switch kind {
	case "tcp", "rfc2217":
		_, port, err := net.SplitHostPort(address)
		if n, portErr := strconv.Atoi(port); err != nil || portErr != nil || n < 0 || n > 65535 {
			return fmt.Errorf("%s:%s is no place to listen; write %s:HOST:PORT, with port 0 for any that is free", kind, address, kind)
		}
	case "pty", "rawmidi":
		if address == "" {
			return fmt.Errorf("%q has no path; write %s", o.Listen, places)
		}
		if kind == "rawmidi" && o.Description.Frame.Kind != device.MIDIMessages {
			return fmt.Errorf("%s does not speak MIDI; let it listen on pty:PATH, tcp:HOST:PORT or rfc2217:HOST:PORT", o.Description.Name)
		}
	default:
		return fmt.Errorf("%q is no place to listen; write %s", o.Listen, places)
	}
	return nil
}

// Talk is a simulated device on a stream that is open already, until ctx or the
// stream ends, or the other end goes. It closes the stream.
func Talk(ctx context.Context, o Options, stream io.ReadWriteCloser) error {
	s, err := newServer(o)
	if err != nil {
		return err
	}
	err = s.converse(ctx, stream)
	if ctx.Err() != nil || errors.Is(err, errLeft) {
		return nil
	}
	return err
}

const places = "pty:PATH, rawmidi:PATH, tcp:HOST:PORT or rfc2217:HOST:PORT"

// server is one device while it is served. One goroutine owns it.
type server struct {
	player  player
	matrix  *matrix.Matrix
	faults  matrix.Faults
	log     *slog.Logger
	traffic func(Traffic)
	after   func(time.Duration) <-chan time.Time
	// echo is true for a device that sends back what it receives.
	echo bool

	// received counts bytes and answers counts answers, for the faults.
	received, answers int
	restarted         bool
	// hangsUp is true on a link that a restart of the device cuts off.
	hangsUp bool
	// seen is the number of the last event that was looked at.
	seen int
}

func newServer(o Options) (*server, error) {
	if o.Description == nil {
		return nil, errors.New("no device description was given")
	}
	m := o.Matrix
	if m == nil {
		var err error
		if m, err = NewMatrix(o); err != nil {
			return nil, err
		}
	}
	p, err := newPlayer(o, m)
	if err != nil {
		return nil, err
	}
	s := &server{player: p, matrix: m, faults: o.Faults, log: o.Log, traffic: o.Traffic, after: o.After, echo: o.Description.Echo}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if s.traffic == nil {
		s.traffic = func(Traffic) {}
	}
	if s.after == nil {
		s.after = time.After
	}
	return s, nil
}
