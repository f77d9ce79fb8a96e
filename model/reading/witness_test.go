package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// sequence is one period of a sequence of maximal length, 2^15-1 of 1 and -1, by a shift
// register with taps at 15 and 14: x^15 + x^14 + 1 is primitive (Golomb, Shift Register
// Sequences, 1967: from memory).
func sequence() []float64 {
	s := make([]float64, 1<<15-1)
	state := uint(1)
	for i := range s {
		s[i] = 1 - 2*float64(state&1)
		state = state>>1 | (state^state>>1)&1<<14
	}
	return s
}

// correlation is the mean of a period of samples times the sequence, which goes round, a lag
// before.
func correlation(samples, sequence []float64, lag int) float64 {
	sum := 0.0
	for i, x := range samples {
		sum += x * sequence[(i-lag+len(sequence))%len(sequence)]
	}
	return sum / float64(len(sequence))
}

// The autocorrelation of a sequence of maximal length is 1, and -1/length at every other lag
// (Golomb): what a witness is made of.
func TestSequence(t *testing.T) {
	s := sequence()
	for _, lag := range []int{1, 2, 151, 16000, len(s) - 1} {
		near(t, "autocorrelation", correlation(s, s, lag), -1/float64(len(s)), 1e-12)
	}
	near(t, "autocorrelation", correlation(s, s, 0), 1, 1e-12)
}

// A second witness: the same paths by a sequence of maximal length in place of tones, which
// shares neither sound nor receiver with the comb, say the same of level, polarity and delay.
func TestASequenceSaysTheSame(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
	s := sequence()
	ways := []func(x []float64) []float64{
		func(x []float64) []float64 { return x },
		func(x []float64) []float64 { return negated(late(x, 151)) },
		func(x []float64) []float64 { return gain(late(x, 7), -6.02) },
		func(x []float64) []float64 { return negated(gain(late(x, 9000), -40)) },
	}
	var channels [][]float64
	for out, way := range ways {
		channels = append(channels, r.noise(way(r.played(out)), -100))
	}
	got := listen(t, reading.NewEar(comb, -30), channels...)
	for out, way := range ways {
		path := got.Paths[out][out]
		if !path.Found {
			t.Fatalf("output %d is not found", out)
		}
		var played []float64 // at 0.03 of full scale, as the tones; the second period is steady
		for range 2 {
			played = append(played, s...)
		}
		heard := r.noise(way(gain(played, -30)), -100)[len(s):]
		lag := int(math.Round(path.Delay))
		height := correlation(heard, s, lag) / tones.Ratio(-30)
		near(t, "level", path.Level, tones.Decibel(math.Abs(height)), 0.01)
		if reversed := height < 0; reversed != (path.Polarity == reading.Reversed) {
			t.Errorf("output %d is %v, and by a sequence reversed: %v", out, path.Polarity, reversed)
		}
		for _, beside := range []int{lag - 1, lag + 1, lag + 4000} {
			if other := correlation(heard, s, beside) / tones.Ratio(-30); math.Abs(other) > 0.01*math.Abs(height) {
				t.Errorf("output %d, %d samples late: %g beside %g", out, beside, other, height)
			}
		}
	}
}
