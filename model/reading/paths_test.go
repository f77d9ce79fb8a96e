package reading_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// room is what stands between outputs and one input in a trial.
type room struct {
	sound  sound
	random *rand.Rand
	timing tones.Timing
	waves  map[int][]float64 // those that were made
}

// sound is what gives each output its wave, of 1 rms.
type sound interface{ Wave(output int) []float64 }

// played is a pass of one output at -30 dBFS rms, and half a second more.
func (r *room) played(out int) []float64 {
	wave := r.waves[out]
	if wave == nil {
		wave = r.sound.Wave(out)
		r.waves[out] = wave
	}
	samples := make([]float64, r.timing.Length+24000)
	level := tones.Ratio(-30)
	for at := r.timing.Begin; at < r.timing.End+r.timing.Fall; at++ {
		samples[at] = level * r.timing.Envelope(at) * wave[(at-r.timing.Begin)%len(wave)]
	}
	return samples
}

func (r *room) noise(samples []float64, level float64) []float64 {
	size := tones.Ratio(level)
	for i := range samples {
		samples[i] += size * r.random.NormFloat64()
	}
	return samples
}

// kinds are the paths that a studio has; each returns the sound at an input and
// the outputs that are heard there.
var kinds = []struct {
	name string
	make func(r *room, outs []int) ([]float64, int)
}{
	{"flat", func(r *room, o []int) ([]float64, int) { return r.played(o[0]), 1 }},
	{"-60 dB alone", func(r *room, o []int) ([]float64, int) { return gain(r.played(o[0]), -60), 1 }},
	{"-60 dB under 0 dB", func(r *room, o []int) ([]float64, int) {
		return add(r.played(o[0]), gain(r.played(o[1]), -60)), 2
	}},
	{"SNR -20 dB", func(r *room, o []int) ([]float64, int) { return r.noise(r.played(o[0]), -10), 1 }},
	{"hum 20 dB over", func(r *room, o []int) ([]float64, int) { return hum(r.played(o[0]), -10), 1 }},
	{"equaliser", func(r *room, o []int) ([]float64, int) { return equalise(r.played(o[0])), 1 }},
	{"compressor 4:1", func(r *room, o []int) ([]float64, int) { return compress(r.played(o[0]), 4), 1 }},
	{"three into 8:1", func(r *room, o []int) ([]float64, int) {
		return compress(add(add(r.played(o[0]), r.played(o[1])), r.played(o[2])), 8), 3
	}},
	{"overdriven", func(r *room, o []int) ([]float64, int) { return overdrive(r.played(o[0])), 1 }},
	{"reverb 2 s", func(r *room, o []int) ([]float64, int) { return reverberate(r, r.played(o[0])), 1 }},
	{"delay 1.2 s", func(r *room, o []int) ([]float64, int) { return late(r.played(o[0]), 57600), 1 }},
	{"begins 0.9 s late", func(r *room, o []int) ([]float64, int) { return r.played(o[0])[43200:], 1 }},
	{"clock 100 ppm", func(r *room, o []int) ([]float64, int) { return resample(r.played(o[0]), drift(100)), 1 }},
	{"100 ppm, -40 under 0 dB", func(r *room, o []int) ([]float64, int) {
		return resample(add(r.played(o[0]), gain(r.played(o[1]), -40)), drift(100)), 2
	}},
	{"wow 2 %", func(r *room, o []int) ([]float64, int) { return resample(r.played(o[0]), wow(r)), 1 }},
	{"another 10 dB louder", func(r *room, o []int) ([]float64, int) { return r.noise(r.played(o[0]), -20), 1 }},
	{"300 to 3,400 Hz", func(r *room, o []int) ([]float64, int) { return telephone(r.played(o[0])), 1 }},
}

