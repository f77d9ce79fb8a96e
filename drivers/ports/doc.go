// Package ports reaches the MIDI ports of this machine, all by one interface,
// that of the gomidi library: a Driver lists ports, an In hears whole messages,
// an Out sends them.
//
// There are two drivers. Raw is for raw MIDI devices, which are files on Linux.
// System is the operating system's own ports, which programs share: on Linux the
// sequencer of the kernel, on Windows its multimedia functions, on macOS CoreMIDI,
// all without cgo. Ports are found by System where the machine has it. Both keep
// what the interface leaves open: after the device was pulled, OnErr is called
// with ErrGone, Send fails, and no length of a message ends the program.
//
// The package knows no meaning of a message, and no device.
package ports

import "errors"

// ErrGone is a port whose device is no longer there; it has to be opened anew.
var ErrGone = errors.New("the MIDI port is gone")

// ErrNotHere is what this build or this machine cannot reach.
var ErrNotHere = errors.New("not reachable here")
