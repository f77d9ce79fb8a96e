package ports

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/sys/unix"
	"golang.org/x/time/rate"

	"bayhand/drivers/ports/sequencer"
)

// thisMachine reaches the ports by the kernel's sequencer, where it is there and
// this user may open it.
func thisMachine() (machine, bool) {
	client, err := sequencer.Open(clientName)
	if err != nil {
		return nil, false
	}
	return alsa{}, client.Close() == nil
}

// clientName is what other programs see at a port that bayhand has open.
const clientName = "bayhand"

// alsa is Linux.
type alsa struct{}

func (alsa) looksEvery() time.Duration { return 0 } // it tells

func (alsa) list() (ins, outs []endpoint, err error) {
	client, err := sequencer.Open(clientName)
	if err != nil {
		return nil, nil, Reason(err)
	}
	defer client.Close()
	all, err := client.Ports()
	for _, p := range all {
		f := endpoint{name: nameOf(p.Client, p.Name), id: p.Address.String(), number: uint64(p.Address.Client)<<8 | uint64(p.Address.Port)}
		if p.Heard {
			ins = append(ins, f)
		}
		if p.Sent {
			outs = append(outs, f)
		}
	}
	return ins, outs, err
}

// nameOf is what a person calls a port: its name, with that of its client before
// it where it does not begin so. Numbers are left out, which change when a device
// is plugged elsewhere.
func nameOf(client, port string) string {
	switch {
	case strings.HasPrefix(port, client):
		return cmp.Or(port, "no name")
	case port == "":
		return client
	}
	return client + " " + port
}

func addressOf(f endpoint) sequencer.Address {
	return sequencer.Address{Client: byte(f.number >> 8), Port: byte(f.number)}
}

func (alsa) openIn(f endpoint, r *receiver) (io.Closer, error) {
	client, err := sequencer.Open(clientName)
	if err != nil {
		return nil, Reason(err)
	}
	if err := client.HearFrom(addressOf(f)); err != nil {
		return nil, errors.Join(connecting(f, err), client.Close())
	}
	in := &alsaIn{client: client, ended: make(chan struct{})}
	go in.read(f, r)
	return in, nil
}

// connecting is what it means that a connection was refused.
func connecting(f endpoint, err error) error {
	switch {
	case errors.Is(err, unix.ENOENT), errors.Is(err, unix.ENODEV), errors.Is(err, unix.ENXIO):
		return fmt.Errorf("%w: %s: %w", ErrGone, f.name, err)
	case errors.Is(err, unix.EBUSY), errors.Is(err, unix.EAGAIN):
		return fmt.Errorf("%s: another program has the device open as a raw one, which nobody can share: %w", f.name, err)
	}
	return fmt.Errorf("%s: %w", f.name, Reason(err))
}

type alsaIn struct {
	client *sequencer.Client
	ended  chan struct{}
}

func (in *alsaIn) Close() error {
	err := in.client.Close()
	<-in.ended
	return err
}

func (in *alsaIn) read(f endpoint, r *receiver) {
	defer close(in.ended)
	from := addressOf(f)
	err := in.client.Read(func(e sequencer.Event) {
		switch {
		case e.Gone != nil && (*e.Gone == from || e.GoneAll && e.Gone.Client == from.Client):
			r.fail(fmt.Errorf("%w: %s was taken away", ErrGone, f.name))
		case e.Source == from: // others may send here, and are not heard
			r.bytes(e.Bytes)
		}
	})
	if !errors.Is(err, os.ErrClosed) {
		r.fail(fmt.Errorf("%s: %w", f.name, err))
	}
}

func (alsa) openOut(f endpoint) (sender, error) {
	client, err := sequencer.Open(clientName)
	if err != nil {
		return nil, Reason(err)
	}
	if err := client.SendTo(addressOf(f)); err != nil {
		return nil, errors.Join(connecting(f, err), client.Close())
	}
	return &alsaOut{client: client, name: f.name, pace: rate.NewLimiter(cableRate, ahead)}, nil
}

// The sequencer takes everything at once, and drops without a word what a device's
// buffer of 4,096 bytes has no room for. So nothing is sent faster than a MIDI
// cable carries it (MIDI 1.0: 31,250 baud, ten bits a byte), but for the first half
// of that buffer; the other half is for other programs.
const (
	cableRate = 3125
	ahead     = 2048
)

type alsaOut struct {
	client *sequencer.Client
	name   string
	pace   *rate.Limiter
}

func (out *alsaOut) Close() error { return out.client.Close() }

func (out *alsaOut) send(message []byte, deadline time.Time) error {
	events, err := out.client.Pieces(message)
	if err != nil {
		return err
	}
	ctx, cancel := context.Background(), func() {}
	if !deadline.IsZero() {
		ctx, cancel = context.WithDeadline(ctx, deadline)
	}
	defer cancel()
	for _, event := range events {
		if out.pace.WaitN(ctx, min(len(message), len(event))) != nil {
			return fmt.Errorf("%s: a message of %d bytes does not fit through the cable in time: %w", out.name, len(message), os.ErrDeadlineExceeded)
		}
		if err := out.write(event); err != nil {
			return err
		}
	}
	return nil
}

func (out *alsaOut) write(event []byte) error {
	if !out.client.Connected() {
		return fmt.Errorf("%w: %s was taken away", ErrGone, out.name)
	}
	switch err := out.client.Write(event); {
	case errors.Is(err, unix.ENOENT), errors.Is(err, unix.ENODEV), errors.Is(err, unix.ENXIO):
		return fmt.Errorf("%w: %s: %w", ErrGone, out.name, err)
	case errors.Is(err, unix.EAGAIN), errors.Is(err, unix.ENOMEM):
		return fmt.Errorf("%s: the program at the other end does not read: %w", out.name, err)
	case err != nil:
		return fmt.Errorf("%s: %w", out.name, err)
	}
	return nil
}
