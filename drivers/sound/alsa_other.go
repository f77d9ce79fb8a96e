//go:build !linux

package sound

import "fmt"

// openALSA is for Linux alone.
func openALSA(_ string, a Address, _ Want) (Device, error) {
	return nil, fmt.Errorf("%w: %s is of the Linux kernel; on this system the room is heard by files only: --write test.wav, and --read recorded.wav", ErrNoDevice, a)
}

func listALSA(string) ([]Found, error) { return nil, nil }
