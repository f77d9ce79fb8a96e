// Package reading finds in recordings which output of a sound device is heard
// at which input, how loud, which way round and how late.
//
// A recording is the samples of each input while the test sound of package
// tones played. A path is one output at one input. An Ear reads: it finds where
// in the recording the sound is, how much faster one clock runs than the other,
// how loud the noise is at each frequency by the tones that nobody plays, and
// then each path. A path is found only when its tones stand so far above what
// the silent tones hold that noise does it once in a thousand million times.
//
// The package judges no patch: what should be heard is a question of package
// suspect.
package reading

// Recording is what was recorded: samples of each input, full scale being 1.
type Recording struct {
	// Rate is in samples a second.
	Rate     int
	Channels [][]float32
}

// Polarity says which way round a path is.
type Polarity uint8

const (
	// Unclear is a path that cannot be said to be either: the zero value.
	Unclear Polarity = iota
	// Kept is a path that is the right way round.
	Kept
	// Reversed is a path with its legs exchanged.
	Reversed
)

// String is +, - or ?.
func (p Polarity) String() string {
	switch p {
	case Kept:
		return "+"
	case Reversed:
		return "-"
	case Unclear:
	}
	return "?"
}

// Path is what one output is at one input.
type Path struct {
	// Found says whether the output is heard. Nothing else is set where it is not,
	// but Statistic.
	Found bool
	// Statistic is the height of the peak in units of its own noise; a path is
	// found from Threshold on.
	Statistic float64
	// Level is the gain in dB against what was played.
	Level    float64
	Polarity Polarity
	// Delay is in samples of the recording, from the moment of playing if the
	// recording began with it; known but for whole periods.
	Delay float64
	// Coherence is the part of the power in the output's tones that is a straight
	// copy of it, 0 to 1.
	Coherence float64
	// Smeared is a path of which less than half is a straight copy, as through
	// reverberation: its level is that of its power, and its polarity unclear.
	Smeared bool
	// Low and High are the ends of the band within 3 dB of its middle, in hertz.
	Low, High float64
	// Out is the part of the time in which the path was away, 0 to 1; negative
	// where it could not be told.
	Out float64
}

// Input is what was read of an input as a whole.
type Input struct {
	// Noise is its level in the silence before the sound, in dBFS rms.
	Noise float64
	// Level is its level while the sound was steady, in dBFS rms.
	Level float64
	Hum   []Line
	// Changes says that the silent tones were more than 6 dB above the noise of
	// the silence: what is played is distorted or moved on its way.
	Changes bool
	// Clipped says that ten samples together were above -1 dBFS.
	Clipped bool
	// Remains says that sound stayed after the end: something goes round.
	Remains bool
	// Unnamed says that the input holds sound that came and went with the test
	// sound although no path was found.
	Unnamed bool
}

// Line is hum: one frequency in hertz and its level in dBFS rms.
type Line struct{ Frequency, Level float64 }

// Reading is what one measurement found.
type Reading struct {
	Rate int
	// Clock is how much faster the recording's clock ran than the player's, in
	// parts per million.
	Clock float64
	// Paths holds for each input the path from each output.
	Paths  [][]Path
	Inputs []Input
}
