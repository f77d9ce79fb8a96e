// Package line puts a simulated device on a link, for as long as its context
// lives.
//
// A link is named as everywhere else: pty:PATH makes a pseudo terminal and a
// symbolic link to it at PATH, rawmidi:PATH does the same for a device that
// speaks MIDI, tcp:HOST:PORT listens for one client after the other (port 0 takes
// any that is free), and rfc2217:HOST:PORT does so as a serial line behind a
// network. What is made at PATH is removed at the end.
//
// A device that follows SCPI-1999 is played by simulators/scpi, every other by
// simulators/answer from its description. The package adds what goes wrong on
// a line: answers lost, late or spoilt, a device that falls silent or restarts.
// It never looks at what a byte means.
package line

import "bayhand/simulators/matrix"

// player is the device at the end of the line. Its owner calls it from one
// goroutine.
type player interface {
	// Receive takes bytes and gives the answers that they bring.
	Receive(p []byte) (answers [][]byte)
	// Report is what the device sends by itself after these events; may be nil.
	Report(events []matrix.Event) [][]byte
	// Messages counts the messages received so far.
	Messages() int
	// Clear forgets a message that has not ended, Restart everything.
	Clear()
	Restart()
}
