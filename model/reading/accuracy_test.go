package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// What is read of gain and delay scatters as little as noise allows: within a
// tenth of the bound of Cramér and Rao for the gain, 8.686/sqrt(2E/N0) dB, as far down as
// nothing is missed, from -30 dB up (Kay, Fundamentals of Statistical Signal Processing,
// 1993: from memory). BAYHAND_ACCURACY says how many trials a
// level has; from 100 on all levels are tried, down to where half is missed. From 200 on
// the sound has 8 outputs and a quarter of its period, and the noise is 6.02 dB lower: what
// counts is the energy over the noise, which stays.
func TestGainMeetsItsBound(t *testing.T) {
	trials := count("BAYHAND_ACCURACY", 4)
	outputs, period := 32, tones.Period(48000)
	if trials >= 200 {
		outputs, period = 8, period/4
	}
	comb, err := tones.NewOf(48000, outputs, period)
	if err != nil {
		t.Fatal(err)
	}
	shorter := 10 * math.Log10(float64(tones.Period(48000))/float64(period))
	waves := map[int][]float64{}
	ear := reading.NewEar(comb, -30)
	levels := []float64{-34, -32, -30, -29, -28, -20, -10, 0, 20}
	if trials < 100 {
		levels = []float64{-20}
	}
	for _, snr := range levels {
		random := rand.New(rand.NewPCG(7, uint64(100+snr)))
		var gains, delays []float64
		missed := 0
		for trial := range trials {
			r := &room{comb, random, comb.Timing(), waves}
			out := trial % outputs
			// 33 dB down, so that the loudest noise does not come to full scale: noise
			// that is clipped takes what lies under it down with it.
			got := listen(t, ear, r.noise(gain(r.played(out), -33), -63-snr-shorter)).Paths[0][out]
			if !got.Found {
				missed++
				continue
			}
			gains, delays = append(gains, got.Level+33), append(delays, got.Delay)
		}
		// Two periods, and white noise of which the band holds 20 of 24 kHz: 2E/N0
		// is the power ratio times the number of samples.
		bound := 8.686 / math.Sqrt(math.Pow(10, snr/10)*2*float64(tones.Period(48000)))
		predicted := math.Erfc((8.686/bound-reading.Threshold)/math.Sqrt2) / 2
		t.Logf("SNR %4.0f dB: missed %d/%d (%.3g by the normal distribution)  gain %.4f dB off, deviation %.4f dB (bound %.4f)  delay deviation %.4f samples (bound %.4f)",
			snr, missed, trials, predicted*float64(trials), mean(gains), deviation(gains), bound, deviation(delays), delayBound(comb, snr+shorter))
		if share, sure := float64(missed)/float64(trials), 4*math.Sqrt(predicted/float64(trials)); trials >= 200 && math.Abs(share-predicted) > 0.1+sure {
			t.Errorf("SNR %.0f dB: %.3f missed; by the normal distribution %.3f", snr, share, predicted)
		}
		if missed > trials/100 && snr >= -30 {
			t.Errorf("SNR %.0f dB: %d of %d missed", snr, missed, trials)
		}
		allowed := 1.1 + 3/math.Sqrt(2*float64(trials))
		if snr >= -30 && deviation(gains) > allowed*bound {
			t.Errorf("SNR %.0f dB: the gain scatters by %.4f dB; the bound is %.4f", snr, deviation(gains), bound)
		}
		if off := mean(gains); snr >= -28 && math.Abs(off) > 4*bound/math.Sqrt(float64(trials)) {
			t.Errorf("SNR %.0f dB: the gain is %.4f dB off; the bound is %.4f", snr, off, bound)
		}
	}
}

// A path 30 dB under the noise is found and is not called smeared: what the noise adds to
// the power in its tones is no part of it.
func TestWeakPathIsNotSmeared(t *testing.T) {
	comb, err := tones.New(48000, 32)
	if err != nil {
		t.Fatal(err)
	}
	r := &room{comb, rand.New(rand.NewPCG(5, 30)), comb.Timing(), map[int][]float64{}}
	var channels [][]float64
	for out := range 6 {
		channels = append(channels, r.noise(gain(r.played(out), -33), -33))
	}
	got := listen(t, reading.NewEar(comb, -30), channels...)
	for out, paths := range got.Paths {
		if p := paths[out]; !p.Found || p.Smeared || math.Abs(p.Level+33) > 3 {
			t.Errorf("output %d: %+v", out, p)
		}
	}
}

