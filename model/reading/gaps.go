package reading

import (
	"bayhand/model/tones"
)

// Limits of a block of 10 ms, as the part of the output's own sound that it
// holds: away is below which the path was out, moved what only sound that moves
// in time gives, such as tape.
const (
	away  = 0.3
	moved = -0.2
)

// loudEnough is the part of an input's power that a path must have for its gaps
// to be told.
const loudEnough = 0.05

// gaps finds for each path how much of the time it was away: the input without
// the other outputs' sound is held against what the output should sound like,
// block by block.
func (e *Ear) gaps(v *view, paths []Path) {
	total := 0.0
	for _, x := range v.steady.samples {
		total += float64(x) * float64(x)
	}
	total /= float64(len(v.steady.samples))
	waves := map[int][]float64{}
	all := make([]float64, e.comb.Period)
	for out, p := range paths {
		if p.Found && e.sharePower(v, e.comb.Shares[out]) > loudEnough*total {
			waves[out] = e.predicted(v, e.comb.Shares[out])
			for i, x := range waves[out] {
				all[i] += x
			}
		}
	}
	for out, own := range waves {
		paths[out].Out = e.out(v.steady.samples, own, all)
	}
}

func (e *Ear) sharePower(v *view, share []tones.Tone) float64 {
	sum := 0.0
	for _, t := range share {
		sum += square(v.mean[t.Bin]) / 2
	}
	return sum
}

// predicted is one period of what an output gives at this input.
func (e *Ear) predicted(v *view, share []tones.Tone) []float64 {
	clear(e.spectrum)
	for _, t := range share {
		e.spectrum[t.Bin] = v.mean[t.Bin] / 2
	}
	return e.fft.Sequence(nil, e.spectrum)
}

// out is the part of the blocks in which an output's own sound is away, of all that is
// predicted; 0 where it moves in time.
func (e *Ear) out(samples []float32, own, all []float64) float64 {
	block := e.comb.Rate / 100
	blocks, gone := 0, 0
	for from := 0; from+block <= len(samples); from += block {
		cross, power := 0.0, 0.0
		for i := from; i < from+block; i++ {
			at := i % e.comb.Period
			cross += (float64(samples[i]) - all[at] + own[at]) * own[at]
			power += own[at] * own[at]
		}
		blocks++
		switch {
		case cross < moved*power:
			return 0
		case cross < away*power:
			gone++
		}
	}
	return float64(gone) / float64(blocks)
}
