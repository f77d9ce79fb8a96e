//go:build !unix

package link

import "fmt"

func openRawMIDI(Address) (Link, error) {
	return nil, fmt.Errorf("raw MIDI devices: %w: not reachable on this platform", ErrNotHere)
}

func openPTY(Address) (Link, error) {
	return nil, fmt.Errorf("pseudo-terminals: %w: not reachable on this platform", ErrNotHere)
}
