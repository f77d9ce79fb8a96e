package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// harmonic k of a sweep comes early by T ln k/ln(to/from), from 200 to 12,000 Hz in 1 s:
// 0.1693 s for the second, 0.2683 s for the third (Farina 2000, from memory; computed).
func TestHarmonicsComeEarly(t *testing.T) {
	ratio := math.Log(tones.SweepTo / tones.SweepFrom)
	if math.Abs(ratio-4.0943) > 1e-4 {
		t.Errorf("the ratio is %.4f", ratio)
	}
	s, err := tones.NewSweeps(48000, 1)
	if err != nil {
		t.Fatal(err)
	}
	for k, early := range map[float64]float64{2: 0.1693, 3: 0.2683} {
		if got := math.Log(k) / ratio; math.Abs(got-early) > 1e-4 {
			t.Errorf("harmonic %g is early by %.4f s, want %.4f", k, got, early)
		}
		// A sound of the frequency f at t is the k-th harmonic of what is played then.
		at := int((0.5 - early) * 48000)
		if got, want := k*frequency(s.Wave, at), frequency(s.Wave, 24000); math.Abs(got/want-1) > 0.01 {
			t.Errorf("harmonic %g: %.0f Hz, want %.0f", k, got, want)
		}
	}
	power := 0.0
	for _, v := range s.Wave {
		power += v * v
	}
	if rms := math.Sqrt(power / float64(len(s.Wave))); math.Abs(tones.Decibel(rms)) > 0.2 {
		t.Errorf("a sweep has %.2f dB", tones.Decibel(rms))
	}
}

// frequency is that of a wave around a sample, by its zeros.
func frequency(wave []float64, at int) float64 {
	var zeros []float64
	for i := at - 480; i < at+480; i++ {
		if wave[i] < 0 && wave[i+1] >= 0 {
			zeros = append(zeros, float64(i)+wave[i]/(wave[i]-wave[i+1]))
		}
	}
	return 48000 * float64(len(zeros)-1) / (zeros[len(zeros)-1] - zeros[0])
}

// swept are paths by sweeps; the last is what the tones of all at once cannot name.
var swept = []struct {
	name  string
	level float64 // NaN where it is not said
	make  func(r *room, x []float64) []float64
}{
	{"flat", 0, func(_ *room, x []float64) []float64 { return x }},
	{"reversed, 6 dB low", -6.0206, func(_ *room, x []float64) []float64 {
		for i := range x {
			x[i] /= -2
		}
		return x
	}},
	{"-60 dB", -60, func(_ *room, x []float64) []float64 { return gain(x, -60) }},
	{"wow 2 %", math.NaN(), func(r *room, x []float64) []float64 { return resample(x, wow(r)) }},
	{"delay 1.2 s", 0, func(_ *room, x []float64) []float64 { return late(x, 57600) }},
	{"reverb 2 s", math.NaN(), reverberate},
	{"compressor 4:1", math.NaN(), func(_ *room, x []float64) []float64 { return compress(x, 4) }},
	{"overdriven", math.NaN(), func(_ *room, x []float64) []float64 { return overdrive(x) }},
	{"hum 20 dB over", math.NaN(), func(_ *room, x []float64) []float64 { return hum(x, -10) }},
	{"retuned 3 %", math.NaN(), func(_ *room, x []float64) []float64 { return retune(x, 1.03) }},
}

// retune plays sound at another pitch and at the same speed: two readers of a line of
// 50 ms that run faster than it is written, each faded while it jumps back (the rotating
// heads of old pitch shifters: common practice, no published source).
func retune(samples []float64, ratio float64) []float64 {
	const window = 2400.0
	made := make([]float64, len(samples))
	for i := range made {
		for _, start := range []float64{0, 0.5} {
			phase := math.Mod(float64(i)*(ratio-1)/window+start, 1)
			place := float64(i) - window*(1-phase)
			if at := int(math.Floor(place)); at >= 0 && at+1 < len(samples) {
				part := place - float64(at)
				sin := math.Sin(math.Pi * phase)
				made[i] += sin * sin * (samples[at]*(1-part) + samples[at+1]*part)
			}
		}
	}
	return made
}

// Each output is named by its sweep whatever the way does to it, and none is named that
// is not there. BAYHAND_SWEEPS says how many trials.
func TestSweeps(t *testing.T) {
	const outputs = 2
	s, err := tones.NewSweeps(48000, outputs)
	if err != nil {
		t.Fatal(err)
	}
	slots := reading.NewSlots(s, -30)
	for k, kind := range swept {
		missed, wrong := 0, 0
		trials := count("BAYHAND_SWEEPS", 1)
		for trial := range trials {
			r := &room{random: rand.New(rand.NewPCG(uint64(100*k+trial), 7))}
			out := trial % outputs
			sound := s.Sound(-30, []int{out})
			samples := make([]float64, sound.Timing.Length)
			for i, v := range sound.Channel(0) {
				samples[i] = float64(v)
			}
			samples = r.noise(kind.make(r, samples), -100)
			recorded := make([]float32, len(samples))
			for i, v := range samples {
				recorded[i] = float32(v)
			}
			paths, _ := slots.Listen(recorded)
			for slot, p := range paths {
				if slot != out && p.Found {
					wrong++
					t.Errorf("%s: output %d is named, and %d played: %+v", kind.name, slot, out, p)
				}
			}
			p := paths[out]
			if !p.Found {
				missed++
				t.Errorf("%s: missed at %.1f", kind.name, p.Statistic)
			}
			if !math.IsNaN(kind.level) && math.Abs(p.Level-kind.level) > 0.2 {
				t.Errorf("%s: %.2f dB, want %.2f", kind.name, p.Level, kind.level)
			}
			if kind.name == "flat" && (p.Polarity != reading.Kept || math.Abs(p.Delay) > 0.1) || kind.level < -6 && kind.level > -7 && p.Polarity != reading.Reversed {
				t.Errorf("%s: %+v", kind.name, p)
			}
		}
		t.Logf("%-20s missed %d/%d  false %d/%d", kind.name, missed, trials, wrong, trials*(outputs-1))
	}
}

// Noise alone, and hum alone, name nobody.
func TestSweepsOnNoise(t *testing.T) {
	s, _ := tones.NewSweeps(48000, 2)
	slots := reading.NewSlots(s, -60)
	r := &room{random: rand.New(rand.NewPCG(1, 2))}
	for _, make64 := range []func(x []float64) []float64{
		func(x []float64) []float64 { return r.noise(x, -60) },
		func(x []float64) []float64 { return r.noise(hum(x, -30), -100) },
	} {
		samples := make64(make([]float64, s.Timing().Length))
		recorded := make([]float32, len(samples))
		for i, v := range samples {
			recorded[i] = float32(v)
		}
		paths, in := slots.Listen(recorded)
		for slot, p := range paths {
			if p.Found {
				t.Errorf("output %d is named: %+v", slot, p)
			}
		}
		if in.Remains {
			t.Errorf("something remains: %+v", in)
		}
	}
}
