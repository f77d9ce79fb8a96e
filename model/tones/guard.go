package tones

import "fmt"

// Levels of the two passes, in dBFS rms: the first is quiet enough for a room in
// which something is wrong. 60 dB under full scale is 45 dB SPL where -20 dBFS
// makes 85 dB SPL, the common alignment of cinema: from memory.
const (
	FirstLevel  = -60.0
	SecondLevel = -30.0
	// LoudestLevel is the most that may be asked for.
	LoudestLevel = -20.0
)

// CheckLevel refuses a level that is too loud, or no level.
func CheckLevel(level float64) error {
	if !(level >= -100 && level <= LoudestLevel) {
		return fmt.Errorf("a level of %g dBFS; test sound is played between -100 and %g dBFS", level, LoudestLevel)
	}
	return nil
}

// Limits of what is heard while the sound plays, in dB.
const (
	stopPeak  = -1.0 // dBFS; ten samples above it stop the sound
	stopRun   = 10
	stopRise  = 6.0 // within a tenth of a second, while the sound is steady
	goOnUnder = -6.0
)

// Block is what was heard in ten milliseconds.
type Block struct {
	// Steady says that the sound was neither rising nor falling.
	Steady bool
	// Levels are those of the inputs, in dBFS rms, and Over the longest run of
	// samples above -1 dBFS in each.
	Levels []float64
	Over   []int
	// Quiet is how long nothing has come from the device, in milliseconds.
	Quiet int
	// Broken says that the device lost samples.
	Broken bool
	// Asked says that somebody wants it to stop.
	Asked bool
}

// Reason is why the sound stops.
type Reason string

// The reasons. The zero value is that it goes on.
const (
	GoesOn      Reason = ""
	Asked       Reason = "somebody stopped it"
	LostSamples Reason = "the sound device lost samples"
	NoInput     Reason = "nothing came from the sound device for 0.2 s"
	TooLoud     Reason = "an input was at full scale"
	Howls       Reason = "an input grew louder while the sound was steady, as in feedback"
)

// QuietFor is how long nothing may come from the device, in milliseconds.
const QuietFor = 200

// rising is how many blocks back a level is compared with.
const rising = 10

// aboveNoise is the level under which a rise is the room's own, in dBFS.
const aboveNoise = -70.0

// Guard says after each block whether the sound goes on. It never takes a stop
// back. The zero Guard is ready for a pass.
type Guard struct {
	// Bounds are the levels in dBFS that each input may have by the test sound alone.
	// A rise that ends below them is no howl: an echo that arrives late, a gate that
	// opens or a contact that comes and goes rises as fast. Without them every rise
	// is one.
	Bounds  []float64
	stopped Reason
	input   int // that was the reason, from 1
	before  [rising][]float64
	blocks  int
}

// Next takes a block and says whether, and why, the sound stops.
func (g *Guard) Next(b Block) Reason {
	if g.stopped == GoesOn {
		g.stopped = g.judge(b)
	}
	if !b.Steady {
		g.blocks = 0
		return g.stopped
	}
	g.before[g.blocks%rising] = append(g.before[g.blocks%rising][:0], b.Levels...)
	g.blocks++
	return g.stopped
}

func (g *Guard) judge(b Block) Reason {
	switch {
	case b.Asked:
		return Asked
	case b.Broken:
		return LostSamples
	case b.Quiet >= QuietFor:
		return NoInput
	}
	for i, run := range b.Over {
		if run >= stopRun {
			g.input = i + 1
			return TooLoud
		}
	}
	if b.Steady && g.blocks >= rising {
		old := g.before[g.blocks%rising]
		for i, level := range b.Levels {
			if i < len(old) && level > g.bound(i) && level > old[i]+stopRise {
				g.input = i + 1
				return Howls
			}
		}
	}
	return GoesOn
}

// bound is the level from which a rise is a howl.
func (g *Guard) bound(input int) float64 {
	if input < len(g.Bounds) {
		return max(aboveNoise, g.Bounds[input])
	}
	return aboveNoise
}

// Input is the place of the input that was the reason of the stop, from 0; negative
// where it was none.
func (g *Guard) Input() int { return g.input - 1 }

// First is what the first pass has shown.
type First struct {
	// Stopped is why it did not come to its end.
	Stopped Reason
	// Excluded says that an output was heard where no test sound may come.
	Excluded bool
	// Remains says that sound stayed after its end.
	Remains bool
	// Loudest is the highest level of an input, in dBFS.
	Loudest float64
}

// Louder says whether a second pass may follow at a level, and why not.
func (f First) Louder(level float64) error {
	switch {
	case f.Stopped != GoesOn:
		return fmt.Errorf("the first pass was stopped: %s", f.Stopped)
	case f.Excluded:
		return fmt.Errorf("an output is heard where no test sound may come")
	case f.Remains:
		return fmt.Errorf("sound stayed after the end of the first pass: something goes round")
	case f.Loudest > goOnUnder:
		return fmt.Errorf("an input is at %.1f dBFS already", f.Loudest)
	}
	return CheckLevel(level)
}

// Measure makes a block of samples of each input, full scale being 1.
func Measure(inputs [][]float32, steady bool) Block {
	b := Block{Steady: steady}
	limit := float32(Ratio(stopPeak))
	for _, samples := range inputs {
		power, run, longest := 0.0, 0, 0
		for _, x := range samples {
			power += float64(x) * float64(x)
			if x < limit && x > -limit {
				run = 0
				continue
			}
			run++
			longest = max(longest, run)
		}
		b.Over = append(b.Over, longest)
		b.Levels = append(b.Levels, Decibel(max(1e-12, power/float64(max(1, len(samples)))))/2)
	}
	return b
}
