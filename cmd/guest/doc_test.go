// Package guest_test tries bayhand on lines of a real kernel, in an emulated
// machine: 16550 and USB serial lines, a USB MIDI interface by the sequencer, and
// raw MIDI. At the far end of each is a simulated matrix.
//
// TestInTheMachine boots the machine where BAYHAND_GUEST is set to anything, and
// fails where it cannot; what is tried there are the tests with Inside in their
// names, which run where BAYHAND_GUEST is inside.
package guest_test