// delayBound is that of Cramér and Rao for the delay of a known sound in white noise, in
// samples: 1/sqrt(2E/N0 x the mean square of its angular frequencies), for the first
// share of a comb that is heard twice.
func delayBound(comb *tones.Comb, snr float64) float64 {
	power, square := 0.0, 0.0
	for _, tone := range comb.Shares[0] {
		p := real(tone.Line)*real(tone.Line) + imag(tone.Line)*imag(tone.Line)
		w := 2 * math.Pi * comb.Frequency(tone.Bin) / float64(comb.Rate)
		power, square = power+p, square+p*w*w
	}
	return 1 / math.Sqrt(math.Pow(10, snr/10)*2*float64(comb.Period)*square/power)
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

func deviation(values []float64) float64 {
	m, sum := mean(values), 0.0
	for _, v := range values {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

// Tails of the normal distribution, from tables of Q (computed): 1e-6 is 4.7534
// deviations, 5e-7 4.8916. So 65,536 lags of either sign reach 6.745 once in
// 1e6, and the threshold stands a thousand times further out.
func TestThreshold(t *testing.T) {
	q := func(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }
	for x, want := range map[float64]float64{4.7534: 1e-6, 4.8916: 5e-7} {
		if got := q(x); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("Q(%v) is %g, not %g", x, got, want)
		}
	}
	if got := 65536 * 2 * q(6.745); math.Abs(got/1e-6-1) > 0.01 {
		t.Errorf("65,536 lags reach 6.745 with %g", got)
	}
	if got := 65536 * 2 * q(reading.Threshold); got > 1e-9 {
		t.Errorf("noise reaches the threshold with %g", got)
	}
}

// What one value needs over the noise, for 0.9 of the finds and 1e-6 of false ones: 13.115 dB
// by Albersheim's formula where the phase is not known (Albersheim, A closed-form approximation
// to Robertson's detection characteristics, 1981; Richards, Fundamentals of Radar Signal
// Processing: the value is computed), which is within 0.2 dB of Rice's distribution. Who knows
// it but for the sign, as Threshold does, needs 4.8916 + 1.2816 deviations, which is 0.3 dB less.
func TestOneValueOverNoise(t *testing.T) {
	a, b := math.Log(0.62/1e-6), math.Log(0.9/0.1)
	closed := (6.2 + 4.54/math.Sqrt(1.44)) * math.Log10(a+0.12*a*b+1.7*b)
	near(t, "Albersheim's formula", closed, 13.115, 0.0005)
	limit := math.Sqrt(2 * math.Log(1e6)) // Rayleigh's distribution passes it with 1e-6
	snr := closed
	for ; rice(math.Sqrt(2*math.Pow(10, snr/10)), limit) > 0.9; snr -= 0.001 {
	}
	near(t, "by Rice's distribution", snr, closed, 0.2)
	near(t, "where the phase is known", 20*math.Log10(4.8916+1.2816)-10*math.Log10(2), closed-0.32, 0.02)
}

// rice is how likely the length of two normal values of 1 deviation, one of which has a mean,
// passes a limit: by adding up over the one, of which the other needs a share.
func rice(mean, limit float64) (p float64) {
	const step = 0.001
	for x := -8.0; x < 8; x += step {
		other := math.Sqrt(max(0, limit*limit-(mean+x)*(mean+x)))
		p += step * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * math.Erfc(other/math.Sqrt2)
	}
	return p
}

// Noise alone names nobody, and its statistics have the tail that is claimed.
// BAYHAND_NOISE says how many inputs of noise are listened to.
func TestNoiseNamesNobody(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	ear := reading.NewEar(comb, -30)
	random := rand.New(rand.NewPCG(3, 9))
	most, decisions := 0.0, 0
	for range count("BAYHAND_NOISE", 2) {
		r := &room{comb, random, comb.Timing(), nil}
		got := listen(t, ear, r.noise(make([]float64, r.timing.Length), -40))
		for out, p := range got.Paths[0] {
			decisions++
			most = max(most, p.Statistic)
			if p.Found {
				t.Errorf("output %d is found in noise: %.2f", out, p.Statistic)
			}
		}
		if n := got.Inputs[0].Noise; math.Abs(n+40) > 0.3 {
			t.Errorf("noise of -40 dBFS is read as %.2f", n)
		}
	}
	t.Logf("highest of %d decisions: %.2f", decisions, most)
}

func TestWhatAPathSays(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	ear := reading.NewEar(comb, -30)
	r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
	channels := [][]float64{
		r.noise(gain(late(r.played(0), 151), -6.02), -100),
		r.noise(negated(r.played(1)), -100),
		r.noise(add(gain(r.played(2), -6.02), gain(r.played(3), -6.02)), -100),
		r.noise(telephone(r.played(4)), -100),
		r.noise(broken(r.played(5), 0.1), -100),
		r.noise(reverberate(r, r.played(6)), -100),
		r.noise(clip(gain(r.played(7), 40)), -100),
		hum(r.noise(make([]float64, len(r.played(0))), -100), -50),
	}
	got := listen(t, ear, channels...)
	a, b := got.Paths[0][0], got.Paths[1][1]
	near(t, "level", a.Level, -6.02, 0.01)
	near(t, "delay", a.Delay, 151, 0.01)
	near(t, "coherence", a.Coherence, 1, 0.01)
	near(t, "lowest", a.Low, 30, 6)
	near(t, "highest", a.High, 20000, 600)
	if a.Polarity != reading.Kept || b.Polarity != reading.Reversed || a.Out != 0 {
		t.Errorf("polarities %v and %v, out %v", a.Polarity, b.Polarity, a.Out)
	}
	near(t, "level of one of two", got.Paths[2][2].Level, -6.02, 0.02)
	near(t, "level of the other", got.Paths[2][3].Level, -6.02, 0.02)
	near(t, "lowest through a telephone", got.Paths[3][4].Low, 300, 60)
	near(t, "highest through a telephone", got.Paths[3][4].High, 3400, 600)
	near(t, "part that a contact is out", got.Paths[4][5].Out, 0.1, 0.06)
	if p := got.Paths[5][6]; !p.Found || !p.Smeared || p.Polarity != reading.Unclear {
		t.Errorf("reverberation is read as %+v", p)
	}
	for i, in := range got.Inputs {
		if in.Clipped != (i == 6) {
			t.Errorf("input %d clipped: %v", i, in.Clipped)
		}
		if (len(in.Hum) > 0) != (i == 7) {
			t.Errorf("input %d has hum %v", i, in.Hum)
		}
		if in.Remains {
			t.Errorf("input %d: sound remains", i)
		}
	}
	line := got.Inputs[7].Hum[0]
	near(t, "hum", line.Frequency, 50, 0)
	near(t, "level of hum", line.Level, -53.01, 0.1)
	if n := len(got.Inputs[7].Hum); n != 20 {
		t.Errorf("%d lines of hum, not 20", n)
	}
}

// A clock that is off is found exactly, also by whoever reads a weak path.
func TestClock(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	ear := reading.NewEar(comb, -30)
	for _, ppm := range []float64{-250, -3} {
		r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
		got := listen(t, ear, r.noise(resample(r.played(2), drift(ppm)), -90))
		near(t, "clock", got.Clock, ppm, 0.02)
		near(t, "level", got.Paths[0][2].Level, 0, 0.02)
	}
}

// What goes round stays after the stop.
func TestRemains(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	ear := reading.NewEar(comb, -30)
	r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
	ring := r.played(2)
	for i := 4800; i < len(ring); i++ {
		ring[i] += 0.995 * ring[i-4800]
	}
	if got := listen(t, ear, r.noise(gain(ring, -30), -100)); !got.Inputs[0].Remains {
		t.Errorf("a loop of 0.995 is not heard: %+v", got.Inputs[0])
	}
}

func TestWhatCannotBeRead(t *testing.T) {
	comb, err := tones.New(48000, 8)
	if err != nil {
		t.Fatal(err)
	}
	ear := reading.NewEar(comb, -30)
	for want, r := range map[string]reading.Recording{
		"a recording of 44100 samples a second; the test sound was made for 48000": {Rate: 44100},
		"a recording without channels":                                             {Rate: 48000},
		"a recording of 0.0 s; at least 3.2 s are needed to hear the sound twice":  {Rate: 48000, Channels: [][]float32{make([]float32, 9)}},
		"channel 2 has 8 samples and channel 1 has 9":                              {Rate: 48000, Channels: [][]float32{make([]float32, 9), make([]float32, 8)}},
	} {
		if _, err := ear.Read(r); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %.4f, not %.4f", what, got, want)
	}
}

func negated(samples []float64) []float64 {
	for i := range samples {
		samples[i] = -samples[i]
	}
	return samples
}

func clip(samples []float64) []float64 {
	for i, x := range samples {
		samples[i] = max(-1, min(1, x))
	}
	return samples
}

// broken is a contact that is out for a part of each second.
func broken(samples []float64, part float64) []float64 {
	for i := range samples {
		if i%48000 < int(part*48000) {
			samples[i] = 0
		}
	}
	return samples
}

// BenchmarkListen reads one input with each number of outputs.
func BenchmarkListen(b *testing.B) {
	for _, outputs := range []int{8, 32, 128} {
		b.Run(map[int]string{8: "8", 32: "32", 128: "128"}[outputs], func(b *testing.B) {
			comb, err := tones.New(48000, outputs)
			if err != nil {
				b.Fatal(err)
			}
			ear := reading.NewEar(comb, -30)
			r := &room{comb, rand.New(rand.NewPCG(1, 2)), comb.Timing(), map[int][]float64{}}
			samples := make([]float32, r.timing.Length+24000)
			for i, v := range r.noise(r.played(1), -90) {
				samples[i] = float32(v)
			}
			fitting := ear.Fit(reading.Recording{Rate: 48000, Channels: [][]float32{samples}})
			for b.Loop() {
				ear.Listen(samples, fitting)
			}
		})
	}
}
