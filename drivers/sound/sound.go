// Package sound plays and records through the sound devices of this machine, and
// reads and writes recordings as WAV files.
//
// A frame is one sample of each channel. A link names a device: alsa:hw:1,0,
// alsa:usb:VENDOR:PRODUCT:SERIAL, pulse:SINK,SOURCE, or files for one that is
// reached by recordings alone. One goroutine owns each device that is open.
//
// The package carries samples and judges none of them: when the sound must stop
// is said by whoever plays.
package sound
