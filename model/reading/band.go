package reading

import (
	"math"
	"slices"

	"bayhand/model/tones"
)

// third is a third octave with its gain.
type third struct {
	middle, power float64
}

// band is the lowest and the highest frequency at which a path is within 3 dB of
// the median of those of its third octaves that carry it; 0 where none holds a
// tone above the noise. The spacing of the tones limits its low end.
func (e *Ear) band(v *view, share []tones.Tone) (low, high float64) {
	thirds := e.thirds(v, share)
	limit := middle(thirds) / 2
	if limit == 0 {
		return 0, 0
	}
	first := slices.IndexFunc(thirds, func(t third) bool { return t.power >= limit })
	slices.Reverse(thirds)
	last := slices.IndexFunc(thirds, func(t third) bool { return t.power >= limit })
	edge := math.Pow(2, 1.0/6)
	return max(tones.Lowest, thirds[len(thirds)-1-first].middle/edge),
		min(tones.Highest, thirds[last].middle*edge)
}

// thirds are the third octaves around 1 kHz that hold a tone of the share.
func (e *Ear) thirds(v *view, share []tones.Tone) []third {
	heard, made, counts := map[int]float64{}, map[int]float64{}, map[int]int{}
	for _, t := range share {
		n := int(math.Round(3 * math.Log2(e.comb.Frequency(t.Bin)/1000)))
		heard[n] += max(0, square(v.mean[t.Bin])-v.noise[t.Bin])
		made[n] += square(t.Line)
		counts[n]++
	}
	var all []third
	for n := -16; n <= 14; n++ {
		if counts[n] > 0 {
			all = append(all, third{1000 * math.Pow(2, float64(n)/3), heard[n] / made[n]})
		}
	}
	return all
}

// middle is the median power of the third octaves within 10 dB of the loudest.
func middle(thirds []third) float64 {
	most := 0.0
	for _, t := range thirds {
		most = max(most, t.power)
	}
	var powers []float64
	for _, t := range thirds {
		if t.power > most/10 {
			powers = append(powers, t.power)
		}
	}
	if len(powers) == 0 {
		return 0
	}
	slices.Sort(powers)
	return powers[len(powers)/2]
}
