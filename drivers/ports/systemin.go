package ports

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"gitlab.com/gomidi/midi/v2/drivers"

	"bayhand/drivers/wire"
)

// systemIn is a port of the system to hear.
type systemIn struct {
	systemPort
	open io.Closer
	to   receiver
}

func (in *systemIn) IsOpen() bool { return in.open != nil }

// Open opens the port; one that is open stays so. What comes before Listen is not
// heard.
func (in *systemIn) Open() error {
	if in.open != nil {
		return nil
	}
	in.to.reset()
	open, err := in.of.openIn(in.found, &in.to)
	if err != nil {
		return said(err)
	}
	in.open = open
	in.look(func() []endpoint { ins, _, err := in.of.list(); return orSame(ins, err, in.found) }, in.to.fail)
	return nil
}

// Close closes it; one that is closed stays so.
func (in *systemIn) Close() error {
	if in.open == nil {
		return nil
	}
	in.watch.end()
	err := in.open.Close()
	in.open = nil
	return said(err)
}

// Listen hears messages until the function returned is called, which waits for
// the one that is being heard; that must not be done from within hear. When the
// device is pulled, OnErr is called with ErrGone, and nothing comes any more.
func (in *systemIn) Listen(hear func(message []byte, milliseconds int32), config drivers.ListenConfig) (stop func(), err error) {
	switch {
	case hear == nil:
		return nil, errors.New("nobody is named to hear what comes")
	case in.open == nil:
		return nil, drivers.ErrPortClosed
	}
	if err := in.to.listen(hear, config); err != nil {
		return nil, fmt.Errorf("%s: %w", clean(in.found.name), err)
	}
	return in.to.stop, nil
}

// receiver takes the bytes that come to a port, and tells the listener, if there
// is one, whole messages.
type receiver struct {
	// mu guards the fields below, and is held while the listener hears.
	mu     sync.Mutex
	framer *wire.Framer
	hear   func([]byte, int32)
	config drivers.ListenConfig
	began  time.Time
	failed error
}

func (r *receiver) reset() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.framer, r.hear, r.failed = wire.NewFramer(), nil, nil
}

func (r *receiver) listen(hear func([]byte, int32), config drivers.ListenConfig) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	switch {
	case r.failed != nil:
		return r.failed
	case r.hear != nil:
		return errors.New("it is listened to already")
	}
	r.hear, r.config, r.began = hear, config, time.Now()
	return nil
}

func (r *receiver) stop() {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.hear, r.config = nil, drivers.ListenConfig{}
}

// bytes takes what came, in pieces of any length.
func (r *receiver) bytes(came []byte) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.failed != nil {
		return
	}
	for _, b := range came {
		for _, message := range messagesOf(r.framer, b) {
			if r.hear != nil && wanted(message, r.config) {
				r.hear(message, int32(time.Since(r.began).Milliseconds()))
			}
		}
	}
}

// fail tells the listener that nothing comes any more. Only the first reason counts.
func (r *receiver) fail(reason error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.failed != nil {
		return
	}
	r.failed = reason
	if r.hear != nil && r.config.OnErr != nil {
		r.config.OnErr(said(reason))
	}
}
