//go:build unix

package link

import (
	"errors"
	"os"

	"bayhand/drivers/ports"
)

// openRawMIDI opens a raw MIDI device, a pseudo-terminal or a pair of FIFOs, as
// the stream of bytes that it is.
func openRawMIDI(a Address) (Link, error) {
	if a.WritePath != "" {
		return openPair(a)
	}
	file, err := ports.OpenDevice(a.Path, os.O_RDWR)
	if err != nil {
		return nil, err
	}
	if err := ports.MakeRaw(file); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return &stream{address: a.String(), in: file, out: file, baud: midiBaud}, nil
}

// openPair opens the FIFO to the device first: while nobody reads it, that
// fails with ENXIO instead of waiting.
func openPair(a Address) (Link, error) {
	out, err := ports.OpenDevice(a.WritePath, os.O_WRONLY)
	if err != nil {
		return nil, err
	}
	in, err := ports.OpenDevice(a.Path, os.O_RDONLY)
	if err != nil {
		return nil, errors.Join(err, out.Close())
	}
	return &stream{address: a.String(), in: in, out: out, baud: midiBaud}, nil
}
