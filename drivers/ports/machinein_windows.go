package ports

import (
	"errors"
	"io"
	"runtime"
	"sync"
	"sync/atomic"
	"unsafe"

	"golang.org/x/sys/windows"
)

// buffer is memory that the system writes to or reads from, with its header.
type buffer struct {
	header midiHeader
	bytes  []byte
	pinned runtime.Pinner
}

func newBuffer(length int) *buffer {
	b := &buffer{bytes: make([]byte, length)}
	b.pinned.Pin(b)
	b.pinned.Pin(&b.bytes[0])
	b.header.data, b.header.length = &b.bytes[0], uint32(length)
	return b
}

func (b *buffer) pointer() uintptr { return uintptr(unsafe.Pointer(&b.header)) }
func (b *buffer) done() bool       { return atomic.LoadUint32(&b.header.flags)&headerDone != 0 }
func (b *buffer) free()            { b.pinned.Unpin() }

// How a port is heard: so many buffers for pieces of system exclusives, and room
// for so many messages that have come and are not taken yet.
const (
	inBuffers    = 4
	inBufferSize = 4096
	inQueue      = 2048
)

// windowsIn is an open port to hear. The system calls on a thread of its own,
// where its functions may not be called; so what comes is queued, and taken by a
// goroutine.
type windowsIn struct {
	handle  uintptr
	number  uintptr
	buffers []*buffer
	queue   chan came
	stop    chan struct{}
	ended   chan struct{}
	// closing is set before the buffers are asked back, lost when the queue was full.
	closing, lost atomic.Bool
}

// came is a short message, or a buffer with a piece of a system exclusive.
type came struct {
	short uintptr
	long  *buffer
}

// openPorts are the ports that are heard, by the number that the system is given
// for each: there is one function for all, since no function is ever given back.
var openPorts struct {
	mu   sync.Mutex
	last uintptr
	all  map[uintptr]*windowsIn
}

// Messages to the function, MIM_*.
const (
	shortCame = 0x3C3
	longCame  = 0x3C4
)

var hearPort = sync.OnceValue(func() uintptr {
	return windows.NewCallback(func(_, message, number, value, _ uintptr) uintptr {
		openPorts.mu.Lock()
		in := openPorts.all[number]
		openPorts.mu.Unlock()
		if in != nil {
			in.called(message, value)
		}
		return 0
	})
})

func (in *windowsIn) called(message, value uintptr) {
	var next came
	switch message {
	case shortCame:
		next.short = value
	case longCame:
		for _, b := range in.buffers {
			if b.pointer() == value {
				next.long = b
			}
		}
		if next.long == nil {
			return
		}
	default:
		return
	}
	select {
	case in.queue <- next:
	default:
		in.lost.Store(true)
	}
}

func (windowsMIDI) openIn(f endpoint, r *receiver) (io.Closer, error) {
	in := &windowsIn{queue: make(chan came, inQueue), stop: make(chan struct{}), ended: make(chan struct{})}
	openPorts.mu.Lock()
	openPorts.last++
	in.number = openPorts.last
	if openPorts.all == nil {
		openPorts.all = map[uintptr]*windowsIn{}
	}
	openPorts.all[in.number] = in
	openPorts.mu.Unlock()
	if err := called(midiInOpen, uintptr(unsafe.Pointer(&in.handle)), uintptr(f.number), hearPort(), in.number, callbackFunction); err != nil {
		in.forget()
		return nil, err
	}
	for range inBuffers {
		in.buffers = append(in.buffers, newBuffer(inBufferSize))
	}
	go in.take(r)
	if err := in.begin(); err != nil {
		return nil, errors.Join(err, in.Close())
	}
	return in, nil
}

func (in *windowsIn) begin() error {
	for _, b := range in.buffers {
		if err := called(midiInPrepareHeader, in.handle, b.pointer(), headerSize); err != nil {
			return err
		}
		if err := called(midiInAddBuffer, in.handle, b.pointer(), headerSize); err != nil {
			return err
		}
	}
	return called(midiInStart, in.handle)
}

// take tells the receiver what is queued, in its order, and gives buffers back.
func (in *windowsIn) take(r *receiver) {
	defer close(in.ended)
	for {
		select {
		case <-in.stop:
			return
		case next := <-in.queue:
			in.tell(r, next)
		}
	}
}

func (in *windowsIn) tell(r *receiver, next came) {
	if in.lost.Load() {
		r.fail(errLost)
	}
	switch {
	case next.long == nil:
		r.bytes(short(next.short))
	case in.closing.Load():
	default:
		r.bytes(next.long.bytes[:next.long.header.recorded])
		if err := called(midiInAddBuffer, in.handle, next.long.pointer(), headerSize); err != nil && !in.closing.Load() {
			r.fail(err)
		}
	}
}

var errLost = errors.New("MIDI messages were lost, since they came faster than they were read")

// short are the bytes of a message that the system packs into a number; their
// count follows from the status (MIDI 1.0).
func short(packed uintptr) []byte {
	bytes := []byte{byte(packed), byte(packed >> 8), byte(packed >> 16)}
	switch status := bytes[0]; {
	case status < 0xC0, status >= 0xE0 && status < 0xF0, status == 0xF2:
		return bytes
	case status < 0xE0, status == 0xF1, status == 0xF3:
		return bytes[:2]
	}
	return bytes[:1]
}

func (in *windowsIn) forget() {
	openPorts.mu.Lock()
	defer openPorts.mu.Unlock()
	delete(openPorts.all, in.number)
}

// Close asks the buffers back, closes the port and waits for what is being heard.
func (in *windowsIn) Close() error {
	in.closing.Store(true)
	_ = called(midiInReset, in.handle) // of a device that is gone nothing comes anyway
	for _, b := range in.buffers {
		_ = called(midiInUnprepareHeader, in.handle, b.pointer(), headerSize)
	}
	err := called(midiInClose, in.handle)
	in.forget()
	close(in.stop) // the queue stays open: the system may still be calling
	<-in.ended
	for _, b := range in.buffers {
		b.free()
	}
	return err
}
