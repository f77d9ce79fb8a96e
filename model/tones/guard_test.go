package tones_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/tones"
)

// Whatever comes in whatever order: the sound never goes on after a stop; each
// thing that must stop it does so within its block; and what is quiet and steady
// never does.
func TestGuardStops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := tones.Guard{}
		stopped := tones.GoesOn
		quiet := rapid.Float64Range(-120, -7).Draw(t, "level")
		for range rapid.IntRange(1, 60).Draw(t, "blocks") {
			b := tones.Block{Steady: rapid.Bool().Draw(t, "steady"), Levels: []float64{quiet, quiet}, Over: []int{0, 0}}
			kind := rapid.IntRange(0, 9).Draw(t, "kind")
			must := tones.GoesOn
			switch kind {
			case 0:
				b.Asked, must = true, tones.Asked
			case 1:
				b.Broken, must = true, tones.LostSamples
			case 2:
				b.Quiet, must = rapid.IntRange(200, 10000).Draw(t, "silence"), tones.NoInput
			case 3:
				b.Over[1], must = rapid.IntRange(10, 480).Draw(t, "run"), tones.TooLoud
			case 4:
				b.Quiet, b.Over[0] = 199, 9
			}
			got := g.Next(b)
			switch {
			case stopped != tones.GoesOn && got != stopped:
				t.Fatalf("stopped by %q, and then %q", stopped, got)
			case stopped == tones.GoesOn && got != must:
				t.Fatalf("%q, where %q is due", got, must)
			}
			stopped = got
		}
	})
}

// A loop whose level grows by 6 dB in a tenth of a second is a howl; it is
// stopped within that time once the sound is steady, and not while it rises.
func TestGuardHearsAHowl(t *testing.T) {
	for _, steady := range []bool{true, false} {
		g := tones.Guard{}
		stopped := -1
		for block := range 40 {
			level := -40.0
			if block >= 15 {
				level += 0.7 * float64(block-15)
			}
			if g.Next(tones.Block{Steady: steady, Levels: []float64{-50, level}}) != tones.GoesOn && stopped < 0 {
				stopped = block
			}
		}
		if steady && (stopped < 23 || stopped > 26) || !steady && stopped >= 0 {
			t.Errorf("steady %v: stopped at block %d", steady, stopped)
		}
	}
}

// The ladder: a second pass only after a first one that was whole and quiet.
func TestLouder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := tones.First{
			Stopped:  rapid.SampledFrom([]tones.Reason{tones.GoesOn, tones.Asked, tones.Howls}).Draw(t, "stopped"),
			Excluded: rapid.Bool().Draw(t, "excluded"), Remains: rapid.Bool().Draw(t, "remains"),
			Loudest: rapid.Float64Range(-120, 0).Draw(t, "loudest"),
		}
		level := rapid.Float64Range(-120, 10).Draw(t, "level")
		may := f.Stopped == tones.GoesOn && !f.Excluded && !f.Remains && f.Loudest <= -6 && level >= -100 && level <= -20
		if err := f.Louder(level); (err == nil) != may {
			t.Fatalf("%+v at %v: %v", f, level, err)
		}
	})
	if tones.CheckLevel(math.NaN()) == nil || tones.CheckLevel(-19.9) == nil || tones.CheckLevel(tones.FirstLevel) != nil {
		t.Error("levels are judged wrongly")
	}
}

// Measure finds ten samples above -1 dBFS together, and the level of a sine of
// half of full scale: 20 log10(0.5/sqrt 2) = -9.03 dB.
func TestMeasure(t *testing.T) {
	sine, loud := make([]float32, 480), make([]float32, 480)
	for i := range sine {
		sine[i] = float32(0.5 * math.Sin(2*math.Pi*float64(i)/48))
	}
	for i := 100; i < 110; i++ {
		loud[i] = -0.95
	}
	b := tones.Measure([][]float32{sine, loud}, true)
	if math.Abs(b.Levels[0]+9.03) > 0.01 || b.Over[0] != 0 || b.Over[1] != 10 {
		t.Errorf("%+v", b)
	}
	if (&tones.Guard{}).Next(b) != tones.TooLoud {
		t.Error("it goes on")
	}
}
