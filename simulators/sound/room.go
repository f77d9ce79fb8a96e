// Package sound is a studio as one would hear it: what the outputs of a sound
// device play goes through the metal of the room and through its gear, sample by
// sample, to the device's inputs.
//
// A state is the room from one sample on: a patch, and the faults of its cords. In
// each state the metal gives the gain from every output to every input, by
// package contacts. A box is what gear does to the sound between an input and an
// output; it keeps what it must remember. What a box gives is heard one sample
// later, so that sound may go round.
//
// The package is a witness beside what listens: it takes the values of a studio
// and a patch, and knows nothing of the test sound, of how it is read, or of what
// is made of it.
package sound

import (
	"fmt"
	"math"
	"math/rand/v2"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
)

// State is the room from a sample on.
type State struct {
	From   int
	Patch  patch.Patch
	Faults []contacts.Fault
}

// Box is what gear does to sound, sample by sample.
type Box interface{ Step(x float64) float64 }

// Room is a studio to be heard.
type Room struct {
	Studio *studio.Studio
	// States are in the order of their samples; the first from 0.
	States []State
	// Boxes are what each pass of gear does; a pass without one gives what it takes.
	Boxes map[studio.Pass]Box
	// Outputs and Inputs are those of the device, in the order of its channels.
	Outputs, Inputs []name.Point
	// Ears are other inputs of the room whose voltages a player tells, such as those
	// of loudspeakers.
	Ears []name.Point
	// Crosstalk is what each input takes from the ones beside it by capacitance, in dB at 1
	// kHz, 6 dB more in each octave above; 0 for none.
	Crosstalk float64
	// Chassis is a voltage of 50 Hz of gear against the device, in dB to full scale.
	Chassis  map[string]float64
	Device   Device
	Troubles Troubles
	opened   int // how often the device was opened
}

// Device is how the sound device converts.
type Device struct {
	// Noise is that of each input, in dB to full scale as rms; 0 for none.
	Noise float64
	// Bits of a sample that is recorded; 0 for all.
	Bits int
	// Late is how many samples after the playing the recording begins.
	Late int
	// Hum is a voltage of 50 Hz and harmonics at each input, in dB to full scale; 0
	// for none.
	Hum float64
	// Clock is how much faster the recorder's clock runs than the player's, in parts per
	// million; a recorder that is slower begins Late by some samples.
	Clock float64
	// Seed draws the noise.
	Seed uint64
}

// Record plays samples on each output, full scale being 1, and gives what each
// input records. It takes time linear in samples times the ways of the metal.
func (r *Room) Record(played [][]float32) ([][]float32, error) {
	if len(played) != len(r.Outputs) {
		return nil, fmt.Errorf("%d channels are played to %d outputs", len(played), len(r.Outputs))
	}
	a, err := r.air()
	if err != nil {
		return nil, err
	}
	record := r.recorder(len(played[0]))
	for at := range played[0] {
		for ch := range played {
			a.out[ch] = float64(played[ch][at])
		}
		a.step()
		record.take(a.in[:len(r.Inputs)])
	}
	return record.converted(), nil
}

// recorder is the device's inputs, recorded by its clock, and converted at the end.
type recorder struct {
	device  Device
	clock   *clock // nil where there is one clock
	frames  []float64
	samples [][]float32
}

func (r *Room) recorder(length int) *recorder {
	c := &recorder{device: r.Device, samples: make([][]float32, len(r.Inputs))}
	if r.Device.Clock != 0 {
		c.clock = newClock(r.Device.Clock, len(r.Inputs))
	}
	for i := range c.samples {
		c.samples[i] = make([]float32, 0, length+length/1000)
	}
	return c
}

func (c *recorder) take(frame []float64) {
	if c.clock != nil {
		c.frames = c.clock.take(c.frames[:0], frame)
		frame = c.frames
	}
	for i, x := range frame {
		ch := i % len(c.samples)
		c.samples[ch] = append(c.samples[ch], float32(x))
	}
}

// converted is what the device makes of the voltages at its inputs.
func (c *recorder) converted() [][]float32 {
	converter := c.device.converter(11)
	for ch, samples := range c.samples {
		samples = samples[min(c.device.Late, len(samples)):]
		for i, x := range samples {
			samples[i] = converter.sample(float64(x), i)
		}
		c.samples[ch] = samples
	}
	return c.samples
}

// converter is the device at work.
type converter struct {
	noise, hum, full float64
	random           *rand.Rand
}

func (d Device) converter(draw uint64) converter {
	c := converter{random: rand.New(rand.NewPCG(d.Seed, draw))}
	if d.Noise != 0 {
		c.noise = math.Pow(10, d.Noise/20)
	}
	if d.Hum != 0 {
		c.hum = math.Pow(10, d.Hum/20)
	}
	if d.Bits > 0 {
		c.full = math.Pow(2, float64(d.Bits-1))
	}
	return c
}

// sample is what is recorded of a voltage at a moment.
func (c *converter) sample(x float64, at int) float32 {
	for h := 1.0; c.hum != 0 && h <= 7; h += 2 {
		x += c.hum * math.Sin(2*math.Pi*50*h*float64(at)/48000) / h
	}
	if c.noise != 0 {
		x += c.noise * c.random.NormFloat64()
	}
	x = max(-1, min(1, x))
	if c.full != 0 {
		x = math.RoundToEven(x*c.full) / c.full
	}
	return float32(x)
}
