package level

import (
	"math"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

// Limits from which on an arrival deserves a look: common practice, no
// published source.
const (
	// FarOver is how far off the working level is, in dB.
	FarOver = 3
	// NearClip is how little headroom is little, in dB.
	NearClip = 10
	// TrebleAdvice and TrebleWarning are losses at 20 kHz, in dB.
	TrebleAdvice, TrebleWarning = 1, 3
)

// Early says whether the destination, a matrix, or the stage of the source clips
// before the source's own headroom is used, and with less than 10 dB to go.
func (a Arrival) Early() bool {
	return a.Headroom.Low < NearClip && a.Headroom.Low < a.Own-apart
}

// Divided is what an open output of impedance ZS loses into a load ZL, in dB, 0 or
// more: 20 log10((ZS + ZL) / ZL), the voltage divider (Ballou, Handbook for Sound
// Engineers).
func Divided(source, load measure.Impedance) float64 {
	return 20 * math.Log10(float64(source+load)/float64(load))
}

// Loading is what the inputs on the source's net take together of the level that is
// given for it, in dB, 0 or more: of an open output's, or of that into the load at
// which it is rated. It is 0 where nothing that is known listens.
func (a Arrival) Loading() float64 {
	if a.Load == nil {
		return 0
	}
	return max(0, Divided(a.Source.Line.Source, *a.Load)-into(a.Source.Line))
}

// Forbidden says whether the source sees less than the lowest load that it may.
func (a Arrival) Forbidden() bool {
	return a.Load != nil && a.Source.Line.MinLoad > 0 && *a.Load < a.Source.Line.MinLoad
}

// Dull says whether the treble is down by a decibel or more.
func (a Arrival) Dull() bool { return a.Treble != nil && a.Treble.Low <= -TrebleAdvice }

// Undecided says whether the stage of a balanced output, which nobody said,
// matters to the level.
func (a Arrival) Undecided() bool { return !a.Arrives.Exact() }

// Shorted says whether an output that drives both legs works into a short with
// one of them.
func (a Arrival) Shorted() bool {
	return a.Source.Line.Stage == studio.ActiveStage && len(a.Cold) > 0
}

// ColdCurrent is what an active output's cold leg gives into ground at a level
// in dBu, in ampere: (V/2) / (ZS/2).
func ColdCurrent(l studio.Line, dBu float64) float64 {
	return math.Sqrt(0.6) * math.Pow(10, dBu/20) / math.Max(float64(l.Source), least)
}

// Far says whether it may arrive FarOver or more over or under what is wanted.
func (a Arrival) Far() bool { return a.Over.Low <= -FarOver || a.Over.High >= FarOver }

// DeservesALook says whether an experienced hand would want to know.
func (a Arrival) DeservesALook() bool {
	return a.Far() || a.Early() || a.Forbidden() || a.Dull() || a.Undecided() || a.Shorted() || len(a.Joined) > 0
}
