package tones

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Timing is when what is played, in samples from the first one.
type Timing struct {
	// Begin is the end of the silence in which noise and hum are read.
	Begin int
	// Rise is how long the sound takes to become steady from Begin on.
	Rise int
	// End is where the sound begins to fall, whole periods after Begin, and Fall
	// how long that takes.
	End, Fall int
	// Length is the whole, with the silence in which what goes round is heard.
	Length int
}

// periods are played: one to settle, two that are read, one for a recording that
// begins late.
const periods = 4

// Timing is that of one pass. It takes about seven seconds for any number of
// outputs, and less with a shorter period.
func (c *Comb) Timing() Timing {
	each := float64(c.Rate) * float64(c.Period) / float64(Period(c.Rate))
	part := func(seconds float64) int { return int(math.Round(seconds * each)) }
	t := Timing{Begin: part(0.5), Rise: part(0.25), Fall: part(0.05)}
	t.End = t.Begin + periods*c.Period
	t.Length = t.End + t.Fall + part(1)
	return t
}

// Envelope is the part of its level that the sound has at a sample, 0 to 1.
func (t Timing) Envelope(at int) float64 {
	switch {
	case at < t.Begin || at >= t.End+t.Fall:
		return 0
	case at < t.Begin+t.Rise:
		return cosine(float64(at-t.Begin) / float64(t.Rise))
	case at >= t.End:
		return cosine(1 - float64(at-t.End)/float64(t.Fall))
	}
	return 1
}

// cosine rises from 0 to 1 without a corner.
func cosine(x float64) float64 { return (1 - math.Cos(math.Pi*x)) / 2 }

// Sound is one pass of the test sound, ready to be played piece by piece.
type Sound struct {
	Timing Timing
	level  float64
	waves  [][]float32
	// starts are the samples at which each channel's wave begins, once; without them
	// the waves go round.
	starts []int
}

// Sound makes a pass whose rms on each channel is level, in dB to full scale.
// Played are the shares that sound, in the order of the channels; a negative
// one is a channel that stays silent.
func (c *Comb) Sound(level float64, played []int) *Sound {
	s := &Sound{Timing: c.Timing(), level: Ratio(level), waves: make([][]float32, len(played))}
	fft, spectrum := fourier.NewFFT(c.Period), make([]complex128, c.Period/2+1)
	for ch, share := range played {
		if share >= 0 {
			s.waves[ch] = narrow(c.wave(share, fft, spectrum))
		}
	}
	return s
}

// narrow is what is played of a wave: samples in single precision.
func narrow(wave []float64) []float32 {
	samples := make([]float32, len(wave))
	for i, v := range wave {
		samples[i] = float32(v)
	}
	return samples
}

// Ratio is a level in dB as a factor.
func Ratio(decibel float64) float64 { return math.Pow(10, decibel/20) }

// Decibel is a factor as a level in dB; minus infinity for 0.
func Decibel(ratio float64) float64 { return 20 * math.Log10(ratio) }

// Fill writes samples from a place on, channel after channel within each frame,
// full scale being 1; after the end it writes silence. frames holds whole frames.
func (s *Sound) Fill(frames []float32, from int) {
	if s.starts != nil {
		s.fillOnce(frames, from)
		return
	}
	channels := len(s.waves)
	for i := range len(frames) / channels {
		at := from + i
		size := float32(s.level * s.Timing.Envelope(at))
		for ch, wave := range s.waves {
			value := float32(0)
			if wave != nil && size != 0 {
				value = size * wave[(at-s.Timing.Begin)%len(wave)]
			}
			frames[i*channels+ch] = value
		}
	}
}

// fillOnce writes waves that are played once, each from its start on.
func (s *Sound) fillOnce(frames []float32, from int) {
	channels := len(s.waves)
	for i := range len(frames) / channels {
		for ch, wave := range s.waves {
			value := float32(0)
			if at := from + i - s.starts[ch]; at >= 0 && at < len(wave) {
				value = float32(s.level) * wave[at]
			}
			frames[i*channels+ch] = value
		}
	}
}

// Channel is the whole pass on one channel.
func (s *Sound) Channel(ch int) []float32 {
	one := &Sound{Timing: s.Timing, level: s.level, waves: s.waves[ch : ch+1]}
	if s.starts != nil {
		one.starts = s.starts[ch : ch+1]
	}
	samples := make([]float32, s.Timing.Length)
	one.Fill(samples, 0)
	return samples
}
