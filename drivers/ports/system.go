package ports

import (
	"fmt"
	"io"
	"slices"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// machine is what an operating system's ports can do; there is one for each
// system. A port is open while its closer is, which waits for what it began.
type machine interface {
	// list is what can be heard now, and what can be sent to.
	list() (ins, outs []endpoint, err error)
	// openIn has everything that comes told to r, from one goroutine.
	openIn(f endpoint, r *receiver) (io.Closer, error)
	openOut(f endpoint) (sender, error)
	// looksEvery is how often the list of ports is to be looked at for one that is no
	// longer there; 0 where the system tells of it.
	looksEvery() time.Duration
}

// endpoint is a port as the system lists it: what a person reads, what no other port
// has at this time, and the number that opens it.
type endpoint struct {
	name, id string
	number   uint64
}

// sender is a port that is open to send to.
type sender interface {
	io.Closer
	// send hands on one whole message, and gives up at the deadline if there is one.
	send(message []byte, deadline time.Time) error
}

// System is the driver of the operating system's ports, which programs share.
type System struct{ of machine }

func (s System) String() string { return "MIDI ports of the system" }

// Close has nothing to do: ports are closed one by one.
func (s System) Close() error { return nil }

// Ins are the ports to hear.
func (s System) Ins() ([]drivers.In, error) {
	listed, _, err := s.of.list()
	var ins []drivers.In
	for i, f := range listed {
		ins = append(ins, &systemIn{systemPort: systemPort{of: s.of, found: f, number: i}})
	}
	return ins, said(err)
}

// Outs are the ports to send to.
func (s System) Outs() ([]drivers.Out, error) {
	_, listed, err := s.of.list()
	var outs []drivers.Out
	for i, f := range listed {
		outs = append(outs, &systemOut{systemPort: systemPort{of: s.of, found: f, number: i}})
	}
	return outs, said(err)
}

// said is an error of the system in text that can be shown.
func said(err error) error {
	if err == nil {
		return nil
	}
	return shown{err}
}

// shown is an error whose text may have held any byte.
type shown struct{ error }

func (s shown) Error() string { return clean(s.error.Error()) }
func (s shown) Unwrap() error { return s.error }

// systemPort is what both ways have in common. Like every port of the interface
// it is not for several goroutines at once.
type systemPort struct {
	of     machine
	found  endpoint
	number int
	watch  watch
}

func (p *systemPort) String() string  { return p.found.name }
func (p *systemPort) Number() int     { return p.number }
func (p *systemPort) Underlying() any { return p.found.id }

// gone is the error of a port that is no longer there.
func (p *systemPort) gone(why any) error {
	return fmt.Errorf("%w: %s: %v", ErrGone, clean(p.found.name), why)
}

// look begins to look whether the port is still listed, where nobody tells.
func (p *systemPort) look(listed func() []endpoint, lost func(error)) {
	if every := p.of.looksEvery(); every > 0 {
		there := func() bool { return slices.Contains(listed(), p.found) }
		p.watch.begin(every, there, func() { lost(p.gone("it is not listed any more")) })
	}
}

// systemOut is a port to send to.
type systemOut struct {
	systemPort
	open     sender
	deadline time.Time
}

func (out *systemOut) IsOpen() bool { return out.open != nil }

// Open opens the port; one that is open stays so.
func (out *systemOut) Open() error {
	if out.open != nil {
		return nil
	}
	open, err := out.of.openOut(out.found)
	if err != nil {
		return said(err)
	}
	out.open, out.deadline = open, time.Time{}
	out.look(func() []endpoint { _, outs, err := out.of.list(); return orSame(outs, err, out.found) }, func(error) {})
	return nil
}

// orSame is the list, or the port itself where the list cannot be had: nothing
// says then that it is gone.
func orSame(ports []endpoint, err error, f endpoint) []endpoint {
	if err != nil {
		return []endpoint{f}
	}
	return ports
}

// Close closes it; one that is closed stays so.
func (out *systemOut) Close() error {
	if out.open == nil {
		return nil
	}
	out.watch.end()
	err := out.open.Close()
	out.open = nil
	return said(err)
}

// Send hands one whole message to the system, unless the port is no longer there.
func (out *systemOut) Send(message []byte) error {
	switch {
	case out.open == nil:
		return drivers.ErrPortClosed
	case out.watch.lost():
		return out.gone("it is not listed any more")
	}
	return said(out.open.send(message, out.deadline))
}

// SetWriteDeadline bounds the Sends that come after.
func (out *systemOut) SetWriteDeadline(t time.Time) error {
	if out.open == nil {
		return drivers.ErrPortClosed
	}
	out.deadline = t
	return nil
}
