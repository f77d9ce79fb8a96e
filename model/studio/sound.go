package studio

import (
	"bayhand/model/measure"
	"bayhand/model/name"
)

// Sound is how gear is reached as the sound device of this machine, to listen to
// the room with.
type Sound struct {
	// Link is where the device is: alsa:..., pulse:..., or files where it is
	// reached by recordings alone.
	Link string
	// Rate is in samples a second; 0 where the file does not say.
	Rate int
	// Outputs and Inputs are its ports in the order of the device's channels, by
	// which they are played and recorded.
	Outputs, Inputs []SoundChannel
	// FullScale is the level of full scale; 0 where the file does not say: the
	// line's max.
	FullScale measure.Level
}

// SoundChannel is one port of a sound device and its channel there, from 1.
type SoundChannel struct {
	Port    name.Point
	Channel int
}

// Verify is how a room is listened to. The zero value is the usual way.
type Verify struct {
	// First and Then are the levels of the two passes in dBFS rms; 0 where the file
	// does not say.
	First, Then float64
	// Hum is the frequency of the mains in hertz; 0 where the file does not say.
	Hum int
}
