package ports

import (
	"fmt"
	"io"
	"os"
	"structs"
	"time"
	"unsafe"

	"golang.org/x/sys/windows"
)

// thisMachine is Windows, by the multimedia functions of its winmm library.
func thisMachine() (machine, bool) { return windowsMIDI{}, winmm.Load() == nil }

// The functions and structures are those of the header mmeapi.h.
var (
	winmm = windows.NewLazySystemDLL("winmm.dll")

	midiInGetNumDevs       = winmm.NewProc("midiInGetNumDevs")
	midiInGetDevCaps       = winmm.NewProc("midiInGetDevCapsW")
	midiInOpen             = winmm.NewProc("midiInOpen")
	midiInClose            = winmm.NewProc("midiInClose")
	midiInStart            = winmm.NewProc("midiInStart")
	midiInReset            = winmm.NewProc("midiInReset")
	midiInPrepareHeader    = winmm.NewProc("midiInPrepareHeader")
	midiInUnprepareHeader  = winmm.NewProc("midiInUnprepareHeader")
	midiInAddBuffer        = winmm.NewProc("midiInAddBuffer")
	midiOutGetNumDevs      = winmm.NewProc("midiOutGetNumDevs")
	midiOutGetDevCaps      = winmm.NewProc("midiOutGetDevCapsW")
	midiOutOpen            = winmm.NewProc("midiOutOpen")
	midiOutClose           = winmm.NewProc("midiOutClose")
	midiOutReset           = winmm.NewProc("midiOutReset")
	midiOutShortMsg        = winmm.NewProc("midiOutShortMsg")
	midiOutLongMsg         = winmm.NewProc("midiOutLongMsg")
	midiOutPrepareHeader   = winmm.NewProc("midiOutPrepareHeader")
	midiOutUnprepareHeader = winmm.NewProc("midiOutUnprepareHeader")
)

// Results of the functions, MMSYSERR_*, and flags of headers and of opening.
const (
	badDevice    = 2
	allocated    = 4
	noDriver     = 6
	noMemory     = 7
	invalidValue = 11

	headerDone = 1

	callbackEvent    = 0x50000
	callbackFunction = 0x30000
)

// called calls a function of the library, all of which return 0 or a reason. What
// an argument points to stays where it is until then.
//
//go:uintptrescapes
func called(f *windows.LazyProc, arguments ...uintptr) error {
	result, _, _ := f.Call(arguments...)
	switch result {
	case 0:
		return nil
	case badDevice, noDriver:
		return fmt.Errorf("%w: %s: it is not there any more (%d)", ErrGone, f.Name, result)
	case allocated:
		return fmt.Errorf("%s: another program has it open (%d)", f.Name, result)
	case noMemory:
		return fmt.Errorf("%s: the system has no room, or another program has it open (%d)", f.Name, result)
	case invalidValue:
		return fmt.Errorf("%s: the system does not take it (%d)", f.Name, result)
	}
	return fmt.Errorf("%s: reason %d of the system", f.Name, result)
}

// midiHeader is struct MIDIHDR.
type midiHeader struct {
	_ structs.HostLayout

	data             *byte
	length, recorded uint32
	user             uintptr
	flags            uint32
	next, reserved   uintptr
	offset           uint32
	more             [8]uintptr
}

const headerSize = unsafe.Sizeof(midiHeader{})

// windowsMIDI is Windows.
type windowsMIDI struct{}

// looksEvery is a second: a device that is pulled takes every message in silence.
func (windowsMIDI) looksEvery() time.Duration { return time.Second }

func (windowsMIDI) list() (ins, outs []endpoint, err error) {
	return listed(midiInGetNumDevs, midiInGetDevCaps), listed(midiOutGetNumDevs, midiOutGetDevCaps), nil
}

// Where MIDIINCAPSW and MIDIOUTCAPSW both have the name: after two numbers of 16
// bits and one of 32, 32 characters long. What follows is longer in the second.
type midiCaps struct {
	_ structs.HostLayout

	maker, product uint16
	version        uint32
	name           [32]uint16
	_              [20]byte
}

// midiInCapsSize is the size of MIDIINCAPSW, which the functions of both ways take:
// they fill no more than they are told.
const midiInCapsSize = 76

func listed(count, caps *windows.LazyProc) (all []endpoint) {
	n, _, _ := count.Call()
	for i := range n {
		var c midiCaps
		if called(caps, i, uintptr(unsafe.Pointer(&c)), midiInCapsSize) != nil {
			continue // it was pulled just now
		}
		all = append(all, endpoint{name: windows.UTF16ToString(c.name[:]), id: fmt.Sprint(i), number: uint64(i)})
	}
	return all
}

func (windowsMIDI) openOut(f endpoint) (sender, error) {
	done, err := windows.CreateEvent(nil, 0, 0, nil)
	if err != nil {
		return nil, err
	}
	out := &windowsOut{name: f.name, done: done}
	if err := called(midiOutOpen, uintptr(unsafe.Pointer(&out.handle)), uintptr(f.number), uintptr(done), 0, callbackEvent); err != nil {
		_ = windows.CloseHandle(done) // nothing was opened
		return nil, err
	}
	return out, nil
}

// windowsOut is an open port to send to. The event is set when a header is done.
type windowsOut struct {
	name   string
	handle uintptr
	done   windows.Handle
}

var _ io.Closer = (*windowsOut)(nil)

func (out *windowsOut) Close() error {
	_ = called(midiOutReset, out.handle) // of a device that is gone nothing is left to reset
	err := called(midiOutClose, out.handle)
	_ = windows.CloseHandle(out.done)
	return err
}

func (out *windowsOut) send(message []byte, deadline time.Time) error {
	if message[0] == exclusiveStatus {
		return out.long(message, deadline)
	}
	var packed uintptr
	for i, b := range message {
		packed |= uintptr(b) << (8 * i)
	}
	return called(midiOutShortMsg, out.handle, packed)
}

// long sends a system exclusive and waits until the system gives its bytes back.
func (out *windowsOut) long(message []byte, deadline time.Time) (err error) {
	sent := newBuffer(len(message))
	copy(sent.bytes, message)
	defer sent.free()
	if err := called(midiOutPrepareHeader, out.handle, sent.pointer(), headerSize); err != nil {
		return err
	}
	defer func() {
		if undone := called(midiOutUnprepareHeader, out.handle, sent.pointer(), headerSize); err == nil {
			err = undone
		}
	}()
	if err := called(midiOutLongMsg, out.handle, sent.pointer(), headerSize); err != nil {
		return err
	}
	for !sent.done() {
		if _, err := windows.WaitForSingleObject(out.done, 50); err != nil {
			return err
		}
		if !deadline.IsZero() && time.Now().After(deadline) {
			_ = called(midiOutReset, out.handle) // gives the bytes back
			return fmt.Errorf("%s: a message of %d bytes does not fit through the cable in time: %w", out.name, len(message), os.ErrDeadlineExceeded)
		}
	}
	return nil
}
