package reading

import (
	"math"
	"slices"
)

// locate finds the sample at which the sound begins, by power in blocks of 10
// ms: the place from which a stretch as long as the sound is loudest against
// the rest. Where nothing rises above the noise the recording is taken to have
// begun with the playing.
func (e *Ear) locate(r Recording) int {
	block := e.comb.Rate / 100
	n := len(r.Channels[0]) / block
	sum := make([]float64, n+1) // of loudness, over all inputs, from the first block on
	for _, ch := range r.Channels {
		for i, loud := range loudness(ch, block) {
			sum[i+1] += loud
		}
	}
	for i := range n {
		sum[i+1] += sum[i]
	}
	if sum[n] == 0 {
		return e.timing.Begin
	}
	return e.begin(sum, block)
}

// loudness is for each block how many dB it is above the quietest tenth, and 0
// where the whole does not differ by 6 dB: such an input says nothing of when.
func loudness(samples []float32, block int) []float64 {
	n := len(samples) / block
	levels := make([]float64, n)
	for i := range levels {
		power := 1e-20
		for _, v := range samples[i*block : (i+1)*block] {
			power += float64(v) * float64(v)
		}
		levels[i] = 10 * math.Log10(power)
	}
	order := slices.Clone(levels)
	slices.Sort(order)
	floor, top := order[n/10], order[n*8/10]
	for i := range levels {
		// Loudness beyond the usual says no more of when.
		levels[i] = min(max(0, levels[i]-floor), top-floor)
		if top-floor < 6 {
			levels[i] = 0
		}
	}
	return levels
}

// before is the quiet that is looked for ahead of the sound, in blocks of 10 ms,
// and how much more a loud block counts there than within: where sound goes
// round it stays after the end, but there is none before the beginning.
const (
	before      = 30
	beforeTells = 10
)

// begin is the place at which a stretch of the sound's length holds most above
// the mean, and what precedes it least. A stretch may begin before the recording
// or end after it.
func (e *Ear) begin(sum []float64, block int) int {
	n := len(sum) - 1
	mean := sum[n] / float64(n) / 2
	length := (e.timing.End - e.timing.Begin) / block
	best, at := math.Inf(-1), 0
	for from := -length / 2; from < n-length/2; from++ {
		a, b := max(0, from), min(n, from+length)
		score := sum[b] - sum[a] - mean*float64(b-a) - beforeTells*(sum[a]-sum[max(0, a-before)])
		if score > best+1e-9 {
			best, at = score, from
		}
	}
	return at * block
}
