// Package tones is the test sound by which a room is listened to.
//
// Every output plays tones of its own, all at once. The tones lie on one grid,
// so that the whole sound has one period and its start need not be known. A
// share is the tones of one output, drawn at random over the whole band. Some
// shares are silent: nobody plays them. Whatever is heard on their tones is
// noise, distortion or modulation of the room, and says how loud a tone must be
// to count as heard.
//
// The package also has the Guard, which says when the sound may go on and when it
// must stop. It is pure: the same rate and number of outputs give the same sound on
// every machine.
package tones

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"
)

// version is raised when the drawing changes, so that a recording is never read
// with the tones of another drawing.
const version = 1

// Lowest and Highest are the band of the tones, in hertz.
const (
	Lowest  = 30.0
	Highest = 20000.0
)

// MostOutputs is how many outputs can play at once.
const MostOutputs = 128

// Tone is one line of the grid.
type Tone struct {
	// Bin is its frequency in steps of the grid, rate/period.
	Bin int
	// Line is amplitude and phase: the tone is the real part of
	// Line exp(2 pi i Bin t/period), t in samples.
	Line complex128
}

// Comb is the tones of a number of outputs at one rate.
type Comb struct {
	// Rate is in samples a second, Period in samples.
	Rate, Period int
	// Outputs is the number of shares that are played.
	Outputs int
	// Shares are those of the outputs, then the silent ones, each in the order
	// of frequency and of 1 rms.
	Shares [][]Tone
}

// Rates are those that the test sound can be made for, in samples a second.
func Rates() []int { return []int{44100, 48000, 88200, 96000, 176400, 192000} }

// Period is the length of the sound at a rate, in samples; 0 for a rate that
// the test sound cannot be made for. The grid is nearly the same at all.
func Period(rate int) int {
	switch rate {
	case 44100, 48000:
		return 1 << 16
	case 88200, 96000:
		return 1 << 17
	case 176400, 192000:
		return 1 << 18
	}
	return 0
}

// New draws the tones for 1 to MostOutputs outputs at one of Rates. It takes
// time linear in the period.
func New(rate, outputs int) (*Comb, error) { return NewOf(rate, outputs, Period(rate)) }

// ShortestPeriod is that of NewOf, in samples.
const ShortestPeriod = 1 << 13

// NewOf is New with a period of its own in samples, a power of two from ShortestPeriod to
// that of the rate. A shorter one is played and read in less time; with each half of the period the
// tones of a share lie twice as far apart, and noise hides 3 dB more.
func NewOf(rate, outputs, period int) (*Comb, error) {
	if Period(rate) == 0 {
		return nil, fmt.Errorf("a rate of %d samples a second; the test sound is made for %v", rate, Rates())
	}
	if period < ShortestPeriod || period > Period(rate) || period&(period-1) != 0 {
		return nil, fmt.Errorf("a period of %d samples; the test sound has a power of two from %d to %d", period, ShortestPeriod, Period(rate))
	}
	if outputs < 1 || outputs > MostOutputs {
		return nil, fmt.Errorf("%d outputs; 1 to %d can play at once", outputs, MostOutputs)
	}
	c := &Comb{Rate: rate, Period: period, Outputs: outputs}
	c.Shares = make([][]Tone, outputs+silent(outputs))
	c.draw(rand.NewChaCha8(seed(outputs, period)))
	for _, share := range c.Shares {
		normalise(share)
	}
	return c, nil
}

// silent is the number of shares that nobody plays: enough tones for an
// estimate of the noise around each frequency.
func silent(outputs int) int { return max(4, outputs/8) }

func seed(outputs, period int) [32]byte {
	var key [32]byte
	for i, v := range []int{version, outputs, period} {
		binary.LittleEndian.PutUint64(key[8*i:], uint64(v))
	}
	return key
}

// draw cuts the grid into blocks of one tone a share and deals each out anew, so
// that distortion of one share falls on all others alike.
func (c *Comb) draw(source *rand.ChaCha8) {
	bins := c.grid()
	n := len(c.Shares)
	turn := make([]int, n)
	for ; len(bins) >= n; bins = bins[n:] {
		shuffle(turn, source)
		for i, share := range turn {
			phase := 2 * math.Pi * float64(source.Uint64()>>11) / (1 << 53)
			sin, cos := math.Sincos(phase)
			size := 1 / math.Sqrt(max(c.Frequency(bins[i]), 100))
			c.Shares[share] = append(c.Shares[share], Tone{bins[i], complex(size*cos, size*sin)})
		}
	}
}

// shuffle is a permutation drawn from the bits of the source alone: what the
// library makes of them may change from one version to the next.
func shuffle(turn []int, source *rand.ChaCha8) {
	for i := range turn {
		turn[i] = i
	}
	for i := len(turn) - 1; i > 0; i-- {
		j := int((source.Uint64() >> 32) * uint64(i+1) >> 32)
		turn[i], turn[j] = turn[j], turn[i]
	}
}

// grid is every bin in the band that is clear of hum.
func (c *Comb) grid() []int {
	var bins []int
	for bin := int(math.Ceil(Lowest / c.Step())); c.Frequency(bin) <= min(Highest, 0.46*float64(c.Rate)); bin++ {
		if !c.nearHum(c.Frequency(bin)) {
			bins = append(bins, bin)
		}
	}
	return bins
}

// HumBelow is the frequency up to which hum is looked for, in hertz.
const HumBelow = 1050.0

// nearHum says whether hum of 50 or 60 Hz, or a harmonic, would be read in a
// tone. Mains keep their frequency within 0.02 per cent for the most part: from
// memory.
func (c *Comb) nearHum(f float64) bool {
	if f > HumBelow+5 {
		return false
	}
	for _, mains := range []float64{50, 60} {
		harmonic := math.Round(f/mains) * mains
		if harmonic > 0 && harmonic < HumBelow && math.Abs(f-harmonic) <= 1.2*c.Step()+0.0002*harmonic {
			return true
		}
	}
	return false
}

// Step is the grid's spacing, in hertz.
func (c *Comb) Step() float64 { return float64(c.Rate) / float64(c.Period) }

// Frequency is that of a bin, in hertz.
func (c *Comb) Frequency(bin int) float64 { return float64(bin) * c.Step() }

func normalise(share []Tone) {
	power := 0.0
	for _, t := range share {
		power += (real(t.Line)*real(t.Line) + imag(t.Line)*imag(t.Line)) / 2
	}
	for i := range share {
		share[i].Line /= complex(math.Sqrt(power), 0)
	}
}

// Wave is one period of a share, of 1 rms.
func (c *Comb) Wave(share int) []float64 {
	return c.wave(share, fourier.NewFFT(c.Period), make([]complex128, c.Period/2+1))
}

// wave is Wave by a transform of the period, which writes to the spectrum.
func (c *Comb) wave(share int, fft *fourier.FFT, spectrum []complex128) []float64 {
	clear(spectrum)
	for _, t := range c.Shares[share] {
		spectrum[t.Bin] = t.Line / 2
	}
	return fft.Sequence(nil, spectrum)
}
