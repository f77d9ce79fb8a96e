// Package sequencer speaks to the ALSA sequencer of the Linux kernel, the part of
// it that programs share MIDI ports by, through /dev/snd/seq and without cgo.
//
// A Client is an open file there, with one port of its own that is connected to a
// port of the machine. What travels is events of 28 bytes; a system exclusive
// follows its event in the stream, and comes in pieces. Encode and Decode turn
// MIDI messages into events and back.
//
// Structures, numbers and event types are those of the kernel's header
// sound/asequencer.h (protocol version 1.0.3). The package knows no meaning of a
// message beyond MIDI 1.0, and no device.
package sequencer