// The candidates of paths, each with its outputs among others that play
// elsewhere: no output is missed and none is found that is not there. Each ordinary
// run tries one of each with 8 outputs; BAYHAND_PATHS says how many, with 8, 32 and 128.
func TestPaths(t *testing.T) {
	trials := count("BAYHAND_PATHS", 1)
	for _, outputs := range []int{8, 32, 128} {
		if trials == 1 && outputs > 8 {
			continue
		}
		comb, err := tones.New(48000, outputs)
		if err != nil {
			t.Fatal(err)
		}
		ear := reading.NewEar(comb, -30)
		t.Run(strconv.Itoa(outputs), func(t *testing.T) {
			for k, kind := range kinds {
				t.Run(kind.name, func(t *testing.T) {
					all := finds{}
					for trial := range trials {
						r := &room{comb, rand.New(rand.NewPCG(uint64(1000*k+trial), uint64(outputs))), comb.Timing(), map[int][]float64{}}
						outs := r.random.Perm(outputs)
						samples, heard := kind.make(r, outs)
						all.count(t.Logf, listen(t, ear, r.noise(samples, -100)).Paths[0], outs, heard)
					}
					if all.missed > all.heard/100 {
						t.Errorf("%d of %d missed", all.missed, all.heard)
					}
					if all.wrong > 0 {
						t.Errorf("%d are found that are not there", all.wrong)
					}
					t.Logf("missed %d/%d  false %d/%d", all.missed, all.heard, all.wrong, all.others)
				})
			}
		})
	}
}

// finds counts outputs that are heard, and those of them that were missed; and outputs that
// are not, and those of them that were found.
type finds struct{ heard, missed, others, wrong int }

// count adds one reading, in which the first outputs of a list are heard, and says which of
// them are not as they should be.
func (f *finds) count(say func(string, ...any), paths []reading.Path, outs []int, heard int) {
	for i, out := range outs {
		switch p := paths[out]; {
		case i < heard && !p.Found:
			f.missed++
			say("output %d is missed at %.1f", out, p.Statistic)
		case i >= heard && p.Found:
			f.wrong++
			say("output %d is not there: %.1f", out, p.Statistic)
		}
	}
	f.heard, f.others = f.heard+heard, f.others+len(outs)-heard
}

func count(variable string, usual int) int {
	if n, err := strconv.Atoi(os.Getenv(variable)); err == nil {
		return n
	}
	return usual
}

