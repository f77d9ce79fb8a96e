package reading_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// combed plays a comb, and reads as the program does.
func combed(comb *tones.Comb) *alternative {
	a := &alternative{timing: comb.Timing(), wave: comb.Wave}
	ear := reading.NewEar(comb, -30)
	a.read = func(samples []float32) []reading.Path {
		r := reading.Recording{Rate: comb.Rate, Channels: [][]float32{samples}}
		paths, _ := ear.Listen(samples, ear.Fit(r))
		return paths
	}
	return a
}

// randomComb is the comb that is played.
func randomComb(outputs int) *tones.Comb {
	comb, err := tones.New(48000, outputs)
	if err != nil {
		panic(err)
	}
	return comb
}

// regularComb is the comb as textbooks have it: the tones of a share lie equally far apart, over
// the whole band, as loud as those of the random one. Its phases are random as well, or give
// each line the time in the period that its power asks for, so that the crest is low (Schroeder,
// Synthesis of low-peak-factor signals and binary sequences with low autocorrelation, 1970:
// from memory).
func regularComb(outputs int, low bool) *tones.Comb {
	comb, source := randomComb(outputs), rand.New(rand.NewPCG(5, uint64(outputs)))
	n := len(comb.Shares)
	first, last := int(math.Ceil(tones.Lowest/comb.Step())), int(tones.Highest/comb.Step())
	for share := range comb.Shares {
		comb.Shares[share] = nil
		total := 0.0
		for bin := first + share; bin <= last; bin += n {
			total += 1 / max(comb.Frequency(bin), 100)
		}
		phase, before := 0.0, 0.0
		for bin := first + share; bin <= last; bin += n {
			power := 1 / max(comb.Frequency(bin), 100) / total
			if !low {
				phase = 2 * math.Pi * source.Float64()
			}
			line := cmplx.Rect(math.Sqrt(2*power), -phase)
			comb.Shares[share] = append(comb.Shares[share], tones.Tone{Bin: bin, Line: line})
			before += power
			phase += 2 * math.Pi * before
		}
	}
	return comb
}
