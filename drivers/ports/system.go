package ports

import (
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"
)

// System is the driver of the operating system's ports, with what its wrapper
// lacks. After the device was pulled, a Send through it still succeeds, and no
// listener hears of it: only the list of ports is shorter. So the list is looked
// at every second while a port is open.
type System struct {
	drivers.Driver
	// listen hears a port of the wrapper; it gives whole messages of any length.
	listen listen
	// every is how often the list is looked at; 0 for every second.
	every time.Duration
}

type listen func(in drivers.In, hear func([]byte, int32), config drivers.ListenConfig) (stop func(), err error)

// longestSend is the longest message that is known to arrive by the system's
// ports; of a longer one the wrapper says that it was sent, and it is lost.
const longestSend = 4000

// Ins are the ports to hear.
func (s System) Ins() ([]drivers.In, error) {
	ins, err := s.Driver.Ins()
	for i, in := range ins {
		ins[i] = &systemIn{In: in, watch: watch{port: in, there: s.hasIn, every: s.every}, listen: s.listen}
	}
	return ins, said(err)
}

// Outs are the ports to send to.
func (s System) Outs() ([]drivers.Out, error) {
	outs, err := s.Driver.Outs()
	for i, out := range outs {
		outs[i] = &systemOut{Out: out, watch: watch{port: out, there: s.hasOut, every: s.every}}
	}
	return outs, said(err)
}

func (s System) hasIn(name string) bool {
	ins, err := s.Driver.Ins()
	return err != nil || slices.ContainsFunc(ins, func(in drivers.In) bool { return in.String() == name })
}

func (s System) hasOut(name string) bool {
	outs, err := s.Driver.Outs()
	return err != nil || slices.ContainsFunc(outs, func(out drivers.Out) bool { return out.String() == name })
}

// said is an error in text that can be shown.
func said(err error) error {
	if err == nil {
		return nil
	}
	return errors.New(clean(err.Error()))
}

// systemIn is a port of the system to hear.
type systemIn struct {
	drivers.In
	watch  watch
	listen listen
}

// Open opens the port, and looks from now on whether it is there.
func (in *systemIn) Open() error { return said(in.In.Open()) }

// Listen hears messages until stop. When the device is pulled, OnErr is called
// with ErrGone.
func (in *systemIn) Listen(hear func([]byte, int32), config drivers.ListenConfig) (stop func(), err error) {
	if hear == nil {
		return nil, errors.New("nobody is named to hear what comes")
	}
	inner, err := in.listen(in.In, hear, config)
	if err != nil {
		return nil, said(err)
	}
	in.watch.begin(func() {
		if config.OnErr != nil {
			config.OnErr(fmt.Errorf("%w: %s is not listed any more", ErrGone, clean(in.String())))
		}
	})
	return func() { in.watch.end(); inner() }, nil
}

// systemOut is a port of the system to send to.
type systemOut struct {
	drivers.Out
	watch watch
}

// Open opens the port, and looks from now on whether it is there.
func (out *systemOut) Open() error {
	if out.IsOpen() {
		return nil
	}
	if err := out.Out.Open(); err != nil {
		return said(err)
	}
	out.watch.begin(func() {})
	return nil
}

// Close closes it.
func (out *systemOut) Close() error {
	out.watch.end()
	return said(out.Out.Close())
}

// Send hands a message to the system, unless the port is no longer there.
func (out *systemOut) Send(message []byte) error {
	switch {
	case len(message) > longestSend:
		return fmt.Errorf("a message of %d bytes may be lost by the system's ports, which are sure of %d; use rawmidi: for longer ones", len(message), longestSend)
	case out.watch.lost():
		return fmt.Errorf("%w: %s is not listed any more", ErrGone, clean(out.String()))
	}
	return said(out.Out.Send(message))
}

// watch looks whether a port is still listed.
type watch struct {
	port  drivers.Port
	there func(name string) bool
	every time.Duration

	stop    chan struct{}
	running sync.WaitGroup
	// mu guards gone.
	mu   sync.Mutex
	gone bool
}

func (w *watch) begin(lost func()) {
	w.end()
	w.mu.Lock()
	w.gone = false
	w.mu.Unlock()
	stop, name := make(chan struct{}), w.port.String()
	w.stop = stop
	every := w.every
	if every == 0 {
		every = time.Second
	}
	w.running.Go(func() {
		look := time.NewTicker(every)
		defer look.Stop()
		for {
			select {
			case <-stop:
				return
			case <-look.C:
			}
			if !w.there(name) {
				w.mu.Lock()
				w.gone = true
				w.mu.Unlock()
				lost()
				return
			}
		}
	})
}

// end stops looking; it must not be called from within lost.
func (w *watch) end() {
	if w.stop != nil {
		close(w.stop)
		w.stop = nil
		w.running.Wait()
	}
}

func (w *watch) lost() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.gone
}