func listen(t testing.TB, ear *reading.Ear, channels ...[]float64) *reading.Reading {
	t.Helper()
	r := reading.Recording{Rate: 48000}
	for _, ch := range channels {
		r.Channels = append(r.Channels, recorded(ch))
	}
	got, err := ear.Read(r)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// recorded are samples as a converter records them, not above full scale.
func recorded(samples []float64) []float32 {
	made := make([]float32, len(samples))
	for i, v := range samples {
		made[i] = float32(max(-1, min(1, v)))
	}
	return made
}

func gain(samples []float64, level float64) []float64 {
	ratio := tones.Ratio(level)
	for i := range samples {
		samples[i] *= ratio
	}
	return samples
}

func add(a, b []float64) []float64 {
	for i := range a {
		a[i] += b[i]
	}
	return a
}

func late(samples []float64, by int) []float64 {
	moved := make([]float64, len(samples))
	copy(moved[by:], samples)
	return moved
}

// hum of 50 Hz with twenty harmonics, the whole at a level.
func hum(samples []float64, level float64) []float64 {
	ratio := tones.Ratio(level)
	for i := range samples {
		for h := 1; h <= 20; h++ {
			samples[i] += ratio / float64(h) * math.Sin(2*math.Pi*50.003*float64(h*i)/48000+float64(h))
		}
	}
	return samples
}

// biquad is a filter of second order in direct form: the peak and shelf of the
// cookbook formulae for audio equalisers (R. Bristow-Johnson: from memory).
func biquad(samples []float64, b0, b1, b2, a1, a2 float64) []float64 {
	var x1, x2, y1, y2 float64
	for i, x := range samples {
		y := b0*x + b1*x1 + b2*x2 - a1*y1 - a2*y2
		x2, x1, y2, y1 = x1, x, y1, y
		samples[i] = y
	}
	return samples
}

func bell(samples []float64, f, level, q float64) []float64 {
	a := math.Pow(10, level/40)
	w := 2 * math.Pi * f / 48000
	alpha := math.Sin(w) / (2 * q)
	n := 1 + alpha/a
	return biquad(samples, (1+alpha*a)/n, -2*math.Cos(w)/n, (1-alpha*a)/n, -2*math.Cos(w)/n, (1-alpha/a)/n)
}

func equalise(samples []float64) []float64 {
	return bell(bell(bell(samples, 120, 9, 0.7), 1500, -12, 1), 8000, 6, 0.8)
}

func lowpass(samples []float64, f float64) []float64 {
	w := 2 * math.Pi * f / 48000
	alpha := math.Sin(w) / math.Sqrt2
	c, n := math.Cos(w), 1+alpha
	return biquad(samples, (1-c)/2/n, (1-c)/n, (1-c)/2/n, -2*c/n, (1-alpha)/n)
}

func highpass(samples []float64, f float64) []float64 {
	w := 2 * math.Pi * f / 48000
	alpha := math.Sin(w) / math.Sqrt2
	c, n := math.Cos(w), 1+alpha
	return biquad(samples, (1+c)/2/n, -(1+c)/n, (1+c)/2/n, -2*c/n, (1-alpha)/n)
}

func telephone(samples []float64) []float64 {
	return lowpass(lowpass(highpass(highpass(samples, 300), 300), 3400), 3400)
}

// compress holds down what is above -40 dBFS, with 5 ms of attack and 100 ms of
// release.
func compress(samples []float64, ratio float64) []float64 {
	envelope := 0.0
	for i, x := range samples {
		rate := 1 / (0.1 * 48000.0)
		if math.Abs(x) > envelope {
			rate = 1 / (0.005 * 48000.0)
		}
		envelope += rate * (math.Abs(x) - envelope)
		if over := tones.Decibel(envelope) + 40; over > 0 {
			samples[i] = x * tones.Ratio(-over*(1-1/ratio))
		}
	}
	return samples
}

func overdrive(samples []float64) []float64 {
	for i, x := range samples {
		samples[i] = 0.2 * math.Tanh(100*x+0.2)
	}
	return samples
}

// reverberate is only the wet sound: four feedback combs beside each other and
// two all-passes after another, which fall by 60 dB in 2 s (Schroeder, Natural
// sounding artificial reverberation, 1962: from memory).
func reverberate(r *room, samples []float64) []float64 {
	wet := make([]float64, len(samples))
	for _, d := range []int{1433, 1601, 1867, 2053} {
		d += r.random.IntN(100)
		g := math.Pow(10, -3*float64(d)/(2*48000))
		line := make([]float64, d)
		for i, x := range samples {
			y := line[i%d]
			line[i%d] = x + g*y
			wet[i] += 0.3 * y
		}
	}
	for _, d := range []int{241, 83} {
		line := make([]float64, d)
		for i, x := range wet {
			y := line[i%d]
			v := x + 0.7*y
			wet[i] = y - 0.7*v
			line[i%d] = v
		}
	}
	return wet
}

// drift is the place in the player's time of each sample of a recording whose
// clock is slower or faster.
func drift(ppm float64) func(int) float64 {
	return func(i int) float64 { return float64(i) / (1 + ppm*1e-6) }
}

// wow is 2 per cent at 1 Hz, and flutter 0.2 per cent at 8 Hz, both peak.
func wow(r *room) func(int) float64 {
	a, b := 2*math.Pi*r.random.Float64(), 2*math.Pi*r.random.Float64()
	return func(i int) float64 {
		t := float64(i) / 48000
		slow := 0.02 / (2 * math.Pi) * (1 - math.Cos(2*math.Pi*t+a))
		fast := 0.002 / (2 * math.Pi * 8) * (1 - math.Cos(2*math.Pi*8*t+b))
		return float64(i) - 48000*(slow+fast)
	}
}

// resample reads samples at places between them, by a sinc of 64 taps under a
// window of Kaiser, beta 8.
func resample(samples []float64, place func(int) float64) []float64 {
	moved := make([]float64, len(samples))
	for i := range moved {
		p := place(i)
		at := int(math.Floor(p))
		sin := math.Sin(math.Pi * (p - float64(at)))
		for k := max(0, at-31); k <= min(len(samples)-1, at+32); k++ {
			x := p - float64(k)
			if math.Abs(x) < 1e-9 {
				moved[i] += samples[k]
				continue
			}
			sign := float64(1 - 2*((at-k)&1))
			moved[i] += samples[k] * sign * sin / (math.Pi * x) * kaiser[int(math.Abs(x)*100)]
		}
	}
	return moved
}

// kaiser is the window at hundredths of a sample from its middle.
var kaiser = func() (w [3300]float64) {
	bessel := func(x float64) float64 {
		sum, term := 1.0, 1.0
		for k := 1.0; k < 40; k++ {
			term *= x * x / 4 / (k * k)
			sum += term
		}
		return sum
	}
	for i := range w {
		x := float64(i) / 3300
		w[i] = bessel(8*math.Sqrt(1-x*x)) / bessel(8)
	}
	return w
}()
