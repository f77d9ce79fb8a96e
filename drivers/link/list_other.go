//go:build !linux && !windows

package link

import (
	"context"

	"go.bug.st/serial"
)

// namesUSB says whether lines come with the identity of their USB adapter.
const namesUSB = false

// machineLines names the serial lines by their paths only. Who made a USB
// adapter can be asked here only through the system's own libraries, and those
// are not reachable on this platform without a C compiler. Raw MIDI devices do
// not exist as files.
func machineLines(ctx context.Context, _ string) ([]line, error) {
	paths, err := serial.GetPortsList()
	if err != nil {
		return nil, err
	}
	var lines []line
	for _, path := range paths {
		lines = append(lines, line{kind: "serial", path: path})
	}
	return lines, ctx.Err()
}
