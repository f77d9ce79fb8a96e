package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// correlation is the mean of a period of samples times the sequence, which goes round, a lag
// before.
func correlation(samples, sequence []float64, lag int) float64 {
	sum := 0.0
	for i, x := range samples {
		sum += x * sequence[(i-lag+len(sequence))%len(sequence)]
	}
	return sum / float64(len(sequence))
}

// A second witness: the same paths by a sequence of maximal length in place of tones, which
// shares neither sound nor receiver with the comb, say the same of level, polarity and delay.
func TestASequenceSaysTheSame(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
	s := chips(maximal15())
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
