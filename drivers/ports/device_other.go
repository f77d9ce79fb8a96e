//go:build !unix

package ports

import (
	"fmt"
	"os"
)

// OpenDevice opens a raw MIDI device, which this platform does not have as files.
func OpenDevice(string, int) (*os.File, error) {
	return nil, fmt.Errorf("raw MIDI devices: %w: not reachable on this platform", ErrNotHere)
}

// MakeRaw has nothing to do here.
func MakeRaw(*os.File) error { return nil }

// Reason is the error as it is.
func Reason(err error) error { return err }
