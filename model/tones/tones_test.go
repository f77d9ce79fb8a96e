package tones_test

import (
	"fmt"
	"hash/fnv"
	"math"
	"testing"

	"bayhand/model/tones"
)

// The grid and the period at 48 kHz: 48000/65536 = 0.732421875 Hz and
// 65536/48000 = 1.365333 s, by arithmetic.
func TestGrid(t *testing.T) {
	for _, rate := range tones.Rates() {
		c := comb(t, rate, 32)
		if got, want := c.Step(), float64(rate)/float64(c.Period); got != want || got < 0.6 || got > 0.75 {
			t.Errorf("at %d the grid is %g Hz", rate, got)
		}
	}
	c := comb(t, 48000, 32)
	if c.Step() != 0.732421875 || math.Abs(float64(c.Period)/48000-1.365333) > 1e-6 {
		t.Errorf("step %v, period %v", c.Step(), c.Period)
	}
}

// No bin is in two shares, every share has as many tones as another, and at 32
// outputs 754, at 128 188: 20 kHz less 30 Hz in steps of the grid, less the
// places of hum, in 36 and in 144 parts.
func TestSharesAreApart(t *testing.T) {
	for _, want := range []struct{ outputs, shares, tones int }{{1, 5, 0}, {8, 12, 0}, {32, 36, 754}, {128, 144, 188}} {
		c := comb(t, 48000, want.outputs)
		if len(c.Shares) != want.shares {
			t.Errorf("%d outputs: %d shares", want.outputs, len(c.Shares))
		}
		used := map[int]bool{}
		for _, share := range c.Shares {
			if len(share) != len(c.Shares[0]) || want.tones > 0 && len(share) != want.tones {
				t.Errorf("%d outputs: a share of %d tones; %d are wanted", want.outputs, len(share), want.tones)
			}
			for _, tone := range share {
				f := c.Frequency(tone.Bin)
				if used[tone.Bin] || f < tones.Lowest || f > tones.Highest {
					t.Fatalf("%d outputs: bin %d is used twice or out of the band", want.outputs, tone.Bin)
				}
				used[tone.Bin] = true
			}
		}
	}
}

// Within 1.2 steps and 0.02 per cent of a multiple of 50 or 60 Hz there is no
// tone.
func TestHumStaysFree(t *testing.T) {
	c := comb(t, 48000, 8)
	for _, share := range c.Shares {
		for _, tone := range share {
			f := c.Frequency(tone.Bin)
			for _, mains := range []float64{50, 60} {
				for h := mains; h < tones.HumBelow; h += mains {
					if math.Abs(f-h) < 1.2*c.Step()+0.0002*h {
						t.Fatalf("a tone at %.3f Hz, beside hum at %.0f", f, h)
					}
				}
			}
		}
	}
}

// The drawing is part of the file format: a recording made elsewhere is read
// with the tones drawn here.
func TestDrawingStays(t *testing.T) {
	for outputs, want := range map[int]uint64{8: 0xf19ee89957b2108a, 32: 0xa55ed0cc48788e94} {
		sum := fnv.New64()
		for _, share := range comb(t, 48000, outputs).Shares {
			for _, tone := range share {
				phase := math.Atan2(imag(tone.Line), real(tone.Line))
				fmt.Fprintf(sum, "%d %.6f\n", tone.Bin, phase)
			}
		}
		if sum.Sum64() != want {
			t.Errorf("%d outputs: the drawing is %#x, not %#x", outputs, sum.Sum64(), want)
		}
	}
}

func TestWave(t *testing.T) {
	c := comb(t, 48000, 32)
	for share := range c.Shares {
		wave := c.Wave(share)
		power, most := 0.0, 0.0
		for _, v := range wave {
			power += v * v
			most = max(most, math.Abs(v))
		}
		if rms := math.Sqrt(power / float64(len(wave))); math.Abs(rms-1) > 1e-9 {
			t.Errorf("share %d has an rms of %v", share, rms)
		}
		if crest := tones.Decibel(most); crest < 9 || crest > 16 {
			t.Errorf("share %d has a crest of %.1f dB", share, crest)
		}
		if share == 3 {
			break
		}
	}
}

func TestTiming(t *testing.T) {
	c := comb(t, 48000, 8)
	timing := c.Timing()
	if seconds := float64(timing.Length) / 48000; math.Abs(seconds-7.011) > 0.001 {
		t.Errorf("a pass takes %.3f s", seconds)
	}
	sound := c.Sound(-60, []int{0, -1, 2})
	frames := make([]float32, 3*timing.Length)
	sound.Fill(frames, 0)
	last := float32(0)
	for at := range timing.Length {
		v := frames[3*at]
		if frames[3*at+1] != 0 {
			t.Fatalf("the silent channel plays at %d", at)
		}
		if (at < timing.Begin || at > timing.End+timing.Fall) && v != 0 {
			t.Fatalf("sound in the silence at %d", at)
		}
		if math.Abs(float64(v-last)) > 0.01 {
			t.Fatalf("a jump at %d", at)
		}
		last = v
	}
	// In pieces it is the same as in one.
	piece := make([]float32, 3*1000)
	sound.Fill(piece, 50000)
	for i, v := range piece {
		if v != frames[3*50000+i] {
			t.Fatalf("a piece differs at %d", i)
		}
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct{ rate, outputs int }{{22050, 8}, {48000, 0}, {48000, 129}} {
		if _, err := tones.New(c.rate, c.outputs); err == nil {
			t.Errorf("%+v is not refused", c)
		}
	}
	for _, period := range []int{0, 1 << 12, 30000, 1 << 17} {
		if _, err := tones.NewOf(48000, 8, period); err == nil {
			t.Errorf("a period of %d is not refused", period)
		}
	}
}

// A quarter of the period takes a quarter of the time; its shares are as loud, and as even.
func TestShorter(t *testing.T) {
	c, err := tones.NewOf(48000, 8, 1<<14)
	if err != nil {
		t.Fatal(err)
	}
	long := comb(t, 48000, 8)
	if short, usual := c.Timing().Length, long.Timing().Length; usual/4-2 > short || short > usual/4+2 {
		t.Errorf("a pass has %d samples, and %d with the usual period", short, usual)
	}
	power := 0.0
	for _, v := range c.Wave(5) {
		power += v * v
	}
	if rms := math.Sqrt(power / (1 << 14)); math.Abs(rms-1) > 1e-9 {
		t.Errorf("a share has an rms of %v", rms)
	}
	for n, share := range c.Shares {
		if at := len(long.Shares[n]) / 4; len(share) < at-2*at/10 || len(share) > at+2*at/10 {
			t.Errorf("share %d has %d tones of %d", n, len(share), len(long.Shares[n]))
		}
	}
}

func comb(t testing.TB, rate, outputs int) *tones.Comb {
	t.Helper()
	c, err := tones.New(rate, outputs)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
