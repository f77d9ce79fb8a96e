// Package ports reaches the MIDI ports of this machine, all by one interface,
// that of the gomidi library: a Driver lists ports, an In hears whole messages,
// an Out sends them.
//
// There are two drivers. Raw is for raw MIDI devices, which are files on Linux,
// and needs nothing but Go. System is the operating system's own, by the
// library's wrapper of C++ code: it is in builds with cgo, on Linux with the tag
// rtmidi as well, and is then the one that ports are found by. Both keep what the
// interface leaves open: after the device was pulled, OnErr is called with
// ErrGone, Send fails, and no length of a message ends the program.
//
// The package knows no meaning of a message, and no device.
package ports

import "errors"

// ErrGone is a port whose device is no longer there; it has to be opened anew.
var ErrGone = errors.New("the MIDI port is gone")

// ErrNotHere is what this build or this machine cannot reach.
var ErrNotHere = errors.New("not reachable here")
