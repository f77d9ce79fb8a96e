package sound_test

import (
	"math"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/sound"
)

// tone is a second of a sine of full scale.
func tone(hertz float64) []float32 {
	samples := make([]float32, 48000)
	for i := range samples {
		samples[i] = float32(math.Sin(2 * math.Pi * hertz * float64(i) / 48000))
	}
	return samples
}

// pitch is the frequency of samples by their rising zeros, in hertz.
func pitch(samples []float32) float64 {
	first, last, count := -1.0, 0.0, -1
	for i := 1; i < len(samples); i++ {
		if samples[i-1] < 0 && samples[i] >= 0 {
			at := float64(i) - float64(samples[i])/float64(samples[i]-samples[i-1])
			if first < 0 {
				first = at
			}
			last = at
			count++
		}
	}
	return float64(count) * 48000 / (last - first)
}

func rms(samples []float32) float64 {
	sum := 0.0
	for _, x := range samples {
		sum += float64(x) * float64(x)
	}
	return 10 * math.Log10(sum/float64(len(samples)))
}

func through(box sound.Box, samples []float32) []float32 {
	out := make([]float32, len(samples))
	for i, x := range samples {
		out[i] = float32(box.Step(float64(x)))
	}
	return out
}

// A retuner by 3 per cent makes 1,000 Hz into 1,030; a tape with 2 per cent of wow makes
// it wander between 980 and 1,020 within a second, and on average not at all.
func TestPitches(t *testing.T) {
	if got := pitch(through(sound.NewRetuner(1.03), tone(1000))[9600:]); math.Abs(got-1030) > 3 {
		t.Errorf("retuned: %.1f Hz", got)
	}
	played := through(sound.NewTape(0.02, 0), tone(1000))
	low, high := 1e9, 0.0
	for at := 4800; at+2400 <= len(played); at += 2400 {
		p := pitch(played[at : at+2400])
		low, high = min(low, p), max(high, p)
	}
	if math.Abs(low-980) > 2 || math.Abs(high-1020) > 2 {
		t.Errorf("tape: from %.1f to %.1f Hz", low, high)
	}
	if level := rms(played[4800:]) + 3.01; math.Abs(level) > 0.1 {
		t.Errorf("tape: %.2f dB", level)
	}
}

// pairRoom is two cords from two outputs of a source to two inputs of the device.
func pairRoom(line studio.Line, faults ...contacts.Fault) *sound.Room {
	modes := []studio.Mode{studio.Isolated, studio.Isolated}
	bay := studio.Bay{Name: "bay", Ground: studio.Bussed, Modes: modes}
	s := &studio.Studio{Bays: []studio.Bay{bay}}
	r := &sound.Room{Studio: s, States: []sound.State{{Faults: faults}}}
	from, to := studio.Gear{Name: "s"}, studio.Gear{Name: "d"}
	for n := 1; n <= 2; n++ {
		out, in := name.At("s", "out", n), name.At("d", "in", n)
		from.Ports = append(from.Ports, studio.Port{Point: out, Direction: studio.Output, Line: line})
		to.Ports = append(to.Ports, studio.Port{Point: in, Direction: studio.Input, Line: line})
		s.Wires = append(s.Wires, studio.Wire{From: out, To: bay.TopJack(n)}, studio.Wire{From: bay.BottomJack(n), To: in})
		r.Outputs, r.Inputs = append(r.Outputs, out), append(r.Inputs, in)
		r.States[0].Patch.Cords = append(r.States[0].Patch.Cords, patch.Cord{A: bay.TopJack(n), B: bay.BottomJack(n)})
	}
	s.Gear = []studio.Gear{from, to}
	return r
}

var balanced = studio.Line{Kind: studio.LineLevel, Max: 24, Source: 100, Load: 20e3, Balanced: true, Stage: studio.ActiveStage}

func record(t *testing.T, r *sound.Room, played ...[]float32) [][]float32 {
	t.Helper()
	got, err := r.Record(played)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Crosstalk by a capacitance rises by 6 dB in an octave (the first order of the textbooks);
// a clock that is 500 parts in a million fast records 1,000 Hz as 999.5.
func TestCrosstalkAndClock(t *testing.T) {
	silent := make([]float32, 48000)
	for hertz, want := range map[float64]float64{500: -66.02, 1000: -60, 2000: -53.98} {
		r := pairRoom(balanced)
		r.Crosstalk = -60
		got := record(t, r, tone(hertz), silent)
		if level := rms(got[1][100:]) - rms(got[0][100:]); math.Abs(level-want) > 0.1 {
			t.Errorf("crosstalk at %.0f Hz is %.2f dB, not %.2f", hertz, level, want)
		}
	}
	r := pairRoom(balanced)
	r.Device.Clock = 500
	if got := pitch(record(t, r, tone(1000), silent)[0][100:]); math.Abs(got-999.5) > 0.01 {
		t.Errorf("by a fast clock: %.3f Hz", got)
	}
	p, err := r.Play()
	if err != nil {
		t.Fatal(err)
	}
	played, heard := make([]float32, 2*480), make([]float32, 2*480)
	var all []float32
	sine := tone(1000)
	for at := 0; at+480 <= len(sine); at += 480 {
		for i := range 480 {
			played[2*i] = sine[at+i]
		}
		if err := p.Exchange(played, heard); err != nil {
			t.Fatal(err)
		}
		for i := range 480 {
			all = append(all, heard[2*i])
		}
	}
	if got := pitch(all[4800:]); math.Abs(got-999.5) > 0.01 {
		t.Errorf("by a fast clock, while it plays: %.3f Hz", got)
	}
}

// A voltage between chassis is common to both legs: where both arrive it cancels, and where
// the cold one is dead it is heard as it is (Whitlock, Balanced lines in audio systems,
// 1995: from memory).
func TestChassisHum(t *testing.T) {
	r := pairRoom(balanced)
	broken := contacts.Fault{Cord: r.States[0].Patch.Cords[1], Cold: contacts.Open}
	r = pairRoom(balanced, broken)
	r.Chassis = map[string]float64{"s": -40}
	silent := make([]float32, 48000)
	got := record(t, r, silent, silent)
	if level := rms(got[0]); level > -120 {
		t.Errorf("a whole cord: %.1f dB", level)
	}
	if level := rms(got[1]); math.Abs(level+40) > 0.2 {
		t.Errorf("with a dead cold leg: %.2f dB, not -40", level)
	}
}
